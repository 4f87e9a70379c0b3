package outing

import (
	"math/rand/v2"

	"afterwalk/annotate"
)

// tick is the length of a step of the world; two make a frame.
const (
	ticksPerFrame = 2
	ticksPerS     = Rate * ticksPerFrame
	tick          = 1.0 / ticksPerS
)

// Run is what happened on an outing.
type Run struct {
	Frames []Frame
	Sounds []Sound
	Truth  []annotate.Event // sorted; details hold what the code doesn't say already
	Length annotate.Micros
}

// world is an outing while it is played. The plan drives it: whatever the
// handler does takes time by calling step, in which everything else goes on.
type world struct {
	ticks     int
	rng       *rand.Rand
	temper    Temper
	clip      Clip
	side      float64 // 1: the dog is worked on the left, -1: on the right
	h         handler
	d         dog
	rider     *Cyclist
	passer    *Passer
	ball      *Ball
	kick      Vec // speed of the ball
	bed       Vec
	lamp      int  // ticks that it stays on
	tap       bool // it is lit for a tap
	returning bool // the handler is on the way back to a dog on its bed
	later     []appointment
	log       truthLog
	heel      heelWatch
	run       Run
}

// appointment is something that happens at a tick to come.
type appointment struct {
	at int
	do func()
}

// now returns the time as the truth has it.
func (w *world) now() annotate.Micros {
	return annotate.FromSeconds(float64(w.ticks) * tick)
}

func (w *world) seconds() float64 { return float64(w.ticks) * tick }

// in has something happen after some seconds.
func (w *world) in(seconds float64, do func()) {
	w.later = append(w.later, appointment{w.ticks + max(1, int(seconds*ticksPerS)), do})
}

// step lets one tick pass.
func (w *world) step() {
	due := w.later
	w.later = nil
	for _, a := range due {
		if a.at <= w.ticks {
			a.do()
		} else {
			w.later = append(w.later, a)
		}
	}
	w.h.move(w)
	w.d.move(w)
	w.moveProps()
	w.judgeHeel()
	if w.ticks%ticksPerFrame == 0 {
		w.run.Frames = append(w.run.Frames, w.picture())
	}
	w.lamp = max(0, w.lamp-1)
	w.ticks++
}

// wait lets some seconds pass.
func (w *world) wait(seconds float64) {
	for range int(seconds*ticksPerS + 0.5) {
		w.step()
	}
}

// until waits until something is so, at most some seconds, and reports whether
// it came about.
func (w *world) until(so func() bool, atMost float64) bool {
	for range int(atMost * ticksPerS) {
		if so() {
			return true
		}
		w.step()
	}
	return so()
}

// between draws a number evenly.
func (w *world) between(low, high float64) float64 { return low + (high-low)*w.rng.Float64() }

// chance is true with probability p.
func (w *world) chance(p float64) bool { return w.rng.Float64() < p }

// hear adds a sound at a place now.
func (w *world) hear(kind, word string, at Vec) {
	w.run.Sounds = append(w.run.Sounds, Sound{At: w.seconds(), Kind: kind, Word: word, Pan: clamp(at.X/(0.5*max(1, at.Z)), -1, 1), Far: at.Z})
}

// picture is what the camera sees now.
func (w *world) picture() Frame {
	f := Frame{Handler: w.h.body, Dog: w.d.body, Bed: w.bed, Taut: w.h.taut, Voice: w.h.voice, Lamp: w.lamp > 0, Tap: w.lamp > 0 && w.tap}
	if w.rider != nil {
		r := *w.rider
		f.Rider = &r
	}
	if w.passer != nil {
		p := *w.passer
		f.Passer = &p
	}
	if w.ball != nil {
		b := *w.ball
		f.Ball = &b
	}
	return f
}
