package measure

import (
	"cmp"
	"slices"
	"sort"

	"afterwalk/annotate"
)

// event is an event as measures see it: cut to the window, beside its code.
type event struct {
	src  *annotate.Event
	code *annotate.Code
	span annotate.Span // empty for a moment
	// cutLeft: it began before the window, so it has no beginning here.
	cutLeft bool
	// noEnd: it runs past the window or its end isn't coded, so it has no end here.
	noEnd bool
}

func (e *event) id() string             { return e.src.ID }
func (e *event) start() annotate.Micros { return e.span.Start }
func (e *event) isSpan() bool           { return e.span.End > e.span.Start }

// A detail given on an event overrides the same property of its code.

func (e *event) kind() string    { return or(e.src.Details.Kind, e.code.Details.Kind) }
func (e *event) command() string { return or(e.src.Details.Command, e.code.Details.Command) }
func (e *event) result() string  { return or(e.src.Details.Result, e.code.Details.Result) }
func (e *event) channel() string { return or(e.src.Details.Channel, e.code.Details.Channel) }
func (e *event) device() string  { return or(e.src.Details.Device, e.code.Details.Device) }

func (e *event) level() *float64 { return cmp.Or(e.src.Details.Level, e.code.Details.Level) }
func (e *event) taps() *int      { return cmp.Or(e.src.Details.Taps, e.code.Details.Taps) }

func or(detail, property string) string {
	if detail != "" {
		return detail
	}
	return property
}

// events holds a reading's events by role, each role's in order of start, then id.
// Those of roles that were not coded are left out.
type events map[annotate.Role][]event

// cutEvents cuts the events of r to its window. Moments in [Start, End] of the
// window count; a span counts where it has time in it.
func cutEvents(r *annotate.Reading, coded map[annotate.Role]bool) events {
	type bucket struct {
		code *annotate.Code
		list *[]event
	}
	buckets, lists := map[string]bucket{}, map[annotate.Role]*[]event{}
	for i := range r.Book.Lanes {
		codes := r.Book.Lanes[i].Codes
		for k := range codes {
			role := codes[k].Role
			if !coded[role] {
				continue
			}
			if lists[role] == nil {
				lists[role] = new([]event)
			}
			buckets[codes[k].ID] = bucket{&codes[k], lists[role]}
		}
	}
	for i := range r.Events {
		src := &r.Events[i]
		b, ok := buckets[src.Code]
		if !ok {
			continue
		}
		if e, ok := cutEvent(src, r.Window); ok {
			e.code = b.code
			*b.list = append(*b.list, e)
		}
	}
	all := events{}
	for role, list := range lists {
		slices.SortFunc(*list, func(a, b event) int {
			return cmp.Or(cmp.Compare(a.start(), b.start()), cmp.Compare(a.id(), b.id()))
		})
		all[role] = *list
	}
	return all
}

// cutEvent cuts one event to the window w; ok is false where nothing of it is left.
func cutEvent(src *annotate.Event, w annotate.Span) (e event, ok bool) {
	e = event{src: src, span: annotate.Span{Start: src.Start, End: src.End}}
	if !src.Open && src.End <= src.Start {
		return e, w.Start <= src.Start && src.Start <= w.End
	}
	if src.Open {
		e.span.End, e.noEnd = w.End, true
	}
	if e.span.Start < w.Start {
		e.span.Start, e.cutLeft = w.Start, true
	}
	if e.span.End > w.End {
		e.span.End, e.noEnd = w.End, true
	}
	return e, e.span.End > e.span.Start
}

// begun returns the events that have a beginning: those not cut on the left.
func begun(list []event) []event {
	if !slices.ContainsFunc(list, func(e event) bool { return e.cutLeft }) {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(e event) bool { return e.cutLeft })
}

// union returns the time in which at least one of the events that keep says yes
// to runs; a nil keep says yes to all.
func union(list []event, keep func(*event) bool) annotate.Set {
	spans := make([]annotate.Span, 0, len(list))
	for i := range list {
		if keep == nil || keep(&list[i]) {
			spans = append(spans, list[i].span)
		}
	}
	return annotate.Union(spans...)
}

// startingIn returns the events of list, in order of start, with
// s.Start <= start < s.End.
func startingIn(list []event, s annotate.Span) []event {
	from, to := between(len(list), func(i int) annotate.Micros { return list[i].start() }, s)
	return list[from:to]
}

// between returns the range [from, to) of the indices below n whose times, which
// don't decrease, lie in s.
func between(n int, at func(i int) annotate.Micros, s annotate.Span) (from, to int) {
	from = sort.Search(n, func(i int) bool { return at(i) >= s.Start })
	to = from + sort.Search(n-from, func(i int) bool { return at(from+i) >= s.End })
	return from, to
}

// cutSet returns the part of s in w. Unlike Set.Cut it looks only at that part,
// so that cutting a long set into many pieces takes no longer than the pieces.
func cutSet(s annotate.Set, w annotate.Span) annotate.Set {
	from := sort.Search(len(s), func(i int) bool { return s[i].End > w.Start })
	to := from
	for to < len(s) && s[to].Start < w.End {
		to++
	}
	return s[from:to].Cut(w)
}

// lengthWithin returns |a ∩ b|. It is quick where a has few components, however
// many b has.
func lengthWithin(a, b annotate.Set) annotate.Micros {
	var n annotate.Micros
	for _, c := range a {
		n += cutSet(b, c).Len()
	}
	return n
}
