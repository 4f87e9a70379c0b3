package chart

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestAlt(t *testing.T) {
	plain := func(at time.Time, x float64) Point { return Point{At: at, Value: num(x), Label: Percent(x)} }
	for _, row := range []struct {
		name   string
		figure Figure
		want   string
	}{
		{"no points", Figure{}, "Nothing to draw yet. Code a clip that has a recording date; then it stands here."},
		{"no values", samples["undrawn"], "Nothing to draw yet: 2 sessions from 2 May to 9 May 2026, none with a value. Code some heeling in one of them; its share then stands here."},
		{"one", samples["one"], "1 session on 2 May 2026; 23 %."},
		{"three, falling", Figure{Points: []Point{plain(on(time.May, 9), 0.09), plain(on(time.May, 2), 0.23), plain(on(time.May, 4), 0.12)}},
			"3 sessions from 2 May to 9 May 2026; 23 % to 9 %."},
		{"over new year", Figure{Points: []Point{plain(time.Date(2025, 12, 30, 0, 0, 0, 0, time.UTC), 0.2), plain(on(time.January, 2), 0.1)}},
			"2 sessions from 30 December 2025 to 2 January 2026; 20 % to 10 %."},
		{"extremes between", Figure{Points: []Point{plain(on(time.May, 1), 0.2), plain(on(time.May, 2), 0.5), plain(on(time.May, 3), 0.1), plain(on(time.May, 4), 0.3)}},
			"4 sessions from 1 May to 4 May 2026; 20 % to 30 %. Lowest 10 %, highest 50 %."},
		{"clips, one of them gone", Figure{Noun: "clip", Points: []Point{plain(on(time.May, 1), 0.2), {At: on(time.May, 2), Value: num(math.NaN())}, {At: on(time.May, 3), Value: num(0.5), Label: "50 %", Picked: true, BreakBefore: true}, plain(time.Time{}, 0.5)}},
			"3 clips from 1 May to 3 May 2026; 20 % to 50 %. 1 clip without a value. 1 clip coded in a window picked by hand. The line is interrupted once. 1 without a date left out."},
		{"rungs without labels are called as on the axis", Figure{Ticks: []Tick{{1, "voice"}, {2, "leash"}}, Points: []Point{{At: on(time.May, 1), Value: num(2)}, {At: on(time.May, 2), Value: num(1)}}},
			"2 sessions from 1 May to 2 May 2026; leash to voice."},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := row.figure.Alt(); got != row.want {
				t.Errorf("Alt() =\n%s\nwant\n%s", got, row.want)
			}
		})
	}
}

// What Alt says stands in the figure too, for who cannot see it.
func TestDescSaysAlt(t *testing.T) {
	if got := svgOf(t, samples["one"]); !strings.Contains(got, "<desc>How much of the heel time Tansy was out of position. 1 session on 2 May 2026; 23 %.</desc>") {
		t.Errorf("desc is missing or other in\n%s", got)
	}
	if got := svgOf(t, Figure{}); !strings.Contains(got, ">Nothing to draw yet</text>") || !strings.Contains(got, ">Code a clip that has") {
		t.Errorf("the empty figure does not say so:\n%s", got)
	}
}

func TestTable(t *testing.T) {
	f := Figure{
		Format: Percent,
		Points: []Point{
			{At: time.Time{}, Value: num(0.5), Below: "Mill Meadow"},
			{At: on(time.May, 9).Add(time.Hour), Value: num(0.2), Low: num(0.1), Href: "/sessions/3", BreakBefore: true},
			{At: on(time.May, 9), Value: num(0.094), High: num(0.2), Picked: true},
			{At: on(time.May, 2), Value: num(0.234), Low: num(0.15), High: num(0.36), Label: "23 %", Below: "Alder Lane\n\nbicycles", Href: "//elsewhere.example"},
			{At: on(time.May, 16), Below: "Alder Lane"},
		},
	}
	want := []Row{
		{At: f.Points[3].At, Date: "2 May 2026", Value: "23 %", Interval: "15 % to 36 %", Below: "Alder Lane, bicycles"},
		{At: f.Points[2].At, Date: "9 May 2026, 09:30", Value: "9.4 %", Interval: "at most 20 %", Note: "window picked by hand"},
		{At: f.Points[1].At, Date: "9 May 2026, 10:30", Value: "20 %", Interval: "at least 10 %", Note: "line interrupted before it", Href: "/sessions/3"},
		{At: f.Points[4].At, Date: "16 May 2026", Value: "no value", Below: "Alder Lane"},
		{Date: "no date", Value: "50 %", Below: "Mill Meadow", Note: "not in the figure"},
	}
	if diff := cmp.Diff(want, f.Table()); diff != "" {
		t.Errorf("Table() (-want +got):\n%s", diff)
	}
}

func TestSafeHref(t *testing.T) {
	for href, safe := range map[string]bool{
		"/sessions/5": true, "sessions/5": true, "/s?a=1&b=2#t": true, "#t": true, "../x": true,
		"": false, "//x.example/": false, "///x.example/": false, "http://x.example/": false, "javascript:alert(1)": false, "JaVaScript:x": false,
		"data:text/html,x": false, "/\\x.example": false, "\\\\x": false, " /x": false, "/x\ny": false, "java\tscript:x": false,
		"/x\xff": false, "mailto:x": false, "/%zz": false,
	} {
		if got := safeHref(href) != ""; got != safe {
			t.Errorf("safeHref(%q) taken: %v, want %v", href, got, safe)
		}
	}
}
