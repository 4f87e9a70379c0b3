package chart

import (
	"strings"
	"time"
)

// num returns a pointer to x.
func num(x float64) *float64 { return &x }

// on returns an instant of 2026 at half past nine in a zone two hours east.
func on(month time.Month, day int) time.Time {
	return time.Date(2026, month, day, 9, 30, 0, 0, time.FixedZone("", 2*60*60))
}

// share returns a point with an interval.
func share(at time.Time, value, low, high float64, below string) Point {
	return Point{At: at, Value: num(value), Low: num(low), High: num(high), Label: Percent(value), Below: below}
}

// hostile is text that must come through as text.
var hostile = `<script>alert("1")</script> & 'Tansy' ` + "\x00\u202e🐕‍🦺 " + strings.Repeat("long ", 60)

// samples are the figures that the golden files hold.
var samples = map[string]Figure{
	"none": {Title: "Out of heel position", YLabel: "share of heel time"},
	"undrawn": {
		Title: "Out of heel position", Hint: "Code some heeling in one of them; its share then stands here.",
		Points: []Point{{At: on(time.May, 2)}, {At: on(time.May, 9)}},
	},
	"one": {
		Title: "Out of heel position", Desc: "How much of the heel time Tansy was out of position.", YLabel: "share of heel time",
		Format: Percent,
		Points: []Point{share(on(time.May, 2), 0.234, 0.15, 0.36, "Alder Lane\nbicycles at 6 m")},
	},
	"same-day": {
		Title: "Breaks in stays", YLabel: "breaks per minute of stay",
		Points: []Point{
			{At: on(time.May, 2), Value: num(1.5), Low: num(0.3), High: num(4.4), Label: "1.5", Below: "Alder Lane"},
			{At: on(time.May, 2).Add(25 * time.Minute), Value: num(1.5), Low: num(0.4), High: num(3.8), Label: "1.5", Below: "Mill Meadow", Picked: true},
		},
	},
	"gap": {
		Title: "Out of heel position", YLabel: "share of heel time", Format: Percent,
		Points: []Point{
			share(on(time.May, 2), 0.31, 0.22, 0.41, "Alder Lane"),
			share(on(time.May, 5), 0.23, 0.15, 0.33, "Alder Lane"),
			{At: on(time.May, 9), Below: "Mill Meadow"},
			share(on(time.May, 16), 0.17, 0.1, 0.26, "Quarry Car Park\nbicycles"),
			{At: on(time.May, 23), Value: num(0.09), Low: num(0.04), High: num(0.17), Label: "9 %", Below: "Quarry Car Park\ndogs at 10 m", Picked: true, Href: "/sessions/5?clip=2#t=1"},
		},
	},
	"ladder": {
		Title: "Highest pressure used", YLabel: "rung of the ladder; level beside it",
		Ticks: []Tick{{1, "body"}, {2, "voice"}, {3, "tone"}, {4, "vibration"}, {5, "leash"}, {6, "stim"}},
		Points: []Point{
			{At: on(time.April, 25), Value: num(6), Label: "stim 12", Href: "/sessions/1", Below: "Alder Lane"},
			{At: on(time.May, 2), Value: num(6), Label: "stim 9", Href: "/sessions/2", Below: "Alder Lane"},
			{At: on(time.May, 9), Value: num(5), Label: "leash", Href: "/sessions/3", Below: "Mill Meadow"},
			{At: on(time.May, 17), Value: num(3), Label: "tone", Href: "/sessions/4", Below: "Mill Meadow", BreakBefore: true},
			{At: on(time.May, 24), Value: num(2), Label: "voice", Href: "/sessions/5", Below: "Mill Meadow"},
		},
	},
	"hostile": {
		Title: hostile, Desc: hostile, YLabel: hostile, Noun: `<b>"clip"`, Interval: hostile,
		Ticks: []Tick{{0, hostile}, {1, `"&<`}},
		Points: []Point{
			{At: on(time.May, 2), Value: num(0), Low: num(0), High: num(1), Label: hostile, Below: hostile + "\n" + hostile, Href: "javascript:alert(1)"},
			{At: on(time.May, 9), Value: num(1), Label: `"&<>'`, Below: `<svg onload="x">`, Href: `/x?a=1&b="><script>`, Picked: true},
		},
	},
	"year": yearFigure(),
	"beyond": {
		Title: "Breaks in stays", YLabel: "breaks per minute of stay", YMin: num(1), YMax: num(4),
		Points: []Point{
			{At: on(time.May, 2), Value: num(7), Low: num(2), High: num(12), Label: "7"},
			{At: on(time.May, 9), Value: num(0.5), Low: num(0.1), High: num(3), Label: "0.5"},
			{At: on(time.May, 16), Value: num(2), Low: num(1.5), Label: "2"},
		},
	},
}

// yearFigure is a year of sessions, twice a week.
func yearFigure() Figure {
	f := Figure{Title: "Out of heel position", YLabel: "share of heel time", Format: Percent}
	at := time.Date(2025, time.September, 3, 18, 0, 0, 0, time.UTC)
	for i := range 80 {
		v := 0.4/(1+float64(i)/15) + 0.05*float64((i*7)%5)/5
		venue := []string{"Alder Lane", "Mill Meadow", "Quarry Car Park"}[i/27]
		f.Points = append(f.Points, share(at, v, v*0.7, v*1.4, venue))
		at = at.AddDate(0, 0, 3+i%3)
	}
	return f
}
