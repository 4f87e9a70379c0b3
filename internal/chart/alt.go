package chart

import (
	"fmt"
	"strings"
	"time"
)

// nothingYet is what a figure without values says.
const nothingYet = "Nothing to draw yet"

// hint returns what to do about a figure without values.
func (f Figure) hint() string {
	if h := clean(f.Hint); h != "" {
		return h
	}
	return "Code a clip that has a recording date; then it stands here."
}

// Alt returns the figure in words:
//
//	3 sessions from 2 May to 9 May 2026; 23 % to 9 %.
//
// then the extremes if they are neither first nor last, and what is missing or
// marked. Without values it says so, and what to do.
func (f Figure) Alt() string {
	marks, undated := f.marks()
	var said []string
	say := func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)) }

	if drawable(marks) {
		say("%d %s %s; %s.", len(marks), f.noun(len(marks)), dateRange(marks[0].day, marks[len(marks)-1].day), f.course(marks))
		if s := f.extremes(marks); s != "" {
			say("%s", s)
		}
	} else {
		say("%s. %s", nothingYet, f.hint())
		if len(marks) > 0 {
			said[0] = fmt.Sprintf("%s: %d %s %s, none with a value. %s", nothingYet,
				len(marks), f.noun(len(marks)), dateRange(marks[0].day, marks[len(marks)-1].day), f.hint())
		}
	}

	var without, picked, breaks int
	for i, m := range marks {
		switch {
		case !m.hasValue:
			without++
		case m.Picked:
			picked++
		}
		if m.BreakBefore && i > 0 {
			breaks++
		}
	}
	if without > 0 && without < len(marks) {
		say("%d %s without a value.", without, f.noun(without))
	}
	if picked > 0 {
		say("%d %s coded in a window picked by hand.", picked, f.noun(picked))
	}
	if breaks == 1 {
		say("The line is interrupted once.")
	} else if breaks > 1 {
		say("The line is interrupted %d times.", breaks)
	}
	if undated > 0 {
		say("%d without a date left out.", undated)
	}
	return strings.Join(said, " ")
}

// course returns the first and the last value, "23 % to 9 %".
func (f Figure) course(marks []mark) string {
	var texts []string
	for _, m := range marks {
		if m.hasValue {
			texts = append(texts, f.valueText(m))
		}
	}
	if len(texts) == 1 {
		return texts[0]
	}
	return texts[0] + " to " + texts[len(texts)-1]
}

// extremes returns "Lowest 9 %, highest 31 %." as far as the first and the last
// value do not tell.
func (f Figure) extremes(marks []mark) string {
	var valued []mark
	for _, m := range marks {
		if m.hasValue {
			valued = append(valued, m)
		}
	}
	low, high := valued[0], valued[0]
	for _, m := range valued {
		if m.value < low.value {
			low = m
		}
		if m.value > high.value {
			high = m
		}
	}
	first, last := valued[0].value, valued[len(valued)-1].value
	newLow, newHigh := low.value < min(first, last), high.value > max(first, last)
	switch {
	case newLow && newHigh:
		return fmt.Sprintf("Lowest %s, highest %s.", f.valueText(low), f.valueText(high))
	case newLow:
		return fmt.Sprintf("Lowest %s.", f.valueText(low))
	case newHigh:
		return fmt.Sprintf("Highest %s.", f.valueText(high))
	}
	return ""
}

// Row is one point in words, for the table beside a figure.
type Row struct {
	At       time.Time // as given
	Date     string    // "2 May 2026", with the time where a day has several; "no date"
	Value    string    // "23 %", or "no value"
	Interval string    // "5 % to 31 %", or ""
	Below    string    // lines joined by ", "
	Note     string    // what the shape of its mark tells, or ""
	Href     string    // where its mark leads, or ""
}

// Table returns the points in words, in order of their dates, those without one
// at the end.
func (f Figure) Table() []Row {
	marks, _ := f.marks()
	perDay := map[time.Time]int{}
	for _, m := range marks {
		perDay[m.day]++
	}
	rows := make([]Row, 0, len(f.Points))
	for i, m := range marks {
		row := f.row(m)
		row.Date = longDate(m.day)
		if perDay[m.day] > 1 {
			row.Date += ", " + clock(civilTime(m.At))
		}
		if m.BreakBefore && i > 0 {
			row.Note = join(row.Note, "line interrupted before it")
		}
		rows = append(rows, row)
	}
	for _, p := range f.Points {
		if !dated(p.At) {
			m := mark{Point: p}
			m.Label, m.Href = clean(p.Label), safeHref(p.Href)
			if m.value, m.hasValue = number(p.Value); m.hasValue {
				m.low, m.hasLow = number(p.Low)
				m.high, m.hasHigh = number(p.High)
			}
			row := f.row(m)
			row.Date = "no date"
			row.Note = join(row.Note, "not in the figure")
			rows = append(rows, row)
		}
	}
	return rows
}

// row returns m in words, without its date.
func (f Figure) row(m mark) Row {
	row := Row{
		At:       m.At,
		Value:    f.valueText(m),
		Interval: f.intervalText(m),
		Below:    strings.Join(cleanLines(m.Below), ", "),
		Href:     m.Href,
	}
	if !m.hasValue {
		row.Value = "no value"
	}
	if m.Picked {
		row.Note = "window picked by hand"
	}
	return row
}

// tooltip returns m in one line: "2 May 2026, 09:30: 23 % (5 % to 31 %). Mill
// Meadow. Window picked by hand".
func (f Figure) tooltip(m mark) string {
	row := f.row(m)
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s: %s", longDate(m.day), clock(civilTime(m.At)), row.Value)
	if row.Interval != "" {
		fmt.Fprintf(&b, " (%s)", row.Interval)
	}
	if row.Below != "" {
		b.WriteString(". " + row.Below)
	}
	if row.Note != "" {
		b.WriteString(". " + strings.ToUpper(row.Note[:1]) + row.Note[1:])
	}
	return b.String()
}

// join returns a and b with a semicolon between them, or the one that is there.
func join(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}
