package library

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// minutes reads "10-15 20": extents in minutes of a day, an end missing for no
// length.
func minutes(t *testing.T, s string) []extent {
	t.Helper()
	day := time.Date(2026, 5, 9, 0, 0, 0, 0, time.UTC)
	var list []extent
	for _, f := range strings.Fields(s) {
		from, to, ok := strings.Cut(f, "-")
		if !ok {
			to = from
		}
		var a, b float64
		if _, err := fmt.Sscan(from, &a); err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Sscan(to, &b); err != nil {
			t.Fatal(err)
		}
		at := func(m float64) time.Time { return day.Add(time.Duration(m * float64(time.Minute))) }
		list = append(list, extent{at(a), at(b)})
	}
	return list
}

// The gap is 30 minutes; sessions are A, B, …; new ones count on from them.
func TestGroup(t *testing.T) {
	for _, c := range []struct{ name, sessions, clips, want string }{
		{"nothing", "", "", ""},
		{"one clip", "", "100-110", "A"},
		{"a pause of just the gap is within a session", "", "100-110 140-150", "A A"},
		{"a longer one isn't", "", "100-110 140.01-150", "A B"},
		{"from the end of the clip before, not its start", "", "100-160 190-200", "A A"},
		{"the end of the longest so far counts", "", "100-200 110-120 225-230", "A A A"},
		{"order of clips doesn't matter", "", "500-510 100-110 515 120-130", "A B A B"},
		{"same start", "", "100-110 100-110", "A A"},
		{"joins a session before", "100-110", "140-150", "A"},
		{"joins a session after", "140-150", "100-110", "A"},
		{"joins a session around", "100-200", "150-160", "A"},
		{"too far before and after", "300-310", "269.9-269.9 340.1-350", "B C"},
		{"a chain joins though its far end is far", "100-110", "130-140 165-170 195-200", "A A A"},
		{"a chain before joins as well", "200-210", "120-125 150-155 180-190", "A A A"},
		{"between two, which stay two: the nearer", "100-110 160-170", "132-140 112-118", "B A"},
		{"between two at the same distance: the earlier", "100-110 160-170", "130-140", "A"},
		{"a chain between two is shared out", "100-110 200-210", "130-135 150-155 175-180", "A A B"},
		{"sessions that are near each other stay as they are", "100-110 115-125", "140", "B"},
		{"two chains", "100-110", "120-125 300-310 320", "A B B"},
		{"far from all", "100-110 200-210", "500 520 600", "C C D"},
	} {
		sessions := minutes(t, c.sessions)
		place, fresh := group(sessions, minutes(t, c.clips), 30*time.Minute)
		// New sessions are numbered in order of time; name them in order of clips.
		names := map[int]string{}
		for i := range sessions {
			names[i] = string(rune('A' + i))
		}
		var got []string
		seen := map[int]bool{}
		for _, p := range place {
			if _, ok := names[p]; !ok {
				names[p] = string(rune('A' + len(names)))
			}
			if p >= len(sessions) {
				seen[p] = true
			}
			got = append(got, names[p])
		}
		if s := strings.Join(got, " "); s != c.want || len(seen) != fresh {
			t.Errorf("%s: group(%s; %s) = %s with %d new, want %s", c.name, c.sessions, c.clips, s, fresh, c.want)
		}
	}
}

// In order of time, new sessions get rising numbers.
func TestGroupNumbersByTime(t *testing.T) {
	place, fresh := group(nil, minutes(t, "500 100 300"), 30*time.Minute)
	if fresh != 3 || place[0] != 2 || place[1] != 0 || place[2] != 1 {
		t.Errorf("places %v of %d, want [2 0 1] of 3", place, fresh)
	}
}

func TestGroupGap(t *testing.T) {
	if place, fresh := group(nil, minutes(t, "100 106"), 5*time.Minute); fresh != 2 || place[0] == place[1] {
		t.Errorf("with a gap of 5 minutes: places %v of %d, want two sessions", place, fresh)
	}
}
