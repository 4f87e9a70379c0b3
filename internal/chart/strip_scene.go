package chart

import (
	"cmp"
	"slices"

	"afterwalk/annotate"
)

// track is the part of the strip that an item is drawn in.
type track int

const (
	trackHeel track = iota
	trackStays
	trackOthers
	trackErrors
	trackOffTask
	trackCues
	trackAnswers
	trackBreaks
	trackPressure
	trackHelp
	trackRewards
	trackSigns
	trackMoves
	trackDistractions
	trackContext
	trackHidden
	tracks
)

// trackOf returns the track of an item, by its role.
func trackOf(i *stripItem) track {
	switch i.role {
	case annotate.RoleExercise:
		switch i.kind {
		case "heel":
			return trackHeel
		case "stay", "place":
			return trackStays
		}
		return trackOthers
	case annotate.RoleError:
		return trackErrors
	case annotate.RoleOffTask:
		return trackOffTask
	case annotate.RoleCue, annotate.RoleRelease:
		return trackCues
	case annotate.RoleHeard, annotate.RoleAnswer:
		return trackAnswers
	case annotate.RoleBreak:
		return trackBreaks
	case annotate.RolePressure:
		return trackPressure
	case annotate.RoleHelp:
		return trackHelp
	case annotate.RoleReward:
		return trackRewards
	case annotate.RoleTurn, annotate.RolePace, annotate.RoleHalt:
		return trackMoves
	case annotate.RoleDistraction:
		return trackDistractions
	case annotate.RoleLine, annotate.RoleHandler:
		return trackContext
	case annotate.RoleHidden:
		return trackHidden
	}
	return trackSigns
}

// piece is a part of an error.
type piece struct {
	annotate.Span
	kind          string
	opens, closes bool // whether the error itself starts and ends there
}

// stripScene is a reading sorted into what is drawn where.
type stripScene struct {
	items  []*stripItem
	tracks [tracks][]*stripItem

	hidden annotate.Set
	heel   annotate.Set // heel work that was seen
	solid  annotate.Set // where the dog's line is drawn whole: on task
	dotted annotate.Set // where it is dotted: off task
	loose  annotate.Set // off-task time outside heel work, seen

	steps  []piece // ahead and behind, one at a time; the later start wins
	inside []piece // steps and bands within seen heel work: they count
	beside []piece // those outside it, seen: they count for nothing
}

// newStripScene sorts the items.
func newStripScene(items []*stripItem) *stripScene {
	s := &stripScene{items: items}
	for _, i := range items {
		t := trackOf(i)
		s.tracks[t] = append(s.tracks[t], i)
	}
	s.hidden = s.union(trackHidden)
	s.heel = s.union(trackHeel).Subtract(s.hidden)
	off := s.union(trackOffTask)
	s.solid, s.dotted = s.heel.Subtract(off), s.heel.Intersect(off)
	s.loose = off.Subtract(s.hidden).Subtract(s.heel)

	s.steps = stepsOf(s.tracks[trackErrors])
	all := slices.Clone(s.steps)
	for _, i := range s.tracks[trackErrors] {
		if !i.isStep() {
			all = append(all, piece{i.span(), i.kind, true, !i.open})
		}
	}
	covered := s.heel.Union(s.hidden)
	for _, p := range all {
		s.inside = append(s.inside, p.cut(s.heel)...)
		s.beside = append(s.beside, p.cut(annotate.Union(p.Span).Subtract(covered))...)
	}
	byStart := func(a, b piece) int { return cmp.Compare(a.Start, b.Start) }
	slices.SortStableFunc(s.inside, byStart)
	slices.SortStableFunc(s.beside, byStart)
	return s
}

func (s *stripScene) union(t track) annotate.Set {
	spans := make([]annotate.Span, 0, len(s.tracks[t]))
	for _, i := range s.tracks[t] {
		spans = append(spans, i.span())
	}
	return annotate.Union(spans...)
}

// cut returns the parts of p that lie in a set.
func (p piece) cut(set annotate.Set) []piece {
	var parts []piece
	for _, c := range set.Cut(p.Span) {
		parts = append(parts, piece{c, p.kind, p.opens && c.Start == p.Start, p.closes && c.End == p.End})
	}
	return parts
}

// stepsOf returns ahead and behind as parts that don't overlap. They exclude each
// other in most books; where they don't, the dog's line follows what began last
// and goes back to the one before when that ends.
func stepsOf(errors []*stripItem) []piece {
	var sorted []piece
	for _, i := range errors {
		if i.isStep() && i.end > i.start {
			sorted = append(sorted, piece{i.span(), i.kind, true, !i.open})
		}
	}
	slices.SortStableFunc(sorted, func(a, b piece) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.End, b.End))
	})
	var out, under []piece // under: earlier ones that go on behind the newest, newest last
	resume := func(until annotate.Micros) {
		for len(under) > 0 && len(out) > 0 && out[len(out)-1].End < until {
			from, back := out[len(out)-1].End, under[len(under)-1]
			if back.End <= from {
				under = under[:len(under)-1]
				continue
			}
			end := min(back.End, until)
			out = append(out, piece{annotate.Span{Start: from, End: end}, back.kind, true, back.closes || end < back.End})
		}
	}
	for _, p := range sorted {
		resume(p.Start)
		if n := len(out); n > 0 && out[n-1].End > p.Start {
			under = append(under, out[n-1])
			out[n-1].End, out[n-1].closes = p.Start, true
			if out[n-1].Len() == 0 {
				out = out[:n-1]
			}
		}
		out = append(out, p)
	}
	if n := len(sorted); n > 0 {
		last := sorted[0].End
		for _, p := range sorted {
			last = max(last, p.End)
		}
		resume(last)
	}
	return out
}
