package measure

import "afterwalk/annotate"

// stress counts stress signs by kind, and those that start in work time per
// minute near pressure and elsewhere. Near is [start, end + the house's stress
// time] of a pressure event, both limits included, also of one cut on the left.
// Nearness is not cause.
func (s *session) stress() *Stress {
	if !s.has(annotate.RoleStress) {
		return nil
	}
	st := &Stress{ByKind: map[string]int{}}
	var (
		near, elsewhere         int
		nearTime, elsewhereTime annotate.Micros
	)
	for _, c := range s.clips {
		times := c.nearPressure()
		n := times.set.Intersect(c.work).Len()
		nearTime += n
		elsewhereTime += c.work.Len() - n
		for _, e := range begun(c.events[annotate.RoleStress]) {
			if kind := e.kind(); kind != "" {
				st.ByKind[kind]++
			}
			switch {
			case !c.work.Has(e.start()):
			case times.has(e.start()):
				near++
			default:
				elsewhere++
			}
		}
	}
	if s.has(annotate.RolePressure, annotate.RoleExercise) {
		st.NearPressure = new(s.rate(near, nearTime))
		st.Elsewhere = new(s.rate(elsewhere, elsewhereTime))
	}
	return st
}

// closedTimes is a union of closed intervals: has includes both limits, also of
// an interval without length.
type closedTimes struct {
	set     annotate.Set
	instant []annotate.Micros // the intervals without length
}

// nearPressure returns the times near the pressure of c.
func (c *clip) nearPressure() closedTimes {
	var (
		n     closedTimes
		spans []annotate.Span
		list  = c.events[annotate.RolePressure]
	)
	for i := range list {
		near := annotate.Span{Start: list[i].span.Start, End: list[i].span.End + c.rules.Stress}
		if near.Len() == 0 {
			n.instant = append(n.instant, near.Start)
			continue
		}
		spans = append(spans, near)
	}
	n.set = annotate.Union(spans...)
	return n
}

func (n closedTimes) has(t annotate.Micros) bool {
	if _, ok := n.set.Touching(t); ok {
		return true
	}
	from, to := between(len(n.instant), func(i int) annotate.Micros { return n.instant[i] }, annotate.Span{Start: t, End: t + 1})
	return to > from
}
