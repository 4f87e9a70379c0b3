package caption

import (
	"cmp"
	"slices"
	"strings"

	"afterwalk/annotate"
)

// tapGap is how close taps on one scale must be to be one cue, limit included.
const tapGap = annotate.Second

// Fit is how long a cue stays. All but PerWord are lengths in media time.
type Fit struct {
	Least, Most annotate.Micros // shortest and longest stay
	PerWord     annotate.Micros // time to read a word
}

// DefaultFit returns the default limits: at least 1 s, at most 7 s, 0.33 s a
// word (BBC Subtitle Guidelines: 160–180 words a minute, 0.33–0.375 s a word).
func DefaultFit() Fit {
	return Fit{Least: annotate.Second, Most: 7 * annotate.Second, PerWord: 330_000}
}

// Coder returns the coder's track: one cue for each event of the reading, in
// order of start; taps of pressure on one scale within a second are one cue. A
// cue starts with its event. It stays as long as the event, but long enough to
// be read, at most fit.Most, and never past the clip's end; one that begins less
// than fit.Least before the clip's end begins that much earlier.
func Coder(r *annotate.Reading, fit Fit) []Cue {
	var cues []Cue
	merged := make([]bool, len(r.Events))
	for i, e := range r.Events {
		if merged[i] {
			continue
		}
		code, _, ok := r.Book.Code(e.Code)
		if !ok {
			continue // a valid reading has none
		}
		details := e.Details.Over(code.Details)
		taps, ids := givenTaps(e, code, details), []string{e.ID}
		if taps > 0 {
			last := e.Start
			for j := i + 1; j < len(r.Events) && r.Events[j].Start-last <= tapGap; j++ {
				f := r.Events[j]
				d := f.Details.Over(code.Details)
				if f.Code != e.Code || f.Note != "" || !sameSetting(details, d) || givenTaps(f, code, d) == 0 {
					continue
				}
				taps += givenTaps(f, code, d)
				ids, merged[j], last = append(ids, f.ID), true, f.Start
			}
		}
		text := code.Texts.Coder
		if text == "" {
			text = code.Name
		}
		cue := Cue{Start: e.Start, Lines: lines(r, e, text, details, taps), Events: ids}
		cue.End = e.End
		if e.Open {
			cue.End = r.Window.End
		}
		cues = append(cues, fit.stay(cue, r.Clip.Duration))
	}
	slices.SortStableFunc(cues, func(a, b Cue) int { return cmp.Compare(a.Start, b.Start) })
	return cues
}

// stay gives a cue a length that can be read and that lies in the clip.
func (f Fit) stay(c Cue, duration annotate.Micros) Cue {
	words := 0
	for _, l := range c.Lines {
		words += len(strings.Fields(l))
	}
	need := max(f.Least, annotate.Micros(words)*f.PerWord)
	c.End = min(max(c.End, c.Start+need), c.Start+f.Most, duration)
	if c.End-c.Start < f.Least {
		c.Start = max(0, c.End-f.Least)
	}
	return c
}

// givenTaps returns how often a moment of pressure was given, 1 if nothing is
// said; 0 for all else.
func givenTaps(e annotate.Event, c annotate.Code, d annotate.Details) int {
	switch {
	case c.Role != annotate.RolePressure || e.Open || e.End > e.Start:
		return 0
	case d.Taps == nil:
		return 1
	}
	return *d.Taps
}

// sameSetting reports whether two events of one code gave the same on one scale.
func sameSetting(a, b annotate.Details) bool {
	level := func(d annotate.Details) float64 {
		if d.Level == nil {
			return -1
		}
		return *d.Level
	}
	return a.Channel == b.Channel && a.Device == b.Device && level(a) == level(b) && a.Kind == b.Kind
}

// lines returns the book's text, then what was coded that the text has no place
// for, then the note.
func lines(r *annotate.Reading, e annotate.Event, text string, d annotate.Details, taps int) []string {
	v := values(r, e, d, taps)
	var rest []string
	for _, place := range []string{"kind", "level", "distance"} {
		given := place == "kind" && e.Details.Kind != "" || place == "level" && e.Details.Level != nil ||
			place == "distance" && e.Details.DistanceM != nil
		if given && !strings.Contains(text, "{"+place+"}") {
			rest = append(rest, v[place])
		}
	}
	if taps > 1 && !strings.Contains(text, "{taps}") {
		rest = append(rest, "×"+v["taps"])
	}
	line := fill(text, v)
	if len(rest) > 0 {
		line += " (" + strings.Join(rest, ", ") + ")"
	}
	out := []string{line}
	if v["note"] != "" && !strings.Contains(text, "{note}") {
		out = append(out, v["note"])
	}
	return out
}
