package library

import (
	"cmp"
	"slices"
	"time"
)

// extent is the time that a session or a clip takes up.
type extent struct{ start, end time.Time }

// defaultGap is the pause that is still within one session.
const defaultGap = 30 * time.Minute

// group says which session each clip goes to: place[i] < len(sessions) for that
// one of the sessions, len(sessions)+k for the k-th of fresh new ones.
//
// Sessions and clips in order of time make chains in which no pause, from the end
// of what went before to the next start, is longer than gap. In a chain without a
// session the clips are a new one; with one session they join it; with several,
// which are never made one, each clip joins the nearest, the earlier of two at
// the same distance.
func group(sessions, clips []extent, gap time.Duration) (place []int, fresh int) {
	place = make([]int, len(clips))
	all := make([]int, 0, len(sessions)+len(clips)) // sessions first, then clips
	for i := range len(sessions) + len(clips) {
		all = append(all, i)
	}
	at := func(i int) extent {
		if i < len(sessions) {
			return sessions[i]
		}
		return clips[i-len(sessions)]
	}
	slices.SortStableFunc(all, func(a, b int) int {
		return cmp.Or(at(a).start.Compare(at(b).start), at(a).end.Compare(at(b).end))
	})
	for len(all) > 0 {
		n, end := 1, at(all[0]).end
		for n < len(all) && at(all[n]).start.Sub(end) <= gap {
			if e := at(all[n]).end; e.After(end) {
				end = e
			}
			n++
		}
		chain := all[:n]
		all = all[n:]
		var there []int
		for _, i := range chain {
			if i < len(sessions) {
				there = append(there, i)
			}
		}
		made := false
		for _, i := range chain {
			if i < len(sessions) {
				continue
			}
			c := i - len(sessions)
			if len(there) > 0 {
				place[c] = nearest(sessions, there, clips[c])
				continue
			}
			place[c] = len(sessions) + fresh
			made = true
		}
		if made {
			fresh++
		}
	}
	return place, fresh
}

// nearest returns which of some sessions is nearest to a clip; they are in order.
func nearest(sessions []extent, which []int, clip extent) int {
	return slices.MinFunc(which, func(a, b int) int {
		return cmp.Compare(pause(sessions[a], clip), pause(sessions[b], clip))
	})
}

// pause is the time between two extents, 0 where they meet.
func pause(a, b extent) time.Duration {
	return max(0, a.start.Sub(b.end), b.start.Sub(a.end))
}
