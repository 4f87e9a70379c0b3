package outing

import "afterwalk/annotate"

// The devices of the two dogs.
const (
	ToneCollar = "tone collar" // tones only
	GreyCollar = "grey collar" // taps, with levels from 0 to 20
)

// sound gives the collar's tone.
func (w *world) sound() {
	w.lamp, w.tap = 24, false
	w.hear("tone", "", w.d.body.At)
	details := annotate.Details{}
	if w.clip.Device == ToneCollar {
		details.Device = ToneCollar
	}
	w.moment("tone", details)
}

// stim gives a tap at a level.
func (w *world) stim(level float64) {
	w.lamp, w.tap = 20, true
	w.hear("click", "", w.h.body.At)
	w.moment("stim", annotate.Details{Device: GreyCollar, Level: &level})
}

// pop is a short check on the leash.
func (w *world) pop() {
	w.h.taut = true
	w.in(0.25, func() { w.h.taut = w.running("leash-guide") })
	w.hear("tag", "", w.d.body.At)
	w.moment("leash-pop", annotate.Details{})
}

// worry has the dog show a sign of stress.
func (w *world) worry(sign string) {
	switch sign {
	case "lip lick":
		w.d.licking = 72
	case "turns away":
		w.d.away = 70
	case "shakes off":
		w.d.shaking = 45
	}
	w.moment("stress", kind(sign))
}
