package measure

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"afterwalk/annotate"
)

// occasionKind orders occasions that started together: pressure belongs to the
// first of them.
type occasionKind int

const (
	breakOccasion occasionKind = iota
	errorOccasion
	offTaskOccasion
	cueOccasion
)

func (k occasionKind) String() string {
	return [...]string{"break", "error", "off_task", "cue"}[k]
}

// occasion is a time in which pressure has a ground.
type occasion struct {
	kind     occasionKind
	span     annotate.Span // a trial that closed at once has none
	resolved bool          // the dog came right by its end
	onset    bool          // its start is a beginning that was seen
	id       string        // of its break, cue or halt; "" for a bout, which no other one of its kind meets
	trial    *trial        // of a cue occasion
	steps    []step
}

// boutOccasions returns an occasion for each bout, resolved unless open.
func boutOccasions(kind occasionKind, bouts []bout) []*occasion {
	list := make([]*occasion, len(bouts))
	for i, b := range bouts {
		list[i] = &occasion{kind: kind, span: b.span, resolved: !b.open, onset: b.onset}
	}
	return list
}

// breakOccasions returns an occasion for each break in the stays: as long as its
// span, or for a moment until the first did after it, but not longer than most
// and not past the stay. A span is resolved if it ends before the stay, which one
// that was cut on the right never does; a moment if a did follows it within most,
// that included, and before the stay's end. A did at the moment's own instant
// comes before it. Hidden time cuts neither.
func breakOccasions(stays []stay, dids []annotate.Micros, most annotate.Micros) []*occasion {
	var list []*occasion
	for _, s := range stays {
		for i := range s.breaks {
			b := &s.breaks[i]
			o := &occasion{kind: breakOccasion, span: b.span, onset: true, id: b.id()}
			if b.isSpan() {
				o.resolved = b.span.End < s.ex.span.End
				o.span.End = min(b.span.End, s.ex.span.End)
			} else {
				o.span.End = min(b.start()+most, s.ex.span.End)
				k := sort.Search(len(dids), func(k int) bool { return dids[k] > b.start() })
				if k < len(dids) && dids[k] <= b.start()+most && dids[k] < s.ex.span.End {
					o.resolved, o.span.End = true, dids[k]
				}
			}
			list = append(list, o)
		}
	}
	return list
}

// cueOccasions returns an occasion for each trial, from its opening to its
// closing, resolved by a did.
func cueOccasions(trials []*trial) []*occasion {
	list := make([]*occasion, len(trials))
	for i, t := range trials {
		list[i] = &occasion{kind: cueOccasion, span: t.span, resolved: t.did(), onset: true, id: t.event.id(), trial: t}
	}
	return list
}

// sortByStart puts occasions in order of start; of equals the one first that
// pressure belongs to first.
func sortByStart(list []*occasion) {
	slices.SortStableFunc(list, func(a, b *occasion) int {
		return cmp.Or(cmp.Compare(a.span.Start, b.span.Start), byClaim(a, b))
	})
}

// byClaim orders occasions that started together by their claim to pressure:
// break before error before off-task before cue, then the lowest event id.
func byClaim(a, b *occasion) int {
	return cmp.Or(cmp.Compare(a.kind, b.kind), strings.Compare(a.id, b.id))
}

// sortForList puts occasions in the order in which they are listed: by start, of
// equals as the events they begin with are ordered: break, cue, halt, then error
// and off-task; then id.
func sortForList(list []*occasion) {
	place := func(o *occasion) int {
		switch o.kind {
		case breakOccasion:
			return 0
		case cueOccasion:
			if o.trial.event.code.Role == annotate.RoleCue {
				return 1
			}
			return 2
		case errorOccasion:
			return 3
		}
		return 4
	}
	slices.SortStableFunc(list, func(a, b *occasion) int {
		return cmp.Or(cmp.Compare(a.span.Start, b.span.Start), cmp.Compare(place(a), place(b)), strings.Compare(a.id, b.id))
	})
}

// finder finds the occasion that something at a time belongs to: of those with
// start <= t < end the one that started last, of equals the first by claim. It is
// asked with times that don't decrease, and then takes no longer than sorting.
type finder struct {
	rest    []*occasion // that started later, in the order in which they'll be stacked
	stacked []*occasion // those that started, the one to choose on top; ended ones may lie below
}

func newFinder(list []*occasion) *finder {
	f := &finder{rest: slices.Clone(list)}
	slices.SortStableFunc(f.rest, func(a, b *occasion) int {
		return cmp.Or(cmp.Compare(a.span.Start, b.span.Start), byClaim(b, a))
	})
	return f
}

// at returns the occasion at t, nil where there is none.
func (f *finder) at(t annotate.Micros) *occasion {
	for len(f.rest) > 0 && f.rest[0].span.Start <= t {
		f.stacked = append(f.stacked, f.rest[0])
		f.rest = f.rest[1:]
	}
	for n := len(f.stacked); n > 0; n-- {
		if top := f.stacked[n-1]; top.span.End > t {
			return top
		}
		f.stacked = f.stacked[:n-1]
	}
	return nil
}
