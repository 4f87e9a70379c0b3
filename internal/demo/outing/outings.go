package outing

import (
	"math/rand/v2"
	"time"

	"afterwalk/annotate"
)

// Outing is what is known of an outing before it is played.
type Outing struct {
	Name   string // of its files
	Venue  string
	Plan   string // what was meant to be done, and a word about it afterwards
	Notes  string
	At     time.Time
	temper Temper
	seed   uint64
	plan   func(*world)
}

// Temper is the day's form of dog and handler.
type Temper struct {
	Lapses       float64  // lapses in heel position that begin in a second
	LapseLength  float64  // share of the usual
	Latency      float64  // share of the usual
	Voice        float64  // chance that a word is enough
	Ladder       []string // what the handler does about a lapse, one after the other
	BallBreaks   float64  // stays broken in a second, while a ball is near
	RiderBreaks  float64
	ReturnBreaks float64 // as the handler comes back to the bed
}

// The people and the dog of the demo.
const (
	Dog     = "Tansy"
	Handler = "I. Varga"
)

// Outings returns the two outings of the demo, a week apart. On the second the
// dog is better at the leg and in its stays, and slower to come.
func Outings() []Outing {
	summer := time.FixedZone("", 3600)
	return []Outing{
		{Name: "alder-lane", Venue: "Alder Lane", At: time.Date(2026, 5, 2, 9, 42, 18, 0, summer), seed: 389, plan: alderLane,
			Plan:  "Heel work with turns, halts without a word. Down facing me, then with a ball going past. Recall, bed.",
			Notes: "Wind from the lane, lots of scent along the fence. First time down facing me.",

			temper: Temper{Lapses: 0.34, LapseLength: 1.5, Latency: 1.25, Voice: 0.5, Ladder: []string{"voice", "leash-guide", "tone"}, BallBreaks: 3, ReturnBreaks: 2},
		},
		{
			Name: "mill-meadow", Venue: "Mill Meadow", At: time.Date(2026, 5, 9, 10, 5, 51, 0, summer), seed: 60, plan: millMeadow,
			Plan:  "The same, in a new place: fewer words, ball farther off.",
			Notes: "Long grass, freshly mown in the middle. Stays much better; the recall wasn't.",

			temper: Temper{Lapses: 0.22, LapseLength: 1, Latency: 0.9, Voice: 0.75, Ladder: []string{"voice", "leash-guide"}, ReturnBreaks: 2},
		},
	}
}

// Play plays an outing from beginning to end.
func Play(o Outing) *Run {
	w := &world{rng: rand.New(rand.NewPCG(o.seed, 0x7a6e)), temper: o.temper}
	w.begin("long-line", annotate.Details{})
	o.plan(w)
	w.finish()
	w.run.Length = annotate.Micros(int64(len(w.run.Frames)) * int64(annotate.Second) / Rate)
	return &w.run
}

// File returns the name of the outing's film.
func (o Outing) File() string { return o.Name + o.At.Format("-2006-01-02") + ".mp4" }
