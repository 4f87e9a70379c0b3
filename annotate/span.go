package annotate

// Span is a half-open interval of media time, [Start, End). It is empty if
// End <= Start.
type Span struct{ Start, End Micros }

// Len returns End − Start, at least 0.
func (s Span) Len() Micros { return max(0, s.End-s.Start) }

// Has reports whether t lies in [Start, End).
func (s Span) Has(t Micros) bool { return s.Start <= t && t < s.End }

// Cut returns the part of s that lies in w; it is empty (End <= Start) where
// they have nothing in common.
func (s Span) Cut(w Span) Span { return Span{max(s.Start, w.Start), min(s.End, w.End)} }

// Set is a union of half-open spans in its normal form: sorted, disjoint, not
// touching, none empty. The zero value is the empty set. Operations return new
// sets and never change their operands.
type Set []Span
