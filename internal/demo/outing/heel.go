package outing

import (
	"math"
	"slices"

	"afterwalk/annotate"
)

// lapse is one time in which the dog is not with the handler.
type lapse struct {
	kind          string  // behind, ahead, wide, crowding, off-task; "" for none
	along, beside float64 // metres off its place
	until         float64 // second at which it mends by itself
}

// beside returns where a heeling dog wants to be, how fast it may go there and
// how far its nose is down.
func (d *dog) beside(w *world) (goal Vec, limit, nose float64) {
	h := w.h.body
	d.noise += -d.noise*2*tick + 0.05*math.Sqrt(tick)*w.rng.NormFloat64()
	along, beside := placeAhead+d.noise, placeBeside
	if w.h.speed > 0.5 && w.running("ex-heel") {
		d.stray(w)
	}
	if d.lapse.kind != "" {
		along += d.lapse.along
		beside += d.lapse.beside
		if d.lapse.kind == "off-task" {
			nose = 1
		}
		if w.seconds() > d.lapse.until {
			d.mend(w)
		}
	}
	return h.At.plus(forward(h.Heading).times(along)).plus(left(h.Heading).times(beside * w.side)), 2.6, nose
}

// stray begins a lapse now and then, sooner after a turn.
func (d *dog) stray(w *world) {
	if d.lapse.kind != "" || w.seconds() < d.rested+1.5 {
		return
	}
	hazard := w.temper.Lapses
	if s := w.seconds() - d.turned; s > 0.3 && s < 2 {
		hazard *= 2.5
	}
	if !w.chance(hazard * tick) {
		return
	}
	l := lapse{until: w.seconds() + w.between(0.8, 1.6)*w.temper.LapseLength}
	habit := w.temper.Habit
	if habit == (Habit{}) {
		habit = Habit{Behind: 0.4, Ahead: 0.65, Wide: 0.85, Crowding: 0.85}
	}
	switch x := w.rng.Float64(); {
	case x < habit.Behind:
		l.kind, l.along = "behind", -w.between(0.45, 0.75)
	case x < habit.Ahead:
		l.kind, l.along = "ahead", w.between(0.4, 0.6)
	case x < habit.Wide:
		l.kind, l.beside = "wide", w.between(0.5, 0.8)
	case x < habit.Crowding:
		l.kind, l.beside = "crowding", -w.between(0.16, 0.2)
	default:
		l.kind, l.along = "off-task", -0.08
	}
	d.lapse = l
}

// mend ends a lapse.
func (d *dog) mend(w *world) {
	d.lapse = lapse{}
	d.rested = w.seconds()
}

// heelWatch is the handler's eye on the dog while heeling.
type heelWatch struct {
	seen    bool // an error is going on
	steps   int  // what was done about it
	next    float64
	pending map[string]annotate.Micros // since when a place is out of bounds, too short yet to count
}

// Bounds of the place beside the leg, metres: the first begins an error, the
// second ends it. A hand's breadth is 0.1; a dog's width of air between leg and
// dog puts the dog's middle 0.48 beside the handler's, and one that touches the
// leg has it at 0.3.
var bounds = map[string]struct{ begins, ends float64 }{
	"ahead": {0.13, 0.07}, "behind": {0.13, 0.07}, "wide": {0.14, 0.1}, "crowding": {0.06, 0.03},
}

// aStep is how long an error must last to count, seconds.
const aStep = 0.3

// aBrush is for how long after a turn touching the leg doesn't count, seconds.
const aBrush = 1.2

// judgeHeel logs where the dog is against the leg, from their places alone, and
// lets the handler act on it.
func (w *world) judgeHeel() {
	if !w.running("ex-heel") {
		if w.heel.seen {
			w.slack()
		}
		w.heel = heelWatch{}
		return
	}
	off := w.d.body.At.minus(w.h.body.At)
	along := off.dot(forward(w.h.body.Heading)) - placeAhead
	beside := off.dot(left(w.h.body.Heading))*w.side - placeBeside
	w.judge("ahead", along)
	w.judge("behind", -along)
	w.judge("wide", beside)
	if w.running("crowding") || w.seconds() > w.d.turned+aBrush { // a brush in a turn is none
		w.judge("crowding", -beside)
	} else {
		w.judge("crowding", 0)
	}
	switch {
	case w.d.body.Nose > 0.6:
		w.begin("off-task", kind("scent"))
	case w.d.body.Nose < 0.4:
		w.end("off-task")
	}
	w.attend()
}

// judge begins or ends an error by how far the dog is off.
func (w *world) judge(code string, by float64) {
	limit := bounds[code]
	if w.heel.pending == nil {
		w.heel.pending = map[string]annotate.Micros{}
	}
	since, pending := w.heel.pending[code]
	switch {
	case w.running(code):
		if by < limit.ends {
			w.end(code)
		}
	case by < limit.begins:
		delete(w.heel.pending, code)
	case !pending:
		w.heel.pending[code] = w.now()
	case (w.now() - since).Seconds() >= aStep:
		delete(w.heel.pending, code)
		w.begin(code, annotate.Details{})
		w.log.events[w.log.open[code]].Start = since
	}
}

// lapses are the codes of what goes wrong in heel work.
var lapses = []string{"behind", "ahead", "wide", "crowding", "off-task"}

// wrong reports whether the dog is out of its place at the leg, or elsewhere in
// mind.
func (w *world) wrong() bool {
	return slices.ContainsFunc(lapses, w.running)
}

// attend is what the handler does about errors: wait a moment, then one step
// after the other from the mild end, and praise when the dog is right again.
func (w *world) attend() {
	a, wrong := &w.heel, w.wrong()
	switch {
	case wrong && !a.seen:
		a.seen, a.steps, a.next = true, 0, w.seconds()+w.between(0.5, 0.9)
	case wrong && w.seconds() >= a.next && a.steps < len(w.temper.Ladder):
		w.press(w.temper.Ladder[a.steps])
		a.steps++
		a.next = w.seconds() + w.between(1.1, 1.5)
	case !wrong && a.seen:
		a.seen = false
		w.slack()
		if a.steps > 0 || w.chance(0.3) {
			w.praise(w.between(0.5, 1))
		}
	}
}

// slack lets the line go slack a moment after the dog is right; a handler who
// doesn't notice holds on.
func (w *world) slack() {
	if !w.running("leash-guide") || w.h.asleep {
		return
	}
	after := w.between(0.12, 0.4)
	if w.temper.HoldsOn > 0 {
		after, w.temper.HoldsOn, w.h.asleep = w.temper.HoldsOn, 0, true
	}
	w.in(after, func() { w.h.taut, w.h.asleep = false, false; w.end("leash-guide") })
}

// press is one step on the ladder against a lapse.
func (w *world) press(channel string) {
	answers := map[string]float64{"voice": w.temper.Voice, "leash-guide": 0.85, "leash-pop": 0.95, "tone": 0.95}[channel]
	switch channel {
	case "voice":
		w.speak("ah")
		w.moment("voice", annotate.Details{})
	case "leash-guide":
		w.h.taut = true
		w.begin("leash-guide", annotate.Details{})
	case "leash-pop":
		w.pop()
	case "tone":
		w.sound()
	}
	if w.chance(answers) {
		w.in(w.between(0.25, 0.5), func() { w.d.mend(w) })
	} else {
		w.d.lapse.until += 1.5
	}
}
