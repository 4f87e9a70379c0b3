package server

import (
	"fmt"
	"slices"
	"strings"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/stat"
)

// withHelp is what came right with help.
func (s *tally) withHelp() []numberRow {
	return []numberRow{
		s.rightAgain("Right again with help", "A cue, a hand, a lure, or pressure on a rung that counts as help.", s.right.helped),
		s.graded("Cues answered with help", "Asked again, helped, or with pressure on a rung that counts as help.", func(g *measure.Grades) int { return g.Helped }),
		s.graded("Cues answered late", "Without help or pressure, after the prompt limit or a wrong answer first.", func(g *measure.Grades) int { return g.Slow }),
	}
}

// withCorrection is what came right with correction, and the rewards beside it.
func (s *tally) withCorrection() []numberRow {
	return []numberRow{
		s.rightAgain("Right again with correction", "Pressure on a rung above help was among the steps.", s.right.corrected),
		s.graded("Cues answered after correction", "Pressure on a rung above help came before the answer.", func(g *measure.Grades) int { return g.Corrected }),
		s.graded("Cues without an answer", "None while the answer window was open.", func(g *measure.Grades) int { return g.NoAnswer }),
		s.corrected(), s.rewarded(),
	}
}

// rightAgain is so many of what went wrong and came right.
func (s *tally) rightAgain(name, says string, n int) numberRow {
	r := numberRow{Name: name, Says: says}
	switch p := s.m.Pressure; {
	case p == nil:
		r.Absent = s.uncoded(annotate.RolePressure)
	case p.ByItself == nil:
		r.Absent = s.uncoded(annotate.RoleCue, annotate.RoleHelp)
	default:
		r.part(n, s.resolved, "Nothing went wrong and came right again.")
	}
	return r
}

// graded is the known trials of one grade.
func (s *tally) graded(name, says string, of func(*measure.Grades) int) numberRow {
	r := numberRow{Name: name, Says: says}
	switch c := s.m.Cues; {
	case c == nil:
		r.Absent = s.uncoded(annotate.RoleCue, annotate.RoleAnswer)
	case c.Grades == nil:
		r.Absent = s.uncoded(annotate.RolePressure, annotate.RoleHelp)
	default:
		g := c.Grades
		r.part(of(g), g.Clean+g.Slow+g.Helped+g.Corrected+g.NoAnswer, "No cue whose outcome is known.")
	}
	return r
}

func (s *tally) corrected() numberRow {
	r := numberRow{Name: "Corrections", Says: "Uses of pressure on a rung above help."}
	if s.m.Pressure == nil {
		r.Absent = s.uncoded(annotate.RolePressure)
		return r
	}
	r.Value = fmt.Sprintf("%d of %s", s.corrections(), count(s.m.Pressure.Events, "use of pressure", "uses of pressure"))
	return r
}

func (s *tally) rewarded() numberRow {
	r := numberRow{Name: "Rewards", Says: "Markers, praise, food, play."}
	w := s.m.Rewards
	if w == nil {
		r.Absent = s.uncoded(annotate.RoleReward)
		return r
	}
	r.Value = fmt.Sprint(w.Rewards)
	if w.PerMin != nil {
		r.rate(*w.PerMin)
		r.Value, r.More = fmt.Sprint(w.Rewards), r.More+" of work"
	}
	switch {
	case w.PerCorrection != nil:
		r.Says += fmt.Sprintf(" %s for each correction.", twoDigits(*w.PerCorrection))
	case s.m.Pressure != nil:
		r.Says += " There was no correction."
	}
	return r
}

// afterRight is pressure that went on, or began, after the dog was right.
func (s *tally) afterRight() []numberRow {
	began := numberRow{Name: "Pressure begun after it was right", Says: "It came too late: the dog was back already."}
	held := numberRow{Name: "Pressure held on", Says: "From the dog being right to the pressure being off."}
	p := s.m.Pressure
	if p == nil {
		began.Absent = s.uncoded(annotate.RolePressure)
		held.Absent = began.Absent
		return []numberRow{began, held}
	}
	if p.AfterRight == nil {
		began.Absent = s.uncoded(annotate.RoleExercise, annotate.RoleError, annotate.RoleOffTask, annotate.RoleBreak, annotate.RoleCue, annotate.RoleAnswer)
	} else {
		began.Value = fmt.Sprintf("%d of %s", len(p.AfterRight), count(p.Events, "use of pressure", "uses of pressure"))
		began.Links = s.links(p.AfterRight)
		if len(p.AfterRight) == 0 {
			began.Says = "None began within the seconds after the dog was right."
		}
	}
	s.heldOn(&held)
	return []numberRow{began, held}
}

// heldOn fills in how often pressure was held on for longer than the house allows.
func (s *tally) heldOn(r *numberRow) {
	delays, events := s.rightToOff()
	if len(delays) == 0 {
		r.Absent = "No held pressure was on when the dog came right."
		return
	}
	limit := s.readings[0].Book.House.Rules().HeldOn
	long, seconds := 0, make([]float64, len(delays))
	for i, d := range delays {
		seconds[i] = d.Seconds()
		if d > limit {
			long++
			r.Links = append(r.Links, s.link(events[i], plainTenth(d.Seconds())+" s after it was right"))
		}
	}
	r.part(long, len(delays), "")
	r.Says = fmt.Sprintf("Still on more than %s s after the dog was right, of those that were on then.", shortNumber(limit.Seconds()))
	if middle, ok, err := stat.Quantile7(seconds, 0.5); ok && err == nil {
		r.Says += fmt.Sprintf(" Half of them ended within %s s.", plainTenth(middle))
	}
}

// stress is the stress signs near pressure and elsewhere.
func (s *tally) stress() []numberRow {
	near := numberRow{Name: "Stress near pressure"}
	apart := numberRow{Name: "Stress elsewhere", Says: "Signs in work time with no pressure near."}
	st := s.m.Stress
	if st == nil || st.NearPressure == nil || st.Elsewhere == nil {
		near.Absent = s.uncoded(annotate.RoleStress, annotate.RolePressure, annotate.RoleExercise)
		apart.Absent = near.Absent
		return []numberRow{near, apart}
	}
	near.rate(*st.NearPressure)
	apart.rate(*st.Elsewhere)
	rules := s.readings[0].Book.House.Rules()
	near.Says = fmt.Sprintf("None. Near is while pressure is on and up to %s s after.", shortNumber(rules.Stress.Seconds()))
	if n := st.NearPressure.Count; n > 0 {
		near.Says = annotate.NearPressure(n)
	}
	outside := numberRow{Name: "Stress outside work", Says: "In free time, or where the dog is not to be seen: counted in no rate."}
	others := 0
	for _, e := range s.of(annotate.RoleStress) {
		switch {
		case !s.atWork(e):
			others++
			outside.Links = append(outside.Links, s.link(e, ""))
		case s.near(e):
			near.Links = append(near.Links, s.link(e, ""))
		default:
			apart.Links = append(apart.Links, s.link(e, ""))
		}
	}
	if others == 0 {
		return []numberRow{near, apart}
	}
	outside.Value = fmt.Sprint(others)
	return []numberRow{near, apart, outside}
}

// levels are the highest rung that was used and the levels on each scale.
func (s *tally) levels() []numberRow {
	highest := numberRow{Name: "Highest rung", Says: "As high on the ladder as pressure went. A rung and a level are two things."}
	p := s.m.Pressure
	switch {
	case p == nil:
		highest.Absent = s.uncoded(annotate.RolePressure)
		return []numberRow{highest}
	case p.Escalation.RankMax == nil:
		highest.Absent = "No pressure was coded."
		return []numberRow{highest}
	}
	highest.Value, highest.More = s.rungNames(*p.Escalation.RankMax), fmt.Sprintf("rung %d", *p.Escalation.RankMax)
	if e := p.Escalation; e.Level != nil && e.Scale != nil {
		highest.Value = scaleWords(*e.Scale) + ", level " + shortNumber(*e.Level)
	}
	rows := []numberRow{highest}
	for _, scale := range sortedNames(p.Levels) {
		l := p.Levels[scale]
		r := numberRow{Name: scaleWords(scale), Value: shortNumber(l.Min), Says: fmt.Sprintf("Levels of %s, the middle one %s.", count(l.N, "use", "uses"), shortNumber(l.Median))}
		if l.Max != l.Min {
			r.Value += " to " + shortNumber(l.Max)
		}
		first, ok1 := p.LevelFirst[scale]
		last, ok2 := p.LevelLast[scale]
		if ok1 && ok2 && first != last {
			r.Says += fmt.Sprintf(" Where the dog came right, the first step was at %s and the last at %s, each in the middle.", shortNumber(first), shortNumber(last))
		}
		rows = append(rows, r)
	}
	if len(p.Levels) == 0 {
		rows = append(rows, numberRow{Name: "Levels", Absent: "No level was coded."})
	}
	return rows
}

// scaleWords names a scale: stim, or stim on Collar A.
func scaleWords(scale string) string { return strings.Replace(scale, "@", " on ", 1) }

// rungNames names the channels that were used on a rung.
func (s *tally) rungNames(rank int) string {
	var names []string
	for _, e := range s.pressure() {
		if e.rank == rank && !slices.Contains(names, e.details.Channel) {
			names = append(names, e.details.Channel)
		}
	}
	return joinWords(names, "or")
}

// sortedNames returns the keys of a map in order.
func sortedNames[V any](m map[string]V) []string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// joinWords writes a list: a, b or c.
func joinWords(list []string, last string) string {
	text := ""
	for i, word := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			text += " " + last + " "
		default:
			text += ", "
		}
		text += word
	}
	return text
}
