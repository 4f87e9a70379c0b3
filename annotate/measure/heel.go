package measure

import "afterwalk/annotate"

// heel counts heel position over H, the heel work that was seen. E is the time
// of error in it:
//
//	error_share   = |E| / |H|
//	by_kind_s[k]  = |union of the error spans of kind k, in H|
//	bouts_per_min = bouts / |H|
//
// A share of durations has no sampling unit, so no interval.
func (s *session) heel() *Heel {
	if !s.has(annotate.RoleExercise, annotate.RoleError) {
		return nil
	}
	work := s.sum(func(c *clip) annotate.Micros { return c.heelSeen.Len() })
	errors := s.timeIn(annotate.RoleError)
	h := &Heel{
		HeelS:       work.Seconds(),
		ErrorS:      errors.Seconds(),
		ErrorShare:  ratio(float64(errors), float64(work)),
		ByKindS:     s.errorKinds(),
		BoutMedianS: nil,
	}
	var lengths []length
	for _, c := range s.clips {
		h.Bouts += len(c.errors)
		for _, b := range c.errors {
			if l := b.span.Len().Seconds(); h.BoutMaxS == nil || l > *h.BoutMaxS {
				h.BoutMaxS = &l
			}
			if b.onset {
				lengths = append(lengths, length{0, b.span.Len(), !b.open})
			}
		}
	}
	h.BoutMedianS = s.medianLength(lengths)
	h.BoutsPerMin = s.rate(h.Bouts, work)
	if s.has(annotate.RoleOffTask) {
		off := s.timeIn(annotate.RoleOffTask)
		bouts := 0
		for _, c := range s.clips {
			bouts += len(c.offTask)
		}
		h.OffTaskS, h.OffTaskBouts = new(off.Seconds()), &bouts
		h.OffTaskShare = ratio(float64(off), float64(work))
	}
	if s.has(annotate.RoleTurn) {
		s.turns(h)
	}
	return h
}

// timeIn returns how long events of a role ran in heel work that was seen.
func (s *session) timeIn(role annotate.Role) annotate.Micros {
	return s.sum(func(c *clip) annotate.Micros {
		return union(c.events[role], nil).Intersect(c.heelSeen).Len()
	})
}

// errorKinds returns the seconds of error of each kind, kinds without any left out.
func (s *session) errorKinds() map[string]float64 {
	kinds := map[string]annotate.Micros{}
	for _, c := range s.clips {
		spans := map[string][]annotate.Span{}
		list := c.events[annotate.RoleError]
		for i := range list {
			k := list[i].kind()
			spans[k] = append(spans[k], list[i].span)
		}
		for k, of := range spans {
			kinds[k] += lengthWithin(annotate.Union(of...), c.heelSeen)
		}
	}
	seconds := map[string]float64{}
	for k, n := range kinds {
		if n > 0 {
			seconds[k] = n.Seconds()
		}
	}
	return seconds
}
