package caption

import (
	"slices"
	"strings"

	"afterwalk/annotate"
)

// Cue is one caption: lines of text shown in [Start, End), End > Start.
type Cue struct {
	Start, End annotate.Micros
	Lines      []string // at least one; none empty
	Events     []string // ids of the events it speaks of, in order
}

// Text returns the lines joined with line feeds.
func (c Cue) Text() string { return strings.Join(c.Lines, "\n") }

// Disjoint returns cues that never overlap, for formats that know no overlap:
// where several are on, one cue has the lines of all, in the order in which they
// began. Cues given must be sorted by start. A piece shorter than least is not
// shown by itself where the next piece, or else the one before, touches it and
// speaks of the same events: that one takes its time.
func Disjoint(cues []Cue, least annotate.Micros) []Cue {
	var limits []annotate.Micros
	for _, c := range cues {
		limits = append(limits, c.Start, c.End)
	}
	slices.Sort(limits)
	limits = slices.Compact(limits)
	var out []Cue
	first := 0 // cues before it have ended
	for i := 0; i+1 < len(limits); i++ {
		piece := Cue{Start: limits[i], End: limits[i+1]}
		for first < len(cues) && cues[first].End <= piece.Start {
			first++
		}
		for _, c := range cues[first:] {
			if c.Start > piece.Start {
				break
			}
			if c.End > piece.Start {
				piece.Lines = append(piece.Lines, c.Lines...)
				piece.Events = append(piece.Events, c.Events...)
			}
		}
		if len(piece.Lines) > 0 {
			out = append(out, piece)
		}
	}
	return absorb(out, least)
}

// absorb gives the time of pieces shorter than least to a piece that touches them
// and says all that they say, so that no text flashes by. Text is never lost: a
// short piece with events that its neighbours lack stays.
func absorb(pieces []Cue, least annotate.Micros) []Cue {
	var out []Cue
	for i := 0; i < len(pieces); i++ {
		p := pieces[i]
		short := p.End-p.Start < least
		touchesBefore := len(out) > 0 && out[len(out)-1].End == p.Start
		touchesAfter := i+1 < len(pieces) && pieces[i+1].Start == p.End
		switch {
		case short && touchesAfter && holds(pieces[i+1].Events, p.Events):
			pieces[i+1].Start = p.Start
		case short && touchesBefore && holds(out[len(out)-1].Events, p.Events):
			out[len(out)-1].End = p.End
		default:
			out = append(out, p)
		}
	}
	return out
}

// holds reports whether every id of part is in all.
func holds(all, part []string) bool {
	for _, id := range part {
		if !slices.Contains(all, id) {
			return false
		}
	}
	return true
}
