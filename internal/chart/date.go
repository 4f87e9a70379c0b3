package chart

import (
	"fmt"
	"strconv"
	"time"
)

// civilTime returns what the clock of t's own zone shows, as if it were UTC: days
// of 24 hours, no hour twice, whatever the zone of the machine that draws.
func civilTime(t time.Time) time.Time {
	year, month, day := t.Date()
	hour, minute, second := t.Clock()
	return time.Date(year, month, day, hour, minute, second, t.Nanosecond(), time.UTC)
}

// dated reports whether t can stand on a date axis.
func dated(t time.Time) bool {
	return !t.IsZero() && t.Year() >= 1 && t.Year() <= 9999
}

// longDate returns "2 May 2026".
func longDate(t time.Time) string { return t.Format("2 January 2006") }

// dateRange returns "on 2 May 2026", "from 2 May to 9 May 2026" or "from 30
// December 2025 to 2 January 2026".
func dateRange(first, last time.Time) string {
	switch {
	case first.Equal(last):
		return "on " + longDate(first)
	case first.Year() == last.Year():
		return "from " + first.Format("2 January") + " to " + longDate(last)
	}
	return "from " + longDate(first) + " to " + longDate(last)
}

// dateTick is a day named on the date axis.
type dateTick struct {
	at    float64 // civil seconds
	label string
}

// dateStep is a distance between ticks: days or months, not both.
type dateStep struct{ days, months int }

// dateSteps are the distances that a calendar offers, from near to far.
var dateSteps = []dateStep{
	{days: 1}, {days: 2}, {days: 7}, {days: 14},
	{months: 1}, {months: 2}, {months: 3}, {months: 6},
	{months: 12}, {months: 24}, {months: 60}, {months: 120}, {months: 240},
	{months: 600}, {months: 1200}, {months: 6000}, {months: 12000},
}

// calendarTicks returns ticks at midnights between from and to (civil seconds,
// both included), at the nearest distance of [dateSteps] at which room says
// that the ticks do not crowd; none if not even the widest do. Weeks start on
// Mondays, months on the 1st, years in January.
func calendarTicks(from, to float64, room func([]dateTick) bool) []dateTick {
	const day = 24 * 60 * 60
	for _, step := range dateSteps {
		length := float64(step.days) * day
		if step.months > 0 {
			length = float64(step.months) * 30 * day
		}
		if (to-from)/length > 200 {
			continue
		}
		if ticks := ticksAt(step, from, to); room(ticks) {
			return ticks
		}
	}
	return nil
}

// ticksAt returns the ticks of one step.
func ticksAt(step dateStep, from, to float64) []dateTick {
	t := time.Unix(int64(from), 0).UTC().Truncate(24 * time.Hour)
	switch {
	case step.months > 0:
		months := t.Year()*12 + int(t.Month()) - 1
		months -= mod(months, step.months)
		t = time.Date(0, time.Month(months+1), 1, 0, 0, 0, 0, time.UTC)
	case step.days > 1:
		// The epoch was a Thursday: day 4 is the first Monday.
		days := int(t.Unix()/(24*60*60)) - 4
		t = t.AddDate(0, 0, -mod(days, step.days))
	}
	var ticks []dateTick
	year := 0 // of the tick before
	for {
		at := float64(t.Unix())
		if at > to {
			return ticks
		}
		if at >= from {
			ticks = append(ticks, dateTick{at: at, label: tickLabel(t, step, t.Year() != year)})
			year = t.Year()
		}
		t = t.AddDate(0, step.months, step.days)
	}
}

// tickLabel names t; the year stands where it is new.
func tickLabel(t time.Time, step dateStep, newYear bool) string {
	switch {
	case step.months >= 12 && step.months%12 == 0:
		return strconv.Itoa(t.Year())
	case step.months > 0 && newYear:
		return t.Format("Jan 2006")
	case step.months > 0:
		return t.Format("Jan")
	case newYear:
		return t.Format("2 Jan 2006")
	}
	return t.Format("2 Jan")
}

// mod returns a modulo b, at least 0 for a negative a too.
func mod(a, b int) int { return (a%b + b) % b }

// clock returns "09:30".
func clock(t time.Time) string { return fmt.Sprintf("%02d:%02d", t.Hour(), t.Minute()) }
