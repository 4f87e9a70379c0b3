package chart

import (
	"fmt"
	"strings"

	"afterwalk/annotate"
)

// StripEvent is one event of a strip in words.
type StripEvent struct {
	At   annotate.Micros
	Text string // "0:15.2 behind (lagging), 3.4 s"
	Href string // the desk at its start, "" where a strip has no links
}

// Words says what the strip shows: a summary in a sentence, and each event that
// is in view, in order of start.
func (s Strip) Words() (summary string, events []StripEvent) {
	scene, from, to := s.scene()
	var shown []*stripItem
	for _, i := range scene.items {
		if i.start <= to && i.end >= from {
			shown = append(shown, i)
			e := StripEvent{At: i.start, Text: itemWords(i)}
			if href := safeHref(s.Href); href != "" {
				e.Href = deskAt(href, i.start)
			}
			events = append(events, e)
		}
	}
	return s.summary(shown, to-from), events
}

// counted are the roles that a summary counts.
var counted = []struct {
	role      annotate.Role
	one, many string
}{
	{annotate.RoleError, "error", "errors"}, {annotate.RoleOffTask, "time off task", "times off task"},
	{annotate.RoleBreak, "break", "breaks"}, {annotate.RoleCue, "cue", "cues"}, {annotate.RoleAnswer, "answer", "answers"},
	{annotate.RolePressure, "use of pressure", "uses of pressure"}, {annotate.RoleReward, "reward", "rewards"},
	{annotate.RoleStress, "stress sign", "stress signs"},
}

func (s Strip) summary(items []*stripItem, length annotate.Micros) string {
	counts := map[annotate.Role]int{}
	for _, i := range items {
		counts[i.role]++
	}
	var parts []string
	for _, c := range counted {
		switch n := counts[c.role]; {
		case n == 1:
			parts = append(parts, "1 "+c.one)
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", n, c.many))
		}
	}
	what := strings.Join(parts, ", ")
	switch {
	case what != "":
	case len(items) == 1:
		what = "1 event"
	case len(items) > 1:
		what = fmt.Sprintf("%d events", len(items))
	default:
		what = "nothing coded yet"
	}
	return fmt.Sprintf("%s long: %s.", timeLabel(length, 0), what)
}

// itemWords says one event: 0:15.2 behind (lagging), 3.4 s; level, taps, distance
// and note behind it.
func itemWords(i *stripItem) string {
	parts := []string{timeLabel(i.start, 1) + " " + i.name}
	add := func(ok bool, text string) {
		if ok {
			parts = append(parts, text)
		}
	}
	add(i.kind != "" && i.kind != i.name && i.role != annotate.RoleExercise && i.role != annotate.RoleError, i.kind)
	switch {
	case i.open:
		parts = append(parts, "still open")
	case i.end > i.start:
		parts = append(parts, secondsLabel(i.end-i.start)+" s")
	}
	if i.role == annotate.RolePressure {
		add(i.helps, "help")
		add(!i.helps, "correction")
		add(i.device != "", i.device)
	}
	if i.level != nil {
		parts = append(parts, "level "+plainNumber(*i.level))
	}
	add(i.taps > 1, fmt.Sprintf("%d taps", i.taps))
	if i.distance != nil {
		parts = append(parts, plainNumber(*i.distance)+" m")
	}
	add(i.note != "", i.note)
	return strings.Join(parts, ", ")
}

// timeSeconds writes a time in seconds with all its decimals.
func timeSeconds(t annotate.Micros) string {
	return fmt.Sprintf("%d.%06d", int64(t/annotate.Second), int64(t%annotate.Second))
}
