package outing

import (
	"math"

	"afterwalk/annotate"
)

// laneZ is how far away the lane behind the field is, metres.
const laneZ = 13.5

// edge is where the picture ends at a distance, metres from its middle; a little
// more so that things come in whole.
func edge(z float64) float64 { return 0.5*z + 0.9 }

// sendRider lets a cyclist come along the lane, from the right.
func (w *world) sendRider() {
	w.rider = &Cyclist{At: Vec{edge(laneZ), laneZ}, Speed: -3.6}
	w.run.Sounds = append(w.run.Sounds, Sound{At: w.seconds(), Kind: "wheels", Far: laneZ, Lasts: 2 * edge(laneZ) / 3.6})
	w.in(0.7, func() { w.hear("bell", "", w.rider.At) })
	w.distract("vehicle", Vec{w.d.body.At.X, laneZ})
}

// rollBall lets a ball roll across the field at a distance, from the left.
func (w *world) rollBall(z float64) {
	w.ball = &Ball{At: Vec{-edge(z), z}}
	w.kick = Vec{2.1, 0}
	w.distract("toy", Vec{w.d.body.At.X, z})
}

// pass lets a car or someone with a dog pass behind the field, from the right.
func (w *world) pass(which string) {
	speed := map[string]float64{Car: -4.6, Walker: -1.9}[which]
	w.passer = &Passer{Kind: which, At: Vec{edge(laneZ) + 1.6, laneZ}, Speed: speed}
	lasts := -2 * w.passer.At.X / speed
	if which == Car {
		w.run.Sounds = append(w.run.Sounds, Sound{At: w.seconds(), Kind: "motor", Far: laneZ, Lasts: lasts})
		w.distract("vehicle", Vec{w.d.body.At.X, laneZ})
		return
	}
	w.in(1.6, func() { w.hear("bark", "", w.passer.At) })
	w.distract("dog", Vec{w.d.body.At.X, laneZ})
}

func (w *world) distract(what string, nearest Vec) {
	distance := math.Round(w.d.body.At.distance(nearest))
	w.begin("distraction", annotate.Details{Kind: what, DistanceM: &distance})
}

// moveProps moves cyclist and ball, and takes them away at the picture's edge.
func (w *world) moveProps() {
	if r := w.rider; r != nil {
		r.At.X += r.Speed * tick
		r.Phase += math.Abs(r.Speed) * tick / 0.34
		if r.At.X < -edge(r.At.Z) {
			w.rider = nil
		}
	}
	if p := w.passer; p != nil {
		p.At.X += p.Speed * tick
		p.Phase += math.Abs(p.Speed) * tick * map[string]float64{Car: 1 / 0.3, Walker: math.Pi / stepLength}[p.Kind]
		if p.At.X < -edge(p.At.Z)-1.6 {
			w.passer = nil
		}
	}
	if b := w.ball; b != nil {
		b.At = b.At.plus(w.kick.times(tick))
		b.Turn += w.kick.X * tick / 0.11
		if w.ticks%40 == 0 {
			w.hear("bounce", "", b.At)
		}
		if b.At.X > edge(b.At.Z) {
			w.ball = nil
		}
	}
	if w.rider == nil && w.passer == nil && w.ball == nil {
		w.end("distraction")
	}
}
