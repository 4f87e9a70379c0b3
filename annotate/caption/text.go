package caption

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"afterwalk/annotate"
)

var (
	placePattern = regexp.MustCompile(`\{([A-Za-z_]+)\}`)
	// What looks like a place: a mistyped one, such as {level 2}, would be printed
	// as it stands.
	bracedPattern = regexp.MustCompile(`\{([^{}\n]*)\}`)
)

// Check returns a problem for each place in text that there is no value for, one
// for each name.
func Check(field, text string) annotate.Problems {
	var names []string
	for _, p := range Places() {
		names = append(names, p.Name)
	}
	var problems annotate.Problems
	told := map[string]bool{}
	for _, m := range bracedPattern.FindAllStringSubmatch(text, -1) {
		if slices.Contains(names, m[1]) || told[m[1]] {
			continue
		}
		told[m[1]] = true
		problems = append(problems, annotate.Problem{
			Field:   field,
			Message: fmt.Sprintf("The text has a place {%s} that nothing fills.", m[1]),
			Hint:    "Places are {" + strings.Join(names, "}, {") + "}.",
		})
	}
	return problems
}

// fill puts values into the places of a text; what is absent is printed as “–”.
func fill(text string, values map[string]string) string {
	return placePattern.ReplaceAllStringFunc(text, func(place string) string {
		if v := values[place[1:len(place)-1]]; v != "" {
			return v
		}
		return "–"
	})
}

// values returns what the places of an event's text stand for. d are its details
// over its code's, taps how often it was given.
func values(r *annotate.Reading, e annotate.Event, d annotate.Details, taps int) map[string]string {
	v := map[string]string{"name": r.Dog.Name, "kind": d.Kind, "note": oneLine(e.Note)}
	if d.Level != nil {
		v["level"] = number(*d.Level)
	}
	if taps > 0 {
		v["taps"] = strconv.Itoa(taps)
	}
	if !e.Open && e.End > e.Start {
		v["seconds"] = strconv.FormatFloat((e.End - e.Start).Seconds(), 'f', 1, 64)
	}
	if d.DistanceM != nil {
		v["distance"] = number(*d.DistanceM) + " m"
	}
	return v
}

// number prints v with as many digits as it needs.
func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
