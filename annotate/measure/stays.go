package measure

import "afterwalk/annotate"

// stays counts the stays, their breaks and the time they lasted.
//
//	stays_held     = stays with no break / those seen throughout with neither side
//	                 cut, and those with a break; the others are stays_unknown
//	stay_s         = |stretches that were seen|
//	breaks_per_min = breaks that don't start in hidden time / stay_s
//
// Breaks are those in stays. The hold curve is Kaplan & Meier's with delayed
// entry, over the seen parts of the stretches.
func (s *session) stays() *Stays {
	if !s.has(annotate.RoleExercise, annotate.RoleBreak) {
		return nil
	}
	var (
		st                     = &Stays{BreaksByKind: map[string]int{}}
		held, unaided, certain int
		total                  annotate.Micros
		stretches              int // on the hold curve
		parts                  []length
	)
	for _, c := range s.clips {
		total += c.staySeen().Len()
		for i := range c.stays {
			y := &c.stays[i]
			st.Stays++
			if len(y.breaks) == 0 && y.whole {
				held++
				if !c.aided(y) {
					unaided++
				}
			}
			if len(y.breaks) > 0 || y.whole {
				certain++
			}
			for k := range y.breaks {
				st.Breaks++
				if kind := y.breaks[k].kind(); kind != "" {
					st.BreaksByKind[kind]++
				}
				if c.hidden.Has(y.breaks[k].start()) {
					st.BreaksHidden++
				}
			}
			for k := range y.stretches {
				if p := y.stretches[k].parts(c.hidden); len(p) > 0 {
					stretches++
					parts = append(parts, p...)
				}
			}
		}
	}
	st.StaysHeld = s.share(held, certain)
	if s.has(annotate.RolePressure, annotate.RoleCue, annotate.RoleHelp) {
		st.StaysUnaided = new(s.share(unaided, certain))
	}
	st.StaysUnknown = st.Stays - certain
	st.StayS = total.Seconds()
	st.BreaksPerMin = s.rate(st.Breaks-st.BreaksHidden, total)
	st.Hold = s.hold(stretches, parts)
	if s.has(annotate.RoleDistraction) {
		st.UnderDistraction = s.underDistraction()
	}
	return st
}

// staySeen returns the time of stretches that was seen.
func (c *clip) staySeen() annotate.Set {
	var spans []annotate.Span
	for i := range c.stays {
		for _, t := range c.stays[i].stretches {
			spans = append(spans, t.span)
		}
	}
	return annotate.Union(spans...).Intersect(c.seen)
}

// aided reports whether pressure, a reminder or help starts in the stay. A
// reminder needs a break that is open, so a stay without breaks has none.
func (c *clip) aided(y *stay) bool {
	from, to := between(len(c.pressed), func(i int) annotate.Micros { return c.pressed[i].start() }, y.ex.span)
	return to > from || len(startingIn(c.helps, y.ex.span)) > 0
}

// underDistraction compares the breaks that were seen with and without a
// distraction, by the seen time of stretches with and without one. A break at
// the very end of a distraction counts as with.
func (s *session) underDistraction() *UnderDistraction {
	var (
		with, without         int
		withTime, withoutTime annotate.Micros
	)
	for _, c := range s.clips {
		distracted := union(c.events[annotate.RoleDistraction], nil)
		seen := c.staySeen()
		both := seen.Intersect(distracted).Len()
		withTime += both
		withoutTime += seen.Len() - both
		for i := range c.stays {
			for k := range c.stays[i].breaks {
				at := c.stays[i].breaks[k].start()
				if c.hidden.Has(at) {
					continue
				}
				if _, ok := distracted.Touching(at); ok {
					with++
				} else {
					without++
				}
			}
		}
	}
	return new(s.compare(s.rate(with, withTime), s.rate(without, withoutTime)))
}
