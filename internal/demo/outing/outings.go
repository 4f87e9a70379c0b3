package outing

import (
	"math/rand/v2"
	"time"

	"afterwalk/annotate"
)

// Outing is one dog's outing: what is known of it before it is played.
type Outing struct {
	Dog, Handler string
	Venue        string
	Line, Device string // what was used; "" for no device
	Plan         string // what was meant to be done, and a word about it
	Notes        string // afterwards
	Clips        []Clip
}

// Clip is one film, of an outing or of none.
type Clip struct {
	Name         string // of its files
	Dog, Handler string // who is on it; the dog that comes first
	Venue        string
	Device       string
	At           time.Time // when it begins
	line         string    // code of the line that is used
	temper       Temper
	seed         uint64
	plan         func(*world)
}

// File returns the name of the clip's film.
func (c Clip) File() string { return c.Name + c.At.Format("-2006-01-02") + ".mp4" }

// The people, the dogs and the venues of the demo.
const (
	Tansy   = "Tansy"   // spaniel mix, worked on the left
	Bramble = "Bramble" // lurcher, worked on the right
	Varga   = "I. Varga"
	Quill   = "P. Quill"

	AlderLane     = "Alder Lane"
	MillMeadow    = "Mill Meadow"
	QuarryCarPark = "Quarry Car Park"
)

// Side returns where a dog is worked, seen from the handler.
func Side(dog string) string {
	if dog == Bramble {
		return "right"
	}
	return "left"
}

// Outings returns the outings of the demo by date: six weeks with two dogs.
// Tansy gets better at the leg and in her stays, with a bad day on strange
// ground; her recall stands still. Bramble comes sooner from week to week, with
// ever less of the collar, and stays uneven at the leg.
func Outings() []Outing {
	outings := append(tansysOutings(), bramblesOutings()...)
	for i := range outings {
		o := &outings[i]
		for k := range o.Clips {
			c := &o.Clips[k]
			c.Dog, c.Handler, c.Venue, c.Device = o.Dog, o.Handler, o.Venue, o.Device
		}
	}
	byDate(outings)
	return outings
}

// Clips returns all films of the demo: those of the outings, in their order, and
// last the one that nobody has sorted yet.
func Clips() []Clip {
	var clips []Clip
	for _, o := range Outings() {
		clips = append(clips, o.Clips...)
	}
	return append(clips, unsorted())
}

// Play plays a clip from beginning to end.
func Play(c Clip) *Run {
	w := &world{rng: rand.New(rand.NewPCG(c.seed, 0x7a6e)), temper: c.temper, clip: c, side: 1}
	if Side(c.Dog) == "right" {
		w.side = -1
	}
	w.begin(c.line, annotate.Details{})
	c.plan(w)
	w.finish()
	w.run.Length = annotate.Micros(int64(len(w.run.Frames)) * int64(annotate.Second) / Rate)
	return &w.run
}
