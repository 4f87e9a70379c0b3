package coder

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"afterwalk/annotate"
)

// Slip is how a coded event differs from the truth.
type Slip struct {
	Truth  string          `json:"truth"`            // id of the true event
	Coded  string          `json:"coded,omitempty"`  // id of the coded event
	Missed bool            `json:"missed,omitempty"` // not coded at all
	Start  annotate.Micros `json:"start_us"`         // coded less true
	End    annotate.Micros `json:"end_us"`
}

// Most is the most by which a coded time may be off, a frame's rounding
// included.
const Most = 400_000 * annotate.Micros(1)

// Code returns the events that the reader codes, sorted, and the slip of each
// true event. Times are starts of frames, or end, where the last frame ends.
// Events that begin or end at one instant in truth do so in the coding, and
// what follows in truth does not come before. name goes into ids.
func Code(name string, truth []annotate.Event, frames []annotate.Micros, end annotate.Micros, seed uint64) ([]annotate.Event, []Slip) {
	rng := rand.New(rand.NewPCG(seed, 0xc0de))
	at := press(truth, frames, end, rng)
	var coded []annotate.Event
	var slips []Slip
	for _, e := range truth {
		slip := Slip{Truth: e.ID}
		if missed(e, rng) {
			slip.Missed = true
			slips = append(slips, slip)
			continue
		}
		c := e
		c.Start, c.End = at[e.Start], at[e.End]
		c.Note = note(name, e)
		slip.Start, slip.End = c.Start-e.Start, c.End-e.End
		c.ID = fmt.Sprintf("%s-%03d", name, len(coded)+1)
		slip.Coded = c.ID
		coded = append(coded, c)
		slips = append(slips, slip)
	}
	annotate.SortEvents(coded)
	return coded, slips
}

// press returns when the reader puts each instant of the truth.
func press(truth []annotate.Event, frames []annotate.Micros, end annotate.Micros, rng *rand.Rand) map[annotate.Micros]annotate.Micros {
	var instants []annotate.Micros
	for _, e := range truth {
		instants = append(instants, e.Start, e.End)
	}
	slices.Sort(instants)
	instants = slices.Compact(instants)
	at := make(map[annotate.Micros]annotate.Micros, len(instants))
	last := -1 // frame of the instant before
	for i, t := range instants {
		if i == 0 && t == 0 {
			at[t], last = frames[0], 0
			continue
		}
		if t > end-annotate.Second/10 {
			at[t] = end
			continue
		}
		// About a twentieth of a second late, give or take as much, seldom more.
		off := annotate.FromSeconds(min(0.25, max(-0.08, 0.05+0.06*rng.NormFloat64())))
		frame, found := slices.BinarySearch(frames, max(0, t+off))
		if !found {
			frame--
		}
		if frame <= last { // never the other way round, nor in one frame what was not
			frame = last + 1
		}
		frame = min(frame, len(frames)-1)
		at[t], last = frames[frame], frame
	}
	return at
}

// missed draws whether the reader doesn't see an event.
func missed(e annotate.Event, rng *rand.Rand) bool {
	x := rng.Float64()
	switch e.Code {
	case "behind", "ahead", "wide", "off-task":
		return e.End-e.Start < annotate.Second/2 && x < 0.6
	case "heard":
		return x < 0.25
	case "praise":
		return x < 0.1
	}
	return false
}

// note is what the reader writes beside an event.
func note(name string, e annotate.Event) string {
	switch {
	case e.Code == "broke" && e.Details.Kind == "got up":
		return "The ball ran past too close. Farther off next time."
	case e.Code == "no-answer" && name == "mill-meadow":
		return "Nose in the grass. Shorter line next time, and call once."
	case e.Code == "no-answer":
		return "Facing me was new. One step back to easier."
	}
	return ""
}
