package annotate

import (
	"cmp"
	"slices"
	"sort"
)

// SortEvents sorts events in place by start, then end (open last), then id
// bytewise: the order in which a reading holds them. Measures refine it by role.
func SortEvents(events []Event) {
	compare := func(a, b Event) int { return compareEvents(&a, &b) }
	if !slices.IsSortedFunc(events, compare) {
		slices.SortStableFunc(events, compare)
	}
}

// compareEvents orders events as SortEvents does.
func compareEvents(a, b *Event) int {
	if c := cmp.Compare(a.Start, b.Start); c != 0 {
		return c
	}
	if a.Open != b.Open {
		if a.Open {
			return 1
		}
		return -1
	}
	if c := cmp.Compare(a.End, b.End); c != 0 && !a.Open {
		return c
	}
	return cmp.Compare(a.ID, b.ID)
}

// replaceEvents returns a new slice of events in order: old without the ones at
// the given indices, with those of add put in their places. Old is in order and
// is not changed. It may sort drop and add.
func replaceEvents(old []Event, drop []int, add []Event) []Event {
	slices.Sort(drop)
	SortEvents(add)
	out := make([]Event, 0, len(old)-len(drop)+len(add))
	next := 0 // first of old not yet dealt with
	for len(drop) > 0 || len(add) > 0 {
		at := len(old)
		if len(add) > 0 {
			at = next + sort.Search(len(old)-next, func(i int) bool { return compareEvents(&old[next+i], &add[0]) > 0 })
		}
		if len(drop) > 0 && drop[0] < at {
			out = append(out, old[next:drop[0]]...)
			next, drop = drop[0]+1, drop[1:]
			continue
		}
		out = append(append(out, old[next:at]...), add[0])
		next, add = at, add[1:]
	}
	return append(out, old[next:]...)
}

// findEvents returns the index of each id among events, -1 where there is none.
func findEvents(events []Event, ids []string) []int {
	at := make([]int, len(ids))
	for i := range at {
		at[i] = -1
	}
	if len(ids) <= 4 { // an edit by hand: comparing is quicker than a map
		for i := range events {
			for k, id := range ids {
				if events[i].ID == id {
					at[k] = i
				}
			}
		}
		return at
	}
	wanted := make(map[string]int, len(ids))
	for k, id := range ids {
		wanted[id] = k
	}
	for i := range events {
		if k, ok := wanted[events[i].ID]; ok {
			at[k] = i
		}
	}
	return at
}
