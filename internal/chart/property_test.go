package chart

import (
	"bytes"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// anyFloat is a float of any kind, or none.
func anyFloat(t *rapid.T, name string) *float64 {
	return rapid.OneOf(
		rapid.Just[*float64](nil),
		rapid.Map(rapid.Float64(), num),
		rapid.Map(rapid.Float64Range(-1, 10), num),
		rapid.SampledFrom([]*float64{num(math.NaN()), num(math.Inf(1)), num(math.Inf(-1)), num(0), num(5e-324), num(math.MaxFloat64)}),
	).Draw(t, name)
}

// anyFigure is a figure of anything that types allow.
func anyFigure(t *rapid.T) Figure {
	text := rapid.OneOf(rapid.String(), rapid.Just(hostile), rapid.Just("\xff<&\"'\x00"))
	// Any instant that a clock may give, or many within a few days.
	instant := rapid.OneOf(
		rapid.Map(rapid.Int64Range(-1e11, 3e11), func(s int64) time.Time { return time.Unix(s, 0) }),
		rapid.Map(rapid.Int64Range(0, 3*24*60*60), func(s int64) time.Time { return on(time.May, 2).Add(time.Duration(s) * time.Second) }),
		rapid.Just(time.Time{}),
	)
	f := Figure{
		Title: text.Draw(t, "title"), Desc: text.Draw(t, "desc"), YLabel: text.Draw(t, "y label"),
		YMin: anyFloat(t, "y min"), YMax: anyFloat(t, "y max"),
		Noun: text.Draw(t, "noun"), Hint: text.Draw(t, "hint"), Interval: text.Draw(t, "interval"),
		Width: rapid.IntRange(-10, 900).Draw(t, "width"), Height: rapid.IntRange(-10, 500).Draw(t, "height"),
		Format: rapid.SampledFrom([]func(float64) string{nil, Plain, Percent, func(float64) string { return hostile }}).Draw(t, "format"),
	}
	for range rapid.IntRange(0, 6).Draw(t, "ticks") {
		tick := Tick{Label: text.Draw(t, "tick")}
		if x := anyFloat(t, "tick value"); x != nil {
			tick.Value = *x
		}
		f.Ticks = append(f.Ticks, tick)
	}
	for range rapid.IntRange(0, 30).Draw(t, "points") {
		f.Points = append(f.Points, Point{
			At:    instant.Draw(t, "at"),
			Value: anyFloat(t, "value"), Low: anyFloat(t, "low"), High: anyFloat(t, "high"),
			Label: text.Draw(t, "label"), Href: text.Draw(t, "href"), Below: text.Draw(t, "below"),
			Picked: rapid.Bool().Draw(t, "picked"), BreakBefore: rapid.Bool().Draw(t, "break"),
		})
	}
	return f
}

// Whatever is asked for, the SVG is sound XML without script, with every mark
// inside the field and every date named once.
func TestAnySVG(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFigure(t)
		var b bytes.Buffer
		if err := f.SVG(&b); err != nil {
			t.Fatal(err)
		}
		checkSVG(t, b.String())
		if len(f.Table()) != len(f.Points) {
			t.Fatalf("%d rows for %d points", len(f.Table()), len(f.Points))
		}
		if alt := f.Alt(); alt == "" || strings.Contains(alt, "NaN") {
			t.Fatalf("Alt() = %q", alt)
		}

		p := newPlot(f, lightColours)
		if !(p.from < p.to && p.low < p.high) {
			t.Fatalf("ranges %v to %v, %v to %v", p.from, p.to, p.low, p.high)
		}
		if err := p.draw(p.onSVG, io.Discard); err != nil {
			t.Fatal(err)
		}
		if p.empty {
			return
		}
		for i, at := range p.at {
			if at.x < p.box.Left || at.x > p.box.Right+sub || at.y < p.box.Top-sub || at.y > p.box.Bottom+sub {
				t.Fatalf("mark %d at %v is outside the field %v", i, at, p.box)
			}
			if at.low < at.y && p.marks[i].hasLow && p.marks[i].value >= p.low || at.low > p.box.Bottom || at.high < p.box.Top {
				t.Fatalf("whisker %d %v is outside the field %v or off its mark", i, at, p.box)
			}
			if i > 0 && p.marks[i].day.Equal(p.marks[i-1].day) && at.x <= p.at[i-1].x {
				t.Fatalf("marks %d and %d of one day stand at %d and %d", i-1, i, p.at[i-1].x, at.x)
			}
		}
		ticks := p.dateTicks()
		if len(ticks) == 0 {
			t.Fatal("no date on the axis")
		}
		if crowded(ticks) {
			t.Fatalf("dates %v run into each other", ticks)
		}
		for i := 1; i < len(ticks); i++ {
			if ticks[i].label == ticks[i-1].label {
				t.Fatalf("dates %v name one twice", ticks)
			}
		}
	})
}

// The bitmap must come to an end whatever the numbers are.
func TestAnyPNG(t *testing.T) {
	if testing.Short() {
		t.Skip("draws many pictures")
	}
	count := 0
	rapid.Check(t, func(t *rapid.T) {
		if count++; count > 15 { // to encode a picture takes a while
			return
		}
		var b bytes.Buffer
		f := anyFigure(t)
		f.Width, f.Height = minWidth, minHeight
		if err := f.PNG(&b, rapid.Bool().Draw(t, "dark")); err != nil {
			t.Fatal(err)
		}
		if _, err := png.Decode(&b); err != nil {
			t.Fatal(err)
		}
	})
}
