package outing

import (
	"math"

	"afterwalk/annotate"
)

// What the dog is about.
const (
	free    = "free"    // goes where its nose leads
	heeling = "heeling" // beside the handler
	sitting = "sitting"
	lying   = "lying"
	coming  = "coming"
	bedding = "bedding" // on its way to the bed, or on it
	broken  = "broken"  // out of a stay
	mending = "mending" // on its way back into it
)

// dog is the dog's body and its mind.
type dog struct {
	body     Animal
	velocity Vec
	state    string
	lapse    lapse
	rested   float64 // second at which the last lapse ended
	turned   float64 // second at which the handler last turned
	noise    float64 // of its place along the leg, metres
	trail    []Vec   // what it will smell at while free
	sniffing int     // ticks left at one smell
	spot     Vec     // where it was told to stay
	stay     string  // the state that it broke
	lure     Vec     // what it left the stay for
	face     float64 // heading when it stands still
	heard    int     // tick until which its ears are up
	pleased  int     // tick until which it wags
	shaking  int     // ticks left of shaking itself
	licking  int     // ticks left of licking its lips
	away     int     // ticks left of looking away
}

// move lets the dog do for a tick what it is about.
func (d *dog) move(w *world) {
	b := &d.body
	var goal Vec
	limit, sit, down, nose := 0.0, 0.0, 0.0, 0.0
	eager := 5.0 // how fast a distance is made up, 1/s
	goal = b.At
	switch d.state {
	case free:
		goal, limit = d.wander(w)
		if d.sniffing > 0 {
			nose = 1
		}
		eager = 2
	case heeling:
		goal, limit, nose = d.beside(w)
	case sitting:
		sit = 1
	case lying:
		down = 1
	case coming:
		goal = w.h.body.At.plus(b.At.minus(w.h.body.At).times(0.62 / max(0.62, b.At.distance(w.h.body.At))))
		limit, eager = w.d.swift(), 3
		d.face = w.h.body.At.minus(b.At).angle()
	case bedding:
		goal, limit = w.bed, 2.2
		if b.At.distance(w.bed) < 0.12 {
			down = 1
		}
	case broken:
		goal, limit, eager = d.lure, 1.3, 2
	case mending:
		goal, limit = d.spot, 1.4
		if b.At.distance(d.spot) < 0.2 {
			d.state = d.stay
		}
	}
	if b.Sit > 0.35 || b.Down > 0.25 { // gets up first
		limit = 0
	}
	d.travel(w, goal, limit, eager)
	if b.Stride > 0.5 {
		sit, down = 0, 0
	}
	b.Sit = towards(b.Sit, sit, tick/0.42)
	b.Down = towards(b.Down, down, tick/0.6)
	b.Nose = towards(b.Nose, nose, tick/0.3)
	d.express(w)
	d.tempted(w)
}

// swift is how fast the dog runs when it is called, metres a second.
func (d *dog) swift() float64 {
	if d.body.Name == Bramble {
		return 4.2
	}
	return 3.3
}

// travel moves the body towards a goal, at most at some speed.
func (d *dog) travel(w *world, goal Vec, limit, eager float64) {
	b := &d.body
	want := goal.minus(b.At).times(eager)
	if d.state == heeling {
		want = want.plus(forward(w.h.body.Heading).times(w.h.speed))
	}
	if l := want.length(); l > limit {
		want = want.times(limit / max(l, 1e-9))
	}
	change := want.minus(d.velocity)
	if l := change.length(); l > 9*tick {
		change = change.times(9 * tick / l)
	}
	d.velocity = d.velocity.plus(change)
	speed := d.velocity.length()
	b.At = b.At.plus(d.velocity.times(tick))
	if away := b.At.minus(w.h.body.At); away.length() < 0.28 { // not through the handler
		b.At = w.h.body.At.plus(away.times(0.28 / max(away.length(), 1e-9)))
	}
	face := d.face
	if d.state == heeling {
		face = w.h.body.Heading
	}
	if speed > 0.35 {
		face = d.velocity.angle()
	}
	if speed > 0.35 || d.state == heeling || d.state == coming {
		b.Heading = turnTowards(b.Heading, face, 6*tick)
	}
	before := math.Floor(b.Phase / math.Pi)
	b.Phase += speed * tick * math.Pi / 0.34
	if speed > 0.3 && math.Floor(b.Phase/math.Pi) > before {
		w.hear("paws", "", b.At)
	}
	b.Stride = towards(b.Stride, clamp(speed/1.1, 0, 1.8), 6*tick)
	onBed := b.At.distance(w.bed) < 0.42
	b.Height = towards(b.Height, map[bool]float64{true: bedHeight, false: 0}[onBed], tick/0.8)
}

// bedHeight is how high the dog's bed stands, metres.
const bedHeight = 0.12

// wander leads the dog from smell to smell.
func (d *dog) wander(w *world) (goal Vec, limit float64) {
	if d.sniffing > 0 {
		d.sniffing--
		return d.body.At, 0.2
	}
	if len(d.trail) == 0 {
		return d.body.At, 0
	}
	goal = d.trail[0]
	if d.body.At.distance(goal) < 0.15 {
		d.trail = d.trail[1:]
		d.sniffing = int(w.between(1.2, 2.2) * ticksPerS)
	}
	return goal, 1.1
}

// express moves head, ears and tail by what the dog is about.
func (d *dog) express(w *world) {
	b := &d.body
	up, look, ear, wag := 0.0, 0.0, 0.0, 0.12*math.Sin(5*w.seconds())
	to := math.Remainder(w.h.body.At.minus(b.At).angle()-b.Heading, 2*math.Pi)
	if d.state == heeling && d.lapse.kind == "" || d.state == sitting || d.state == coming {
		up = 0.7
		look = clamp(to, -0.7, 0.7)
	}
	if d.state == lying {
		look = clamp(to, -0.9, 0.9)
	}
	if lure, pull := w.lure(); pull && (stayState[d.state] || d.state == broken) {
		look = clamp(math.Remainder(lure.minus(b.At).angle()-b.Heading, 2*math.Pi), -1.1, 1.1)
		up, ear = 0, 1
	}
	if w.ticks < d.heard {
		ear, look, up = 1, clamp(to, -1.1, 1.1), max(up, 0.5)
	}
	if w.ticks < d.pleased {
		wag = 0.6 * math.Sin(22*w.seconds())
	}
	if d.lapse.kind == "off-task" || d.state == free && d.sniffing > 0 {
		look, up = 0, 0
	}
	if d.away > 0 {
		d.away--
		look, up, ear = 1.1, 0, 0
		if to > 0 {
			look = -1.1
		}
	}
	lick := 0.0
	if d.licking > 0 {
		d.licking--
		lick = 0.5 - 0.5*math.Cos(math.Pi*float64(d.licking)/12)
	}
	b.Lick = lick
	b.Look = towards(b.Look, look, 5*tick)
	if d.shaking > 0 {
		d.shaking--
		b.Look, wag = 0.5*math.Sin(38*w.seconds()), 0.7*math.Sin(38*w.seconds())
	}
	b.Up = towards(b.Up, up, 3*tick)
	b.Ear = towards(b.Ear, ear, 6*tick)
	b.Wag = wag
}

var stayState = map[string]bool{sitting: true, lying: true, bedding: true}

// hears has the dog take in what was said after a moment, and then do as told
// after a latency.
func (w *world) hears(latency float64, do func()) {
	w.in(min(w.between(0.28, 0.5), latency*0.7), func() {
		w.d.heard = w.ticks + 50
		w.moment("heard", annotate.Details{})
	})
	w.in(latency, do)
}
