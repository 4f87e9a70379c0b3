package outing

import (
	"math"

	"afterwalk/annotate"
)

// Where the dog's shoulders belong beside the handler, metres ahead of and
// beside the handler's middle.
const (
	placeAhead  = 0.05
	placeBeside = 0.36
)

const (
	walkingSpeed = 1.2 // metres a second
	stepLength   = 0.7
)

// handler is the handler's body and what it is about to do.
type handler struct {
	body        Person
	speed, goal float64 // metres a second, now and wanted
	heading     float64 // wanted; not wrapped, so that turns go the meant way round
	turnRate    float64 // radians a second
	back        bool    // walks backwards
	bow, arm    float64 // wanted
	lean        float64
	taut        bool
	asleep      bool // doesn't notice that the line is still taut
	voice       int
	voiceLeft   int // ticks
}

// move lets the handler's body do for a tick what is wanted of it.
func (h *handler) move(w *world) {
	b := &h.body
	h.speed = towards(h.speed, h.goal, 3.5*tick)
	b.Heading = towards(b.Heading, h.heading, h.turnRate*tick)
	way := forward(b.Heading).times(h.speed * tick)
	if h.back {
		way = way.times(-1)
	}
	b.At = b.At.plus(way)
	pace := h.speed + 0.35*math.Abs(h.heading-b.Heading) // turning on the spot takes steps as well
	pace = min(pace, walkingSpeed*1.2)
	before := math.Floor(b.Phase / math.Pi)
	b.Phase += pace * tick * math.Pi / stepLength
	if math.Floor(b.Phase/math.Pi) > before {
		w.hear("step", "", b.At)
	}
	b.Stride = towards(b.Stride, clamp(pace/walkingSpeed, 0, 1.2), 4*tick)
	b.Bow = towards(b.Bow, h.bow, 3*tick)
	b.Arm = towards(b.Arm, h.arm, 5*tick)
	b.Lean = towards(b.Lean, h.lean, 4*tick)
	if h.voiceLeft--; h.voiceLeft <= 0 {
		h.voice = 0
	}
}

// speak says a word. A marker or praise has its own look and sound.
func (w *world) speak(word string) {
	w.h.voice, w.h.voiceLeft = 1, 24
	switch word {
	case "yes":
		w.h.voice = 2
		w.hear("marker", word, w.h.body.At)
	case "good":
		w.h.voice = 2
		w.hear("praise", word, w.h.body.At)
	default:
		w.hear("word", word, w.h.body.At)
	}
}

// walk takes the handler some metres straight on.
func (w *world) walk(metres float64) {
	h := &w.h
	h.goal = walkingSpeed
	from, way := h.body.At, forward(h.body.Heading)
	w.until(func() bool { return h.body.At.minus(from).dot(way) >= metres }, 3*metres)
}

// turn turns left, right or about (away from the dog) without stopping.
func (w *world) turn(which string) {
	angle := map[string]float64{"left": math.Pi / 2, "right": -math.Pi / 2, "about": -math.Pi * w.side}[which]
	h := &w.h
	h.heading += angle
	h.turnRate = 3.4
	h.goal = walkingSpeed * 0.6
	w.moment("turn", kind(which))
	w.d.turned = w.seconds()
	w.until(func() bool { return h.body.Heading == h.heading }, 3)
	h.goal = walkingSpeed
}

// stop brings the handler to a halt, without a word.
func (w *world) stop() {
	w.h.goal = 0
	w.until(func() bool { return w.h.speed == 0 }, 2)
}

// face turns on the spot to a place.
func (w *world) face(to Vec) {
	h := &w.h
	angle := to.minus(h.body.At).angle()
	h.heading = h.body.Heading + math.Remainder(angle-h.body.Heading, 2*math.Pi)
	h.turnRate = 3
	w.until(func() bool { return h.body.Heading == h.heading }, 3)
}

// stride goes to a place by itself, without the dog.
func (w *world) stride(to Vec) {
	w.face(to)
	h := &w.h
	h.goal = walkingSpeed * 1.2
	w.until(func() bool { return h.body.At.distance(to) < 0.25 }, 12)
	w.stop()
}

// cue asks the dog for something; it may be a reminder or a second call.
func (w *world) cue(command string) {
	if x := w.exercise(); stays[x] && x != "ex-"+command {
		w.end(x, "broke")
	} else if x == "ex-free" {
		w.end(x)
	}
	w.speak(command)
	w.moment(command, annotate.Details{})
	if command == "come" {
		w.begin("ex-recall", annotate.Details{})
	}
}

var stays = map[string]bool{"ex-sit": true, "ex-down": true, "ex-place": true}

// exercise returns the code of the running exercise, "" if there is none.
func (w *world) exercise() string {
	for _, x := range []string{"ex-heel", "ex-sit", "ex-down", "ex-place", "ex-recall", "ex-free"} {
		if w.running(x) {
			return x
		}
	}
	return ""
}

// did waits for the dog to do what it was asked, logs that and starts the
// exercise that follows. It reports whether the dog did.
func (w *world) did(so func() bool, atMost float64, next string) bool {
	if !w.until(so, atMost) {
		return false
	}
	w.moment("did", annotate.Details{})
	w.end("ex-heel", "ex-recall")
	w.end(lapses...)
	if next != "" {
		w.begin(next, annotate.Details{})
	}
	return true
}

// praise has the handler praise after some seconds.
func (w *world) praise(after float64) {
	w.in(after, func() {
		if w.ticks < w.d.pleased || w.wrong() {
			return // just praised, or no reason any more
		}
		w.speak("good")
		w.d.pleased = w.ticks + 90
		w.moment("praise", annotate.Details{})
	})
}

// mark says that this was right.
func (w *world) mark() {
	w.speak("yes")
	w.d.pleased = w.ticks + 90
	w.moment("marker", annotate.Details{})
}

// pay gives the dog something to eat from the hand.
func (w *world) pay() {
	w.h.bow = 1
	w.wait(0.55)
	w.moment("paid", annotate.Details{})
	w.hear("tag", "", w.d.body.At)
	w.wait(0.35)
	w.h.bow = 0
	w.wait(0.35)
}

// release sets the dog free.
func (w *world) release() {
	w.speak("free")
	w.moment("release", annotate.Details{})
	w.end(w.exercise())
	w.end("broke")
	w.begin("ex-free", annotate.Details{})
}
