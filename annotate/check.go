package annotate

import (
	"fmt"
	"math"
)

// check gathers problems.
type check struct{ problems Problems }

// add notes a problem at a place.
func (c *check) add(field, hint, format string, args ...any) {
	c.problems = append(c.problems, Problem{Field: field, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// seconds writes a time or length for a message.
func seconds(m Micros) string { return fmt.Sprintf("%.3f s", m.Seconds()) }

// negative reports whether v is below 0 or not a number that can be measured.
func negative(v float64) bool { return !(v >= 0) || math.IsInf(v, 1) }

// eventCheck checks single events against a book and a clip.
type eventCheck struct {
	check
	book *Codebook
	end  Micros // of the clip
	list string // name of the list that the events stand in, for fields
}

// event checks the event at index i of the list: every rule that an event can
// break by itself.
func (c *eventCheck) event(i int, e *Event) {
	bad := func(field, hint, format string, args ...any) {
		who := fmt.Sprintf("Event %q", e.ID)
		if e.Code != "" {
			who += fmt.Sprintf(" (%s)", e.Code)
		}
		place := fmt.Sprintf("%s[%d] (%s).%s", c.list, i, e.ID, field)
		c.add(place, hint, "%s", who+" "+fmt.Sprintf(format, args...))
	}
	if e.ID == "" {
		bad("id", "Each event needs an id of its own.", "has no id.")
	}
	switch {
	case e.Start < 0:
		bad("start_us", "", "starts before 0.")
	case e.Start > c.end:
		bad("start_us", "", "starts at %s, after the clip's end at %s.", seconds(e.Start), seconds(c.end))
	}
	switch {
	case e.Open:
	case e.End < e.Start:
		bad("end_us", "", "ends before it starts.")
	case e.End > c.end && e.Start <= c.end:
		bad("end_us", "", "ends at %s, after the clip's end at %s.", seconds(e.End), seconds(c.end))
	}
	code, _ := c.book.code(e.Code)
	if code == nil {
		bad("code", "Choose a code of the book, or add it to the book.", "has the unknown code %q.", e.Code)
		return
	}
	switch {
	case code.Shape == ShapeMoment && e.Open:
		bad("end_us", "Give it the end that is its start.", "has an open end, but its code is a moment.")
	case code.Shape == ShapeMoment && e.End > e.Start:
		bad("end_us", "Give it the end that is its start.", "has a length, but its code is a moment.")
	case code.Shape == ShapeSpan && !e.Open && e.End == e.Start:
		bad("end_us", "Give it an end after its start, or leave the end open.", "has no length, but its code is a span.")
	}
	c.details(code.Role, e.Details.Over(code.Details), bad)
}

// details checks what is asked of an event's details after they have gone over
// its code's.
func (c *eventCheck) details(role Role, d Details, bad func(field, hint, format string, args ...any)) {
	const hint = "Give it on the event or on its code."
	switch role {
	case RoleCue:
		if d.Command == "" {
			bad("details.command", hint, "is a cue without a command.")
		}
	case RoleAnswer:
		switch d.Result {
		case "did", "none", "other":
		case "":
			bad("details.result", hint, "is an answer without a result.")
		default:
			bad("details.result", "It is did, none or other.", "has the unknown result %q.", d.Result)
		}
	case RoleExercise, RoleError:
		if d.Kind == "" {
			bad("details.kind", hint, "is of role %s without a kind.", role)
		}
	case RolePressure:
		c.pressure(d, bad)
	}
	if d.Level != nil && negative(*d.Level) {
		bad("details.level", "", "has the level %v, below 0.", *d.Level)
	}
	if d.Taps != nil && *d.Taps < 1 {
		bad("details.taps", "", "has %d taps; there is at least 1.", *d.Taps)
	}
}

func (c *eventCheck) pressure(d Details, bad func(field, hint, format string, args ...any)) {
	if d.Channel == "" {
		bad("details.channel", "Give it on the event or on its code.", "is pressure without a channel.")
		return
	}
	rung, ok := c.book.Rung(d.Channel, d.Device)
	if !ok {
		bad("details.channel", "Add the channel to the book's ladder.", "has the channel %q, which is not on the ladder.", d.Channel)
		return
	}
	if d.Level != nil && rung.LevelMax != nil && *d.Level > *rung.LevelMax {
		bad("details.level", "", "has the level %v, above level_max %v of the scale %q.", *d.Level, *rung.LevelMax, Scale(rung.Channel, rung.Device))
	}
}
