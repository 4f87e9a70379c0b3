package measure

import (
	"afterwalk/annotate"
)

// pressure counts the pressure events, their levels and their grounds. Those cut
// on the left count only in on_s. "In work time" means starting in exercise other
// than free that was seen.
func (s *session) pressure() *Pressure {
	if !s.has(annotate.RolePressure) {
		return nil
	}
	p := &Pressure{ByChannel: map[string]int{}, OnS: map[string]float64{}}
	var (
		inWork, wordless, reminders int
		held                        = map[string]annotate.Micros{}
	)
	for _, c := range s.clips {
		reminders += c.reminders
		for _, e := range c.pressed {
			p.Events++
			p.ByChannel[e.channel()]++
			if n := e.taps(); n != nil {
				p.Taps += *n
			}
			if e.channel() != voiceChannel {
				wordless++
			}
			if c.work.Has(e.start()) {
				inWork++
			}
		}
		all := c.events[annotate.RolePressure]
		for i := range all {
			if all[i].isSpan() {
				held[all[i].channel()] += all[i].span.Len()
			}
		}
	}
	for channel, n := range held {
		p.OnS[channel] = n.Seconds()
	}
	if s.has(annotate.RoleExercise) {
		work := s.workTime()
		p.WorkS = new(work.Seconds())
		p.PerMin = new(s.rate(inWork, work))
		p.OutsideWork = new(p.Events - inWork)
	}
	p.WordlessShare = s.share(wordless, p.Events)
	p.Reminders = given(s.has(annotate.RoleExercise, annotate.RoleCue), reminders)
	s.levels(p)
	s.escalation(&p.Escalation)
	s.occasions(p)
	return p
}

// workTime is how long the dog worked and was seen.
func (s *session) workTime() annotate.Micros {
	return s.sum(func(c *clip) annotate.Micros { return c.work.Len() })
}

// occasions lists the occasions and counts how they went, and lists the pressure
// that belongs to none.
//
//	by_itself      = resolved error, off-task and break occasions with no step, no
//	                 cue and no help that starts in them / all resolved ones
//	one_step_share = resolved occasions with exactly one step / those with any
func (s *session) occasions(p *Pressure) {
	var byItself, came, one, stepped, all int
	for _, c := range s.clips {
		all += len(c.occasions)
	}
	p.Occasions = make([]Occasion, 0, all)
	for _, c := range s.clips {
		for _, o := range c.occasions {
			p.Occasions = append(p.Occasions, c.listOccasion(o))
			if !o.resolved {
				continue
			}
			if o.kind != cueOccasion {
				came++
				if len(o.steps) == 0 && len(startingIn(c.events[annotate.RoleCue], o.span)) == 0 && len(startingIn(c.helps, o.span)) == 0 {
					byItself++
				}
			}
			if len(o.steps) > 0 {
				stepped++
			}
			if len(o.steps) == 1 {
				one++
			}
		}
	}
	if s.has(annotate.RoleCue, annotate.RoleHelp) {
		p.ByItself = new(s.share(byItself, came))
	}
	p.OneStepShare = s.share(one, stepped)

	if !s.has(annotate.RoleExercise, annotate.RoleError, annotate.RoleOffTask, annotate.RoleBreak, annotate.RoleCue, annotate.RoleAnswer) {
		return
	}
	p.AfterRight, p.Steadying, p.NoGround = []string{}, []string{}, []string{}
	for _, c := range s.clips {
		p.AfterRight = appendIDs(p.AfterRight, c.grounds.afterRight)
		p.Steadying = appendIDs(p.Steadying, c.grounds.steadying)
		p.NoGround = appendIDs(p.NoGround, c.grounds.noGround)
	}
}

func appendIDs(ids []string, events []*event) []string {
	for _, e := range events {
		ids = append(ids, e.id())
	}
	return ids
}

// listOccasion returns an occasion as it is listed. response_s is its end less
// its last step's start.
func (c *clip) listOccasion(o *occasion) Occasion {
	l := Occasion{
		Clip:     c.name,
		Kind:     o.kind.String(),
		StartUs:  int64(o.span.Start),
		EndUs:    int64(o.span.End),
		Resolved: o.resolved,
		Steps:    make([]string, 0, len(o.steps)),
		Moves:    moves(o.steps),
	}
	for _, st := range o.steps {
		l.Steps = append(l.Steps, st.id())
	}
	if o.resolved && len(o.steps) > 0 {
		l.ResponseS = new((o.span.End - o.steps[len(o.steps)-1].start()).Seconds())
	}
	return l
}
