package measure

import (
	"slices"
	"strconv"
	"strings"

	"afterwalk/annotate"
)

// Setting is what a session's value must be read with: harder is not worse. What
// is not known is empty.
type Setting struct {
	Venue, Handler string
	Distractions   []string  // kinds in order, each with the nearest distance known: "dog 4 m"
	Lines          []string  // kinds of line, in order
	PlannedS       []float64 // planned lengths of exercises, seconds, rising
	HandlerM       []float64 // the handler's distances, metres, rising
}

// Words returns the setting as lines of text, one for each thing that is known.
func (s Setting) Words() []string {
	var lines []string
	add := func(line string) {
		if line != "" {
			lines = append(lines, line)
		}
	}
	add(s.Venue)
	add(s.Handler)
	add(strings.Join(s.Distractions, ", "))
	add(strings.Join(s.Lines, ", "))
	add(withUnit("planned ", s.PlannedS, " s"))
	add(withUnit("handler at ", s.HandlerM, " m"))
	return lines
}

func withUnit(before string, x []float64, unit string) string {
	if len(x) == 0 {
		return ""
	}
	words := make([]string, len(x))
	for i, v := range x {
		words[i] = plain(v)
	}
	return before + strings.Join(words, ", ") + unit
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// setting returns what is known of the session without its events.
func (s *Session) setting(readings []*annotate.Reading) Setting {
	var venues, handlers []string
	for _, r := range readings {
		venues, handlers = insert(venues, r.Venue), insert(handlers, r.Handler)
	}
	return Setting{
		Venue:   or(s.Venue, strings.Join(venues, ", ")),
		Handler: or(s.Handler, strings.Join(handlers, ", ")),
	}
}

// add adds what the events of a session say.
func (s *Setting) add(opened *session) {
	nearest := map[string]*float64{}
	for _, c := range opened.clips {
		for _, e := range c.events[annotate.RoleDistraction] {
			kind := or(e.kind(), "distraction")
			m := e.src.Details.DistanceM
			if m == nil {
				m = e.code.Details.DistanceM
			}
			if old, ok := nearest[kind]; !ok || m != nil && (old == nil || *m < *old) {
				nearest[kind] = m
			}
		}
		for _, e := range c.events[annotate.RoleLine] {
			s.Lines = insert(s.Lines, e.kind())
		}
		for _, e := range c.events[annotate.RoleExercise] {
			d := e.src.Details.Over(e.code.Details)
			if d.PlannedS != nil {
				s.PlannedS = insert(s.PlannedS, *d.PlannedS)
			}
			if d.HandlerM != nil {
				s.HandlerM = insert(s.HandlerM, *d.HandlerM)
			}
		}
	}
	for kind, m := range nearest {
		if m != nil {
			kind += " " + plain(*m) + " m"
		}
		s.Distractions = insert(s.Distractions, kind)
	}
}

// insert puts v into a list in order, once; "" is not put.
func insert[T string | float64](list []T, v T) []T {
	if s, ok := any(v).(string); ok && s == "" {
		return list
	}
	at, found := slices.BinarySearch(list, v)
	if found {
		return list
	}
	return slices.Insert(list, at, v)
}
