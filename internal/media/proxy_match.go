package media

import (
	"fmt"

	"afterwalk/annotate"
)

// near is how far two times of one frame may be apart, µs: both are rounded.
const near = 1

// tableOf compares a proxy's frame table with that of its footage and returns the
// table to go by, nil for the footage's own, and what there is to say of it.
//
//   - The same number of frames, each at its time: the own table.
//   - The same number, some at other times, but so that whoever looks for the
//     middle of a frame's interval in one finds the frame of the same number in
//     the other: the own table.
//   - Other frames on the same clock (nine in ten of the proxy's are at a time of
//     the footage's, to the microsecond): the proxy's table, as only what was
//     decoded can be shown.
//
// Everything else is a [Fault] of kind "other-times".
func tableOf(own, made FrameTable) (use *FrameTable, says string, err error) {
	at := alike(own, made)
	switch {
	case at == len(own.PTS) && at == len(made.PTS):
		return nil, "", nil
	case byNumber(own, made):
		return nil, "Some frames of the copy are a little off their times. Each still has the number of its original, and times are the original's.", nil
	case at > 0 && at*10 >= len(made.PTS)*9:
		says := fmt.Sprintf("The file lists %d frames, and %d could be decoded. Steps go by those.", len(own.PTS), len(made.PTS))
		return sameClock(own, made), says, nil
	}
	return nil, "", &Fault{Kind: "other-times", Message: "The copy that was made doesn't show the frames at the times of the original, so it can't be used.",
		Hint:  "Turn the film into an MP4 (H.264) with a converter of your choice, and add that.",
		Cause: fmt.Errorf("media: proxy: %d of %d frames are at one of the %d times of the footage", at, len(made.PTS), len(own.PTS))}
}

// alike returns how many frames of two tables are at the same time.
func alike(a, b FrameTable) int {
	n := 0
	for i, k := 0, 0; i < len(a.PTS) && k < len(b.PTS); {
		switch d := a.PTS[i] - b.PTS[k]; {
		case d < -near:
			i++
		case d > near:
			k++
		default:
			n, i, k = n+1, i+1, k+1
		}
	}
	return n
}

// byNumber reports whether two tables have the same number of frames, and each
// frame starts nearest to the one of its number, by less than half of the
// intervals beside it and 10 ms, which is how far into the last frame is sought.
func byNumber(own, made FrameTable) bool {
	n := len(own.PTS)
	if n != len(made.PTS) {
		return false
	}
	for k, at := range own.PTS {
		off := made.PTS[k] - at
		if off < 0 {
			off = -off
		}
		room := annotate.Micros(10_000)
		if k > 0 {
			room = min(room, (at-own.PTS[k-1])/2)
		}
		if k+1 < n {
			room = min(room, (own.PTS[k+1]-at)/2)
		}
		if off >= room {
			return false
		}
	}
	return true
}

// sameClock returns the proxy's table with the footage's own times where it has
// them.
func sameClock(own, made FrameTable) *FrameTable {
	t := FrameTable{PTS: make([]annotate.Micros, len(made.PTS)), End: made.End, Warning: own.Warning}
	i := 0
	for k, at := range made.PTS {
		for i < len(own.PTS) && own.PTS[i] < at-near {
			i++
		}
		if i < len(own.PTS) && own.PTS[i] <= at+near {
			at = own.PTS[i]
			i++
		}
		if k > 0 {
			at = max(at, t.PTS[k-1]+1)
		}
		t.PTS[k] = at
	}
	last := len(t.PTS) - 1
	if t.PTS[last] == own.PTS[len(own.PTS)-1] {
		t.End = own.End
	}
	t.End = max(t.End, t.PTS[last]+1)
	return &t
}
