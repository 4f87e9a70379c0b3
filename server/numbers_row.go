package server

import (
	"fmt"
	"strconv"
	"strings"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/stat"
)

// share fills in so many of so many with Wilson's interval; none says why there is
// nothing to share.
func (r *numberRow) share(s measure.Share, none string) {
	if s.Value == nil {
		r.Absent = none
		return
	}
	r.Value, r.More = fmt.Sprintf("%d of %d", s.K, s.N), percent(*s.Value)
	if s.Low != nil && s.High != nil {
		r.Interval = fmt.Sprintf("%.0f to %.0f %%", *s.Low*100, *s.High*100)
	}
}

// part is share for counts that the measures don't have as one.
func (r *numberRow) part(k, n int, none string) {
	s := measure.Share{K: k, N: n}
	if e, ok, err := stat.Wilson(k, n, stat.Conf95); ok && err == nil {
		s.Value, s.Low, s.High = &e.Value, &e.Low, &e.High
	}
	r.share(s, none)
}

// rate fills in a count and how often that is in a minute, with Garwood's interval.
func (r *numberRow) rate(v measure.Rate) {
	r.Value = strconv.Itoa(v.Count)
	if v.Value == nil {
		return
	}
	r.More = twoDigits(*v.Value) + " a minute"
	if v.Low != nil && v.High != nil {
		r.Interval = twoDigits(*v.Low) + " to " + twoDigits(*v.High)
	}
}

// percent writes a share in whole percent: 43 %. So few tries tell no more.
func percent(share float64) string { return fmt.Sprintf("%.0f %%", share*100) }

// twoDigits writes x of 0 or more with two digits, and all those before the point.
func twoDigits(x float64) string {
	digits := 0
	for limit := 9.95; digits < 2 && x < limit; limit /= 10 {
		digits++
	}
	text := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// plainTenth writes seconds with one decimal.
func plainTenth(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

// roleWords name roles as they are coded.
var roleWords = map[annotate.Role]string{
	annotate.RoleExercise: "exercises", annotate.RoleError: "errors", annotate.RoleOffTask: "off-task", annotate.RoleCue: "cues",
	annotate.RoleAnswer: "answers", annotate.RoleBreak: "breaks", annotate.RolePressure: "pressure", annotate.RoleHelp: "help",
	annotate.RoleReward: "rewards", annotate.RoleTurn: "turns", annotate.RoleStress: "stress signs",
}

// uncoded says which of the roles some reading did not code.
func (s *tally) uncoded(roles ...annotate.Role) string {
	var missing []string
	for _, role := range s.m.NotCoded {
		for _, r := range roles {
			if r == role {
				missing = append(missing, roleWords[r])
			}
		}
	}
	if len(missing) == 0 {
		return "Not coded."
	}
	return "Not coded in every clip: " + strings.Join(missing, ", ") + "."
}
