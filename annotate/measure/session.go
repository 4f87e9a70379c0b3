package measure

import (
	"slices"

	"afterwalk/annotate"
)

// session is the readings of one outing, worked through, and what is counted
// over all of them: counts, lengths and risk sets are pooled.
type session struct {
	numbers
	clips []*clip // by date if all have one, else as given
	rules annotate.Rules
	coded map[annotate.Role]bool // by every reading
}

// newSession works through readings, which must fit together (see fit).
func newSession(readings []*annotate.Reading) *session {
	s := &session{coded: map[annotate.Role]bool{}}
	for _, r := range inDateOrder(readings) {
		var name *string
		if len(readings) > 1 {
			name = new(r.Clip.File)
		}
		s.clips = append(s.clips, newClip(r, name))
	}
	s.rules = s.clips[0].rules
	for _, role := range annotate.Roles() {
		s.coded[role] = !slices.ContainsFunc(s.clips, func(c *clip) bool { return !c.coded[role] })
	}
	return s
}

// inDateOrder returns readings in order of recording if every clip has a date,
// else as given.
func inDateOrder(readings []*annotate.Reading) []*annotate.Reading {
	sorted := slices.Clone(readings)
	for _, r := range sorted {
		if r.Clip.RecordedAt == nil {
			return sorted
		}
	}
	slices.SortStableFunc(sorted, func(a, b *annotate.Reading) int {
		return a.Clip.RecordedAt.Compare(*b.Clip.RecordedAt)
	})
	return sorted
}

// has reports whether all the roles were coded.
func (s *session) has(roles ...annotate.Role) bool {
	for _, r := range roles {
		if !s.coded[r] {
			return false
		}
	}
	return true
}

// sum adds up a length over the clips.
func (s *session) sum(of func(*clip) annotate.Micros) annotate.Micros {
	var n annotate.Micros
	for _, c := range s.clips {
		n += of(c)
	}
	return n
}

// measures counts everything.
func (s *session) measures() *Measures {
	m := &Measures{
		Afterwalk: version,
		Intervals: intervals,
		WindowS:   s.sum(func(c *clip) annotate.Micros { return c.window.Len() }).Seconds(),
		SeenS:     s.sum(func(c *clip) annotate.Micros { return c.seen.Len() }).Seconds(),
		NotCoded:  []annotate.Role{},
		Heel:      s.heel(),
		Stays:     s.stays(),
		Cues:      s.cues(),
		Pressure:  s.pressure(),
		Rewards:   s.rewards(),
		Stress:    s.stress(),
	}
	for _, role := range annotate.Roles() {
		if !s.coded[role] {
			m.NotCoded = append(m.NotCoded, role)
		}
	}
	return m
}

// given returns v if its roles were coded, else nil.
func given[T any](coded bool, v T) *T {
	if !coded {
		return nil
	}
	return &v
}
