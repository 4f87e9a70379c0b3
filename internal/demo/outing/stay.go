package outing

import (
	"math"

	"afterwalk/annotate"
)

// lure returns what draws the dog's eye now.
func (w *world) lure() (at Vec, there bool) {
	if w.ball != nil {
		return w.ball.At, true
	}
	if w.rider != nil {
		return w.rider.At, true
	}
	if w.passer != nil {
		return w.passer.At, true
	}
	return Vec{}, false
}

// tempted lets a staying dog leave for what goes on, now and then.
func (d *dog) tempted(w *world) {
	b := &d.body
	settled := d.state == sitting && b.Sit > 0.98 || (d.state == lying || d.state == bedding) && b.Down > 0.98
	if !settled || w.exercise() == "" || !stays[w.exercise()] {
		return
	}
	switch {
	case w.ball != nil && math.Abs(w.ball.At.X-b.At.X) < 1.6 && w.chance(w.temper.BallBreaks*tick):
		d.leave(w, w.ball.At.plus(w.kick.times(0.5)), "got up")
	case w.rider != nil && w.chance(w.temper.RiderBreaks*tick):
		d.leave(w, Vec{w.rider.At.X, w.rider.At.Z}, "got up")
	case w.passer != nil && w.temper.PasserBreaks > 0 && w.chance(w.temper.PasserBreaks*tick):
		w.temper.PasserBreaks = 0 // once is enough
		d.leave(w, w.passer.At, "left")
	case w.returning && d.state == bedding && b.At.distance(w.h.body.At) < 1.7 && w.chance(w.temper.ReturnBreaks*tick):
		d.leave(w, w.h.body.At, "as handler came back")
	}
}

// leave breaks the stay.
func (d *dog) leave(w *world, lure Vec, how string) {
	w.returning = false // once is enough
	d.spot, d.stay = d.body.At, d.state
	away := lure.minus(d.spot)
	d.lure = d.spot.plus(away.times(min(1, 0.8/max(away.length(), 1e-9))))
	d.state = broken
	w.begin("broke", kind(how))
}

// hold lets a stay go on for some seconds. If the dog breaks it, the handler
// mends that, and the time goes on.
func (w *world) hold(seconds float64) {
	for end := w.ticks + int(seconds*ticksPerS); w.ticks < end; {
		w.step()
		if w.d.state == broken {
			w.mendStay()
		}
	}
}

// mendStay is what the handler does about a broken stay: a word, and if that is
// not enough a step towards the dog, which ends as the dog gives way.
func (w *world) mendStay() {
	goal := w.h.goal
	w.h.goal = 0
	w.wait(w.between(0.5, 0.8))
	w.speak("ah")
	w.moment("voice", annotate.Details{})
	back := func() bool { return w.d.state == w.d.stay && (w.d.body.Sit > 0.98 || w.d.body.Down > 0.98) }
	if w.chance(w.temper.Voice) {
		w.in(w.between(0.3, 0.6), func() { w.d.state = mending })
	} else {
		w.wait(w.between(0.9, 1.2))
		w.h.lean = 1
		w.begin("body", annotate.Details{})
		w.in(w.between(0.35, 0.6), func() { w.d.state = mending })
		w.in(w.between(0.7, 1.1), func() { w.h.lean = 0; w.end("body") })
	}
	w.until(back, 8)
	w.end("broke")
	w.praise(w.between(0.5, 0.9))
	w.wait(0.3)
	w.h.goal = goal
}
