package measure

import (
	"sort"

	"afterwalk/annotate"
)

// turnOutcome says how a turn in heel work went.
type turnOutcome int

const (
	turnOut     turnOutcome = iota // the dog was out of position already
	turnKept                       // it kept its place
	turnLost                       // it lost it
	turnUnknown                    // it wasn't seen, or the heel work ended
)

// turns counts the turns in heel work: out, kept, lost, unknown, and how long the
// dog took to come back. A kind stands in TurnsByKind if a turn of it was kept or
// lost; turns without a kind count only in the whole.
func (s *session) turns(h *Heel) {
	type tally struct{ kept, known int }
	var (
		all          tally
		kinds        = map[string]tally{}
		out, unknown int
		recoveries   []length
	)
	for _, c := range s.clips {
		list := c.events[annotate.RoleTurn]
		for i := range list {
			t := list[i].start()
			if !c.heelSeen.Has(t) {
				continue
			}
			outcome, recovery := c.turn(t)
			kind := kinds[list[i].kind()]
			switch outcome {
			case turnOut:
				out++
				continue
			case turnUnknown:
				unknown++
				continue
			case turnKept:
				all.kept++
				kind.kept++
			case turnLost:
				recoveries = append(recoveries, recovery)
			}
			all.known++
			kind.known++
			kinds[list[i].kind()] = kind
		}
	}
	h.TurnsKept = new(s.share(all.kept, all.known))
	h.TurnsByKind = map[string]Share{}
	for name, k := range kinds {
		if name != "" {
			h.TurnsByKind[name] = s.share(k.kept, k.known)
		}
	}
	h.TurnsOut, h.TurnsUnknown = &out, &unknown
	h.RecoveryMedianS = s.medianLength(recoveries)
}

// turn returns how a turn at t went, w being the house's turn time:
//
//	out      t lies in an error bout
//	lost     else, and an error bout with onset starts in [t, t+w)
//	kept     else, and [t, t+w) is heel work that was seen, and no bout starts in it
//	unknown  else
//
// A bout that starts in it without onset starts at the end of hidden time, so that
// not all of it was seen.
//
// The recovery of a lost one runs from t to the end of the first such bout,
// censored if that is open.
func (c *clip) turn(t annotate.Micros) (turnOutcome, length) {
	reach := annotate.Span{Start: t, End: t + c.rules.Turn}
	i := sort.Search(len(c.errors), func(i int) bool { return c.errors[i].span.End > t })
	for ; i < len(c.errors) && c.errors[i].span.Start < reach.End; i++ {
		b := c.errors[i]
		if b.span.Start <= t {
			return turnOut, length{}
		}
		if b.onset {
			return turnLost, length{0, b.span.End - t, !b.open}
		}
	}
	if c.heelSeen.Covers(reach) {
		return turnKept, length{}
	}
	return turnUnknown, length{}
}
