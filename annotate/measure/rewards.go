package measure

import "afterwalk/annotate"

// rewards counts rewards, those in work time per minute of it, and all of them
// for each correction: pressure of a rank above the book's help rank.
func (s *session) rewards() *Rewards {
	if !s.has(annotate.RoleReward) {
		return nil
	}
	r := &Rewards{}
	inWork, corrections := 0, 0
	for _, c := range s.clips {
		list := c.events[annotate.RoleReward]
		r.Rewards += len(list)
		for i := range list {
			if c.work.Has(list[i].start()) {
				inWork++
			}
		}
		for _, p := range c.pressed {
			if p.rank > c.r.Book.HelpRank {
				corrections++
			}
		}
	}
	if s.has(annotate.RoleExercise) {
		r.PerMin = new(s.rate(inWork, s.workTime()))
	}
	if s.has(annotate.RolePressure) {
		r.PerCorrection = ratio(float64(r.Rewards), float64(corrections))
	}
	return r
}
