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
	Code   string          `json:"code,omitempty"`   // the code, where it is another one
	Kind   string          `json:"kind,omitempty"`   // the kind, where it is another one
	Start  annotate.Micros `json:"start_us"`         // coded less true
	End    annotate.Micros `json:"end_us"`
}

// Most is the most by which a coded time may be off, a frame's rounding
// included.
const Most = 400_000 * annotate.Micros(1)

// Code returns the events that a reader codes, sorted, and the slip of each true
// event. Times are starts of frames, or end, where the last frame ends.
// Events that begin or end at one instant in truth do so in the coding, and
// what follows in truth does not come before. name, of the clip, goes into ids.
func (r Reader) Code(name string, truth []annotate.Event, frames []annotate.Micros, end annotate.Micros) ([]annotate.Event, []Slip) {
	rng := rand.New(rand.NewPCG(r.seed, 0xc0de))
	at := r.press(truth, frames, end, rng)
	muddle := rand.New(rand.NewPCG(r.seed, 0x817d))
	var coded []annotate.Event
	var slips []Slip
	for i, e := range truth {
		slip := Slip{Truth: e.ID}
		if r.missed(e, rng) {
			slip.Missed = true
			slips = append(slips, slip)
			continue
		}
		c := e
		c.Start, c.End = at[e.Start], at[e.End]
		if r.seed == Varga.seed {
			c.Note = note(name, truth[:i], e)
		}
		if muddle.Float64() < r.mixesUp {
			mixUp(&c, &slip, truth)
		}
		slip.Start, slip.End = c.Start-e.Start, c.End-e.End
		c.ID = fmt.Sprintf("%s-%d-%03d", name, r.seed, len(coded)+1)
		slip.Coded = c.ID
		coded = append(coded, c)
		slips = append(slips, slip)
	}
	annotate.SortEvents(coded)
	return coded, slips
}

// press returns when the reader puts each instant of the truth.
func (r Reader) press(truth []annotate.Event, frames []annotate.Micros, end annotate.Micros, rng *rand.Rand) map[annotate.Micros]annotate.Micros {
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
		off := annotate.FromSeconds(min(0.25, max(-0.08, r.late+r.spread*rng.NormFloat64())))
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
func (r Reader) missed(e annotate.Event, rng *rand.Rand) bool {
	x := rng.Float64()
	switch e.Code {
	case "behind", "ahead", "wide", "crowding", "off-task":
		return e.End-e.Start < annotate.Second/2 && x < 0.6*r.misses
	case "heard":
		return x < 0.25*r.misses
	case "praise":
		return x < 0.1*r.misses
	}
	return false
}

// alike are kinds and codes that are easily taken for each other.
var (
	alikeKinds = map[string]string{"left": "right", "right": "left", "got up": "left", "toy": "other"}
	alikeCodes = map[string]string{"wide": "behind", "behind": "wide"}
)

// mixUp takes an event for another that is like it, where there is one and its
// place in the lane is free.
func mixUp(c *annotate.Event, slip *Slip, truth []annotate.Event) {
	if other, ok := alikeKinds[c.Details.Kind]; ok && c.Code != "broke" {
		c.Details.Kind, slip.Kind = other, other
		return
	}
	other, ok := alikeCodes[c.Code]
	if !ok {
		return
	}
	lanes := map[string][]string{"behind": {"behind", "ahead"}, "wide": {"wide", "crowding"}}
	const near = annotate.Second
	for _, e := range truth {
		if e.ID != slip.Truth && slices.Contains(lanes[other], e.Code) && e.Start < c.End+near && c.Start-near < e.End {
			return
		}
	}
	for _, e := range truth { // one behind it may have been taken for this one
		if e.ID != slip.Truth && e.Code == alikeCodes[other] && e.Start < c.End+near && c.Start-near < e.End {
			return
		}
	}
	c.Code, slip.Code = other, other
}

// note is what the reader writes beside an event; before it came the others.
func note(name string, before []annotate.Event, e annotate.Event) string {
	again := slices.ContainsFunc(before, func(b annotate.Event) bool { return b.Code == e.Code })
	switch {
	case e.Code == "broke" && e.Details.Kind == "got up":
		return "The ball ran past too close. Farther off next time."
	case e.Code == "no-answer" && name == "mill-meadow":
		return "Nose in the grass. Shorter line next time, and call once."
	case e.Code == "no-answer" && name == "alder-lane":
		return "Facing me was new. One step back to easier."
	case e.Code == "sit" && name == "tansy-quarry-1" && again:
		return "Asked again while she was on her way down. Wait."
	case e.Code == "broke" && name == "tansy-quarry-2":
		return "The car. She has never worked this near to a road."
	case e.Code == "leash-guide" && name == "bramble-quarry":
		return "Held on long after she was right."
	case e.Code == "stress" && e.Details.Kind == "turns away":
		return "That was enough of the cars."
	case e.Code == "stim" && name == "bramble-alder":
		return "One, at 2. The tone alone may do on the next outing."
	case e.Code == "did" && name == "bramble-meadow-1" && len(before) > 25:
		return "At the first word, from the long grass."
	}
	return ""
}
