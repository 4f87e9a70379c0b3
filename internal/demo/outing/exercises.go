package outing

import (
	"math"

	"afterwalk/annotate"
)

// stand puts handler and dog into the field before the camera runs.
func (w *world) stand(at Vec, heading float64, dog Vec, bed Vec, smells ...Vec) {
	w.h.body = Person{Name: w.clip.Handler, Right: w.side < 0, At: at, Heading: heading}
	w.h.heading, w.h.turnRate = heading, 3
	w.bed = bed
	w.d.body = Animal{Name: w.clip.Dog, At: dog, Heading: heading + 0.7}
	w.d.state, w.d.trail = free, smells
}

// toHeel asks the dog to the leg and sets off when it is there.
func (w *world) toHeel() {
	w.cue("heel")
	w.hears(w.between(0.4, 0.7)*w.temper.Latency, func() { w.d.state = heeling })
	w.did(w.atTheLeg, 6, "ex-heel")
	w.wait(0.25)
}

// atTheLeg reports whether the dog stands level with the handler's leg.
func (w *world) atTheLeg() bool {
	off := w.d.body.At.minus(w.h.body.At)
	h := w.h.body.Heading
	return w.d.state == heeling && math.Abs(off.dot(forward(h))-placeAhead) < 0.08 && math.Abs(off.dot(left(h))*w.side-placeBeside) < 0.1 &&
		w.d.body.Sit < 0.1 && w.d.body.Down < 0.1
}

// haltSit stops; the dog sits of itself.
func (w *world) haltSit() {
	w.stop()
	w.moment("halt", annotate.Details{})
	w.d.lapse = lapse{}
	w.in(w.between(0.4, 0.7)*w.temper.Latency, func() { w.d.state = sitting })
	w.did(func() bool { return w.d.body.Sit > 0.98 }, 5, "ex-sit")
}

// settle stops, and waits for the dog to stand at the leg.
func (w *world) settle() {
	w.stop()
	w.d.mend(w)
	w.until(w.atTheLeg, 2.5)
	w.wait(0.4)
}

// goDown asks for a down that the dog does at once.
func (w *world) goDown() {
	w.cue("down")
	w.hears(w.between(0.5, 0.8)*w.temper.Latency, func() { w.d.state = lying })
	w.did(func() bool { return w.d.body.Down > 0.98 && w.d.body.Sit < 0.05 }, 6, "ex-down")
}

// away leaves the dog in its stay, to a place from which the handler looks back.
func (w *world) away(to Vec) {
	w.moment("pace", kind("goes away"))
	w.stride(to)
	w.face(w.d.body.At)
}

// backTo returns to the dog's side.
func (w *world) backTo() {
	w.moment("pace", kind("comes back"))
	from := w.d.body
	w.stride(from.At.plus(left(from.Heading).times(-placeBeside * w.side)))
	h := &w.h
	h.heading = h.body.Heading + math.Remainder(from.Heading-h.body.Heading, 2*math.Pi)
	w.wait(0.5)
}

// come is called to a dog that is free; it ends in front of the handler.
func (w *world) come() {
	w.did(func() bool { return w.d.body.At.distance(w.h.body.At) < 0.8 && w.d.state == coming }, 10, "")
	w.mark()
	w.wait(0.3)
	w.pay()
}

// place sends the dog to its bed.
func (w *world) place() {
	w.face(w.bed)
	w.h.arm = 1
	w.cue("place")
	w.hears(w.between(0.4, 0.7)*w.temper.Latency, func() { w.d.state = bedding })
	w.did(func() bool { return w.d.body.At.distance(w.bed) < 0.14 }, 10, "ex-place")
	w.h.arm = 0
}

// approach comes up to a dog on its bed; if it leaves the bed, that is mended
// on the way.
func (w *world) approach(bed Vec) {
	side := bed.plus(w.h.body.At.minus(bed).times(0.62 / w.h.body.At.distance(bed)))
	h := &w.h
	h.goal = walkingSpeed * 0.8
	w.returning = true
	for h.body.At.distance(side) > 0.2 {
		w.step()
		if w.d.state == broken {
			w.mendStay()
		}
	}
	w.stop()
	w.returning = false
}

// sit asks for a sit that the dog does at once.
func (w *world) sit() {
	w.cue("sit")
	w.hears(w.between(0.5, 0.8)*w.temper.Latency, func() { w.d.state = sitting })
	w.did(func() bool { return w.d.body.Sit > 0.98 }, 6, "ex-sit")
}

// setFree releases the dog, which then follows its nose.
func (w *world) setFree(smells ...Vec) {
	w.release()
	w.d.state, w.d.trail = free, smells
}

// call calls a dog that turns to the handler after a latency.
func (w *world) call(latency float64) {
	w.face(w.d.body.At)
	w.cue("come")
	w.hears(latency, func() { w.d.state = coming })
	w.come()
}

// callTwice calls a dog that has other things to do, and calls it again after
// some seconds, with a clap.
func (w *world) callTwice(after float64) {
	w.face(w.d.body.At)
	w.cue("come")
	w.hears(30, func() {})
	w.wait(after)
	w.moment("no-answer", annotate.Details{})
	w.wait(0.4)
	w.h.arm = 0.6
	w.moment("help", kind("pat or clap"))
	w.hear("clap", "", w.h.body.At)
	w.wait(0.4)
	w.cue("come")
	w.hears(0.8, func() { w.d.state, w.h.arm = coming, 0 })
	w.come()
}

// callWithCollar calls a dog that doesn't answer, then gives the tone, and after
// that taps at a level, one at a time, until the dog turns.
func (w *world) callWithCollar(taps int, level float64) {
	w.face(w.d.body.At)
	w.cue("come")
	w.hears(30, func() {})
	w.wait(2.4)
	w.moment("no-answer", annotate.Details{})
	w.wait(0.3)
	w.sound()
	w.wait(1.3)
	for range taps - 1 {
		w.stim(level)
		w.wait(1.3)
	}
	if taps > 0 {
		w.stim(level)
	}
	w.in(0.45, func() { w.d.state = coming })
	w.come()
}

// lend bends down and shows the dog with the hand what is meant.
func (w *world) lend(bow float64) {
	w.h.bow = bow
	w.moment("help", kind("hand"))
}

// leaveField walks on at heel until nobody is in the picture any more.
func (w *world) leaveField() {
	w.h.goal = walkingSpeed
	w.until(func() bool {
		return math.Abs(w.h.body.At.X) > edge(w.h.body.At.Z)+1 && math.Abs(w.d.body.At.X) > edge(w.d.body.At.Z)+1
	}, 8)
	w.h.goal = 0
	w.end(w.exercise())
	w.end(lapses...)
}
