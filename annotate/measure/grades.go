package measure

import "afterwalk/annotate"

// grade gives each trial its pressure and its grade. The steps must have been
// assigned.
func (c *clip) grade() {
	for _, o := range c.occasions {
		t := o.trial
		if t == nil {
			continue
		}
		for _, s := range o.steps {
			if s.start() < t.span.Start { // early; the others are found by their time
				t.pressure = append(t.pressure, s)
			}
		}
		from, to := between(len(c.pressed), func(i int) annotate.Micros { return c.pressed[i].start() }, t.span)
		t.pressure = append(t.pressure, c.pressed[from:to]...)
		helped := len(startingIn(c.helps, t.span)) > 0
		if t.did() {
			t.grade = t.gradeDone(c, helped)
		} else {
			t.grade = t.gradeUndone(c)
		}
	}
}

// gradeDone is the grade of a trial that ended with a did.
func (t *trial) gradeDone(c *clip, helped bool) Grade {
	for _, s := range t.pressure {
		if s.rank > c.r.Book.HelpRank {
			return Corrected
		}
	}
	switch {
	case len(t.pressure) > 0 || t.repeats > 0 || helped:
		return Helped
	case t.span.Len() > c.rules.PromptLimit(t.asked) || t.first != "did":
		return Slow
	}
	return Clean
}

// gradeUndone is the grade of a trial that ended without.
func (t *trial) gradeUndone(c *clip) Grade {
	switch t.closed {
	case byHidden, byEnd:
		return Unknown
	case byCue, byRelease:
		if t.span.Len() < c.rules.PromptLimit(t.asked) && t.first == "" && len(t.pressure) == 0 {
			return Withdrawn
		}
	}
	return NoAnswer
}

// known reports whether the trial says something about the dog.
func (t *trial) known() bool { return t.grade != Unknown && t.grade != Withdrawn }

// gradeSure returns the grade, nil where what was not coded could change it:
// pressure makes a did corrected or helped, help makes it helped, and a trial
// that was withdrawn is none if pressure came.
func (t *trial) gradeSure(coded map[annotate.Role]bool) *Grade {
	pressure, help := coded[annotate.RolePressure], coded[annotate.RoleHelp]
	unsure := false
	switch t.grade {
	case Clean, Slow:
		unsure = !pressure || !help
	case Helped, Withdrawn:
		unsure = !pressure
	}
	if unsure {
		return nil
	}
	return &t.grade
}
