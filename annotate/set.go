package annotate

import (
	"cmp"
	"slices"
	"sort"
)

// Union returns the set of all times that lie in at least one of the spans,
// given in any order. Empty spans add nothing; spans that touch merge.
func Union(spans ...Span) Set {
	sorted := make([]Span, 0, len(spans))
	for _, s := range spans {
		if s.End > s.Start {
			sorted = append(sorted, s)
		}
	}
	slices.SortFunc(sorted, func(a, b Span) int { return cmp.Compare(a.Start, b.Start) })
	var u Set
	for _, s := range sorted {
		u = u.push(s)
	}
	return u
}

// push appends a span that starts at or after the last one's start. It may
// change u, so it is for sets that are being built.
func (u Set) push(s Span) Set {
	if n := len(u); n > 0 && s.Start <= u[n-1].End {
		u[n-1].End = max(u[n-1].End, s.End)
		return u
	}
	return append(u, s)
}

// Union returns the times in s or in t.
func (s Set) Union(t Set) Set {
	var u Set
	for len(s) > 0 || len(t) > 0 {
		if len(t) == 0 || len(s) > 0 && s[0].Start <= t[0].Start {
			u, s = u.push(s[0]), s[1:]
		} else {
			u, t = u.push(t[0]), t[1:]
		}
	}
	return u
}

// Intersect returns the times in both s and t.
func (s Set) Intersect(t Set) Set {
	var u Set
	for len(s) > 0 && len(t) > 0 {
		if c := s[0].Cut(t[0]); c.End > c.Start {
			u = append(u, c)
		}
		if s[0].End < t[0].End {
			s = s[1:]
		} else {
			t = t[1:]
		}
	}
	return u
}

// Subtract returns the times in s that are not in t.
func (s Set) Subtract(t Set) Set {
	var u Set
	for _, rest := range s {
		for len(t) > 0 && t[0].End <= rest.Start {
			t = t[1:]
		}
		// The last span looked at may reach into the next one of s, so t stays.
		for i := 0; i < len(t) && t[i].Start < rest.End; i++ {
			if t[i].Start > rest.Start {
				u = append(u, Span{rest.Start, t[i].Start})
			}
			rest.Start = t[i].End
		}
		if rest.End > rest.Start {
			u = append(u, rest)
		}
	}
	return u
}

// Cut returns the part of s that lies in w.
func (s Set) Cut(w Span) Set {
	if w.End <= w.Start {
		return nil
	}
	return s.Intersect(Set{w})
}

// Len returns the total length |s|.
func (s Set) Len() Micros {
	var n Micros
	for _, c := range s {
		n += c.Len()
	}
	return n
}

// Has reports whether t lies in s; the end of a component doesn't.
func (s Set) Has(t Micros) bool {
	_, ok := s.Component(t)
	return ok
}

// Covers reports whether the whole of w lies in s. An empty w is covered.
func (s Set) Covers(w Span) bool {
	if w.End <= w.Start {
		return true
	}
	c, ok := s.Component(w.Start)
	return ok && w.End <= c.End
}

// Component returns the component (maximal interval) of s that holds t, its end
// excluded; ok is false where there is none. The components of a set in order
// are its elements.
func (s Set) Component(t Micros) (c Span, ok bool) {
	i := sort.Search(len(s), func(i int) bool { return s[i].End > t })
	if i < len(s) && s[i].Start <= t {
		return s[i], true
	}
	return Span{}, false
}

// Touching returns the component of s with Start <= t <= End, both limits
// included; ok is false where there is none. Components never touch each other,
// so there is at most one.
func (s Set) Touching(t Micros) (c Span, ok bool) {
	i := sort.Search(len(s), func(i int) bool { return s[i].End >= t })
	if i < len(s) && s[i].Start <= t {
		return s[i], true
	}
	return Span{}, false
}
