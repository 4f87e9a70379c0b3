package measure_test

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// tenth is the grid on which events are drawn, so that things often fall together.
const tenth = annotate.Second / 10

// drawReading draws a valid reading with the book of like: events on a grid of
// tenths of a second over half a minute, the window somewhere in it.
func drawReading(t *rapid.T, like *annotate.Reading, prefix string) *annotate.Reading {
	const cells = 300
	r := *like
	r.ID, r.Clip.Duration, r.Chosen = prefix, cells*tenth, ""
	r.Clip.File = prefix + ".mp4"
	r.Window = annotate.Span{Start: annotate.Micros(rapid.IntRange(0, 40).Draw(t, "from")) * tenth, End: annotate.Micros(rapid.IntRange(200, cells).Draw(t, "to")) * tenth}
	r.Events = nil
	put := func(code *annotate.Code, from, to int, open bool) {
		e := annotate.Event{ID: fmt.Sprintf("%s%03d", prefix, len(r.Events)), Code: code.ID, Start: annotate.Micros(from) * tenth, End: annotate.Micros(to) * tenth, Open: open}
		if open {
			e.End = 0
		}
		drawDetails(t, code, &e)
		r.Events = append(r.Events, e)
	}
	for i := range r.Book.Lanes {
		lane := &r.Book.Lanes[i]
		code := func() *annotate.Code { return &lane.Codes[rapid.IntRange(0, len(lane.Codes)-1).Draw(t, "code")] }
		if lane.Exclusive {
			most := 60
			if lane.Codes[0].Role == annotate.RoleExercise {
				most = 120
			}
			for at := rapid.IntRange(-10, 60).Draw(t, "at"); at < cells-1; {
				at = max(at, 0)
				to := at + rapid.IntRange(1, most).Draw(t, "length")
				if to > cells {
					put(code(), at, 0, true)
					break
				}
				put(code(), at, to, false)
				at = to + rapid.SampledFrom([]int{0, 2, 5, 6, 20, 60, 150}).Draw(t, "gap")
			}
			continue
		}
		for range rapid.IntRange(0, 8).Draw(t, "events") {
			c := code()
			from := rapid.IntRange(0, cells).Draw(t, "start")
			to := from
			if c.Shape == annotate.ShapeSpan || c.Shape == annotate.ShapeEither && rapid.Bool().Draw(t, "span") {
				to = from + rapid.IntRange(1, 50).Draw(t, "length")
			}
			put(c, from, min(to, cells), to > cells || c.Shape == annotate.ShapeSpan && from == cells)
		}
	}
	annotate.SortEvents(r.Events)
	return &r
}

func drawDetails(t *rapid.T, code *annotate.Code, e *annotate.Event) {
	switch code.Role {
	case annotate.RolePressure:
		if rapid.Bool().Draw(t, "with level") {
			e.Details.Level = new(float64(rapid.IntRange(0, 5).Draw(t, "level")))
		}
		e.Details.Device = rapid.SampledFrom([]string{"", "", "A", "B"}).Draw(t, "device")
	case annotate.RoleBreak, annotate.RoleTurn, annotate.RoleStress:
		e.Details.Kind = rapid.SampledFrom([]string{"", "left", "right"}).Draw(t, "kind")
	}
}

// TestDrawn checks that what is drawn is valid and has something of everything in
// it, so that the properties say something.
func TestDrawn(t *testing.T) {
	like := readWorked(t, "heel")
	roles := map[annotate.Role]int{}
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t, like, "x")
		if p := r.Validate(); p != nil {
			t.Fatalf("a drawn reading is not valid:\n%v", p)
		}
		drawn++
		for _, e := range r.Events {
			c, _, _ := r.Book.Code(e.Code)
			roles[c.Role]++
		}
	})
	for _, role := range annotate.Roles() {
		if slices.Contains([]annotate.Role{annotate.RoleOffered, annotate.RolePace, annotate.RoleLine, annotate.RoleHandler, annotate.RoleRemark}, role) {
			continue // not in that book
		}
		if roles[role] < drawn/4 {
			t.Errorf("%d events of role %s in %d readings: too few", roles[role], role, drawn)
		}
	}
}
