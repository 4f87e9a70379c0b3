package server

import (
	"cmp"
	"fmt"
	"slices"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// tally is a session's measures with what the page counts beside them.
type tally struct {
	m        *measure.Measures
	readings []*annotate.Reading
	clips    map[string]int   // number of the clip in the session, by id of its reading
	events   map[string]coded // by id
	helpRank int
	resolved int // occasions other than cues that came right
	right    struct{ helped, corrected int }
}

// coded is an event with its code looked up.
type coded struct {
	*annotate.Event
	reading *annotate.Reading
	role    annotate.Role
	name    string
	details annotate.Details
	rank    int // of pressure
}

func newTally(m *measure.Measures, readings []*annotate.Reading, clips map[string]int) *tally {
	s := &tally{m: m, readings: readings, clips: clips, events: map[string]coded{}, helpRank: readings[0].Book.HelpRank}
	for _, r := range readings {
		for i := range r.Events {
			e := &r.Events[i]
			code, _, ok := r.Book.Code(e.Code)
			if !ok {
				continue
			}
			n := coded{Event: e, reading: r, role: code.Role, name: code.Name, details: e.Details.Over(code.Details)}
			if code.Role == annotate.RolePressure {
				if rung, ok := r.Book.Rung(n.details.Channel, n.details.Device); ok {
					n.rank = rung.Rank
				}
			}
			s.events[e.ID] = n
		}
	}
	s.sortOccasions()
	return s
}

// sortOccasions counts how errors, times off task and breaks came right that did not
// do so by themselves: corrected where a step on a rung above help was among the
// steps, else helped.
func (s *tally) sortOccasions() {
	p := s.m.Pressure
	if p == nil || p.ByItself == nil {
		return
	}
	for _, o := range p.Occasions {
		if !o.Resolved || o.Kind == "cue" {
			continue
		}
		s.resolved++
		if slices.ContainsFunc(o.Steps, func(id string) bool { return s.events[id].rank > s.helpRank }) {
			s.right.corrected++
		}
	}
	s.right.helped = s.resolved - p.ByItself.K - s.right.corrected
}

// corrections counts the uses of pressure on rungs above help that the measures
// count.
func (s *tally) corrections() int {
	n := 0
	for _, e := range s.pressure() {
		if e.rank > s.helpRank {
			n++
		}
	}
	return n
}

// pressure returns the uses of pressure that begin in their windows, in order.
func (s *tally) pressure() []coded {
	return s.of(annotate.RolePressure)
}

// of returns the events of a role that begin in their windows, clip after clip.
func (s *tally) of(role annotate.Role) []coded {
	var list []coded
	for _, r := range s.readings {
		for i := range r.Events {
			e := &r.Events[i]
			if n := s.events[e.ID]; n.role == role && e.Start >= r.Window.Start && e.Start <= r.Window.End {
				list = append(list, n)
			}
		}
	}
	return list
}

// link leads to an event on the desk; of several clips it says which.
func (s *tally) link(n coded, more string) numberLink {
	text := tenths(n.Start) + " " + cmp.Or(n.details.Kind, n.name)
	if more != "" {
		text += ", " + more
	}
	if clip := s.clips[n.reading.ID]; len(s.readings) > 1 && clip > 0 {
		text = fmt.Sprintf("clip %d, %s", clip, text)
	}
	return numberLink{Text: text, Href: deskAt(n.reading.ID, n.Start)}
}

// links lead to the events with these ids.
func (s *tally) links(ids []string) []numberLink {
	var list []numberLink
	for _, id := range ids {
		if n, ok := s.events[id]; ok {
			list = append(list, s.link(n, ""))
		}
	}
	return list
}

// rightToOff returns, for each held pressure of a time that came right, how long it
// was held on after that: from the end of the occasion to its own end.
func (s *tally) rightToOff() (delays []annotate.Micros, events []coded) {
	if s.m.Pressure == nil {
		return nil, nil
	}
	for _, o := range s.m.Pressure.Occasions {
		if !o.Resolved {
			continue
		}
		for _, id := range o.Steps {
			n, ok := s.events[id]
			end := annotate.Micros(o.EndUs)
			if !ok || n.role != annotate.RolePressure || n.Open || n.End <= n.Start || n.Start > end || n.End < end ||
				n.Start < n.reading.Window.Start || n.End > n.reading.Window.End {
				continue
			}
			delays, events = append(delays, n.End-end), append(events, n)
		}
	}
	return delays, events
}

// near reports whether a time lies near pressure: from its start until the house's
// stress time after its end, both included.
func (s *tally) near(n coded) bool {
	rules := n.reading.Book.House.Rules()
	for i := range n.reading.Events {
		e := &n.reading.Events[i]
		if s.events[e.ID].role != annotate.RolePressure {
			continue
		}
		end := e.End
		if e.Open {
			end = n.reading.Window.End
		}
		if n.Start >= e.Start && n.Start <= end+rules.Stress {
			return true
		}
	}
	return false
}

// atWork reports whether a moment lies in work that was seen: exercises other than
// free, the dog in sight.
func (s *tally) atWork(n coded) bool {
	var work, hidden []annotate.Span
	for i := range n.reading.Events {
		e := &n.reading.Events[i]
		span := annotate.Span{Start: e.Start, End: e.End}
		if e.Open {
			span.End = n.reading.Window.End
		}
		switch c := s.events[e.ID]; {
		case c.role == annotate.RoleHidden:
			hidden = append(hidden, span)
		case c.role == annotate.RoleExercise && c.details.Kind != "free":
			work = append(work, span)
		}
	}
	return annotate.Union(work...).Cut(n.reading.Window).Subtract(annotate.Union(hidden...)).Has(n.Start)
}
