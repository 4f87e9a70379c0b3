package chart

import (
	"math"
	"slices"
	"time"
)

// Figure describes one figure: values over dates.
type Figure struct {
	Title  string
	Name   string // what it is called where no Title is drawn, for who can't see it
	Desc   string // what is shown, a sentence or two for who can't see it
	YLabel string // what the values are and their unit

	// YMin and YMax fix the ends of the y axis. Without them it starts at 0 (or
	// below the lowest value) and ends above the values and, up to three times
	// the highest value, above their intervals.
	YMin, YMax *float64

	// Ticks are the values named on the y axis, for instance the rungs of a
	// ladder. Without them they are round numbers in the way of Format.
	Ticks []Tick

	// Format writes a value of the y axis; nil is [Plain].
	Format func(float64) string

	Noun string // what a point is, singular: "clip"; "" is "session"
	Hint string // what to do where there is nothing to draw; "" is a general one

	Interval string // what Low and High are; "" is "95 % interval"

	Width, Height int // pixels; 0 is 720 and 360, others are held in sane bounds

	Points []Point // in any order
}

// Tick is a value named on the y axis.
type Tick struct {
	Value float64
	Label string
}

// Point is one session or clip.
type Point struct {
	At time.Time // when it was recorded; the zero time is "not known" and not drawn

	Value     *float64 // nil: there is none, the line is interrupted
	Low, High *float64 // its interval; either may be nil

	Label string // the value as text, "23 %", "stim 9"; "" is Format's
	Href  string // where the mark leads: a path on this site, else ignored
	Below string // stands under the date, a line each: venue, distractions, …

	Picked      bool // its window was picked by hand: a hollow mark
	BreakBefore bool // the line stops before this point
}

// The sizes of a figure in pixels.
const (
	defaultWidth, defaultHeight = 720, 360
	minWidth, minHeight         = 320, 220
	maxWidth, maxHeight         = 4000, 4000
)

// mark is a point made ready for drawing: dated, clean, in order.
type mark struct {
	Point
	day   time.Time // the civil day, midnight UTC
	civil float64   // civil seconds ([civilTime])

	value     float64
	hasValue  bool
	low, high float64
	hasLow    bool
	hasHigh   bool
}

// marks returns the points that have a date, in order of it, and the number of
// the others. Points of one instant keep the order they were given in.
func (f Figure) marks() (marks []mark, undated int) {
	for _, p := range f.Points {
		if !dated(p.At) {
			undated++
			continue
		}
		m := mark{Point: p}
		civil := civilTime(p.At)
		m.civil = float64(civil.Unix()) + float64(civil.Nanosecond())/1e9
		m.day = civil.Truncate(24 * time.Hour)
		m.Label = clean(p.Label)
		m.Href = safeHref(p.Href)
		if m.value, m.hasValue = number(p.Value); m.hasValue {
			m.low, m.hasLow = number(p.Low)
			m.high, m.hasHigh = number(p.High)
			// An interval that does not hold its value is drawn up to it.
			m.low, m.high = min(m.low, m.value), max(m.high, m.value)
		}
		marks = append(marks, m)
	}
	slices.SortStableFunc(marks, func(a, b mark) int {
		switch {
		case a.civil < b.civil:
			return -1
		case a.civil > b.civil:
			return 1
		}
		return a.At.Compare(b.At)
	})
	return marks, undated
}

// maxNumber bounds what is drawn; beyond it differences leave float64.
const maxNumber = 1e100

// number returns the value behind p; ok is false where there is none that can
// be drawn.
func number(p *float64) (x float64, ok bool) {
	if p == nil || math.IsNaN(*p) || math.Abs(*p) > maxNumber {
		return 0, false
	}
	return *p, true
}

// size returns the width and height in pixels.
func (f Figure) size() (width, height int) {
	width, height = f.Width, f.Height
	if width <= 0 {
		width = defaultWidth
	}
	if height <= 0 {
		height = defaultHeight
	}
	return min(max(width, minWidth), maxWidth), min(max(height, minHeight), maxHeight)
}

// name returns what the figure is called, never "".
func (f Figure) name() string {
	for _, name := range []string{f.Title, f.Name} {
		if name = clean(name); name != "" {
			return name
		}
	}
	return "Figure"
}

// noun returns the word for n points.
func (f Figure) noun(n int) string {
	word := clean(f.Noun)
	if word == "" {
		word = "session"
	}
	if n == 1 {
		return word
	}
	return word + "s"
}

// format writes a value: as the tick with that value is called, else by Format.
func (f Figure) format(x float64) string {
	for _, t := range f.Ticks {
		if t.Value == x && t.Label != "" {
			return clean(t.Label)
		}
	}
	if f.Format == nil {
		return Plain(x)
	}
	return clean(f.Format(x))
}

// valueText returns the value of m as text, "" where it has none.
func (f Figure) valueText(m mark) string {
	switch {
	case !m.hasValue:
		return ""
	case m.Label != "":
		return m.Label
	}
	return f.format(m.value)
}

// intervalText returns the interval of m as text, "" where it has none. Without a
// Format of the figure's own its ends have three digits: they are estimates.
func (f Figure) intervalText(m mark) string {
	end := f.format
	if f.Format == nil {
		end = func(x float64) string { return f.format(threeDigits(x)) }
	}
	switch {
	case m.hasLow && m.hasHigh:
		return end(m.low) + " to " + end(m.high)
	case m.hasLow:
		return "at least " + end(m.low)
	case m.hasHigh:
		return "at most " + end(m.high)
	}
	return ""
}

// hasLinks reports whether any mark leads somewhere.
func hasLinks(marks []mark) bool {
	return slices.ContainsFunc(marks, func(m mark) bool { return m.Href != "" })
}

// drawable reports whether any mark has a value.
func drawable(marks []mark) bool {
	return slices.ContainsFunc(marks, func(m mark) bool { return m.hasValue })
}
