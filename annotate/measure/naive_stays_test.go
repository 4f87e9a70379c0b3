package measure_test

import (
	"testing"

	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// Stretches and breaks, found by walking through each stay tenth by tenth of a
// second instead of by sets of intervals.
func TestStretchesAgainstCells(t *testing.T) {
	like := readWorked(t, "heel")
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t, like, "a")
		events := plainEvents(r)
		runs := func(role annotate.Role, at annotate.Micros) bool {
			for _, e := range events {
				if e.role == role && e.start <= at && at < e.end {
					return true
				}
			}
			return false
		}
		var stays, held, certain, breaks, hiddenBreaks, n, broken int
		for _, s := range events {
			if s.role != annotate.RoleExercise || s.d.Kind != "stay" && s.d.Kind != "place" {
				continue
			}
			stays++
			own, begun := 0, false // begun: a break span from before the stay covers its start
			moment, span := map[annotate.Micros]bool{}, map[annotate.Micros]bool{}
			for _, b := range events {
				if b.role != annotate.RoleBreak {
					continue
				}
				if b.span() && (b.start < s.start || b.cutLeft) && b.start <= s.start && s.start < b.end {
					begun = true
				}
				if b.cutLeft || b.start < s.start || b.start >= s.end {
					continue
				}
				own++
				if runs(annotate.RoleHidden, b.start) {
					hiddenBreaks++
				}
				moment[b.start] = moment[b.start] || !b.span()
				span[b.start] = span[b.start] || b.span()
			}
			breaks += own

			hidden := false
			length, seen, lastSeen, aged := -1, false, false, !s.cutLeft // of the running stretch; -1: none
			end := func(byBreak bool) {
				if length > 0 && aged && seen {
					n++
					if byBreak && lastSeen {
						broken++
					}
				}
			}
			instant := func(at annotate.Micros) { // a stretch of length 0 broken at once
				if aged && (!runs(annotate.RoleHidden, at) || !runs(annotate.RoleHidden, at-1)) {
					n++
					broken++
				}
			}
			for at := s.start; at < s.end; at += tenth {
				away := runs(annotate.RoleBreak, at)
				before := at > s.start && runs(annotate.RoleBreak, at-1)
				starts := at == s.start && !begun || before && !away
				if length > 0 && (away || moment[at]) {
					end(true)
					length, aged = -1, true
				}
				if starts && (moment[at] || span[at]) {
					if before {
						aged = true
					}
					instant(at)
					aged = true
				}
				if !away {
					if length < 0 {
						length, seen = 0, false
						aged = aged || at > s.start
					}
					length++
					lastSeen = !runs(annotate.RoleHidden, at)
					seen = seen || lastSeen
				} else {
					length, aged = -1, true
				}
				hidden = hidden || runs(annotate.RoleHidden, at)
			}
			if length > 0 {
				end(false)
			}
			whole := !s.cutLeft && !s.noEnd && !hidden
			if own > 0 || whole {
				certain++
			}
			if own == 0 && whole {
				held++
			}
		}
		got := of(t, r).Stays
		type counts struct{ stays, held, certain, unknown, breaks, hidden, n, broken int }
		g := counts{got.Stays, got.StaysHeld.K, got.StaysHeld.N, got.StaysUnknown, got.Breaks, got.BreaksHidden, got.Hold.N, got.Hold.Broken}
		if w := (counts{stays, held, certain, stays - certain, breaks, hiddenBreaks, n, broken}); g != w {
			t.Fatalf("counts %+v, walked through %+v", g, w)
		}
	})
}
