package measure

import "strings"

// levels counts the levels on each scale: of all pressure events, and the median
// (type 7) of the first and of the last step with a level on that scale over the
// resolved occasions that have one.
func (s *session) levels(p *Pressure) {
	all, first, last := map[string][]float64{}, map[string][]float64{}, map[string][]float64{}
	for _, c := range s.clips {
		for _, e := range c.pressed {
			if e.level != nil {
				all[e.scale] = append(all[e.scale], *e.level)
			}
		}
		for _, o := range c.occasions {
			if !o.resolved {
				continue
			}
			begin, end := map[string]float64{}, map[string]float64{}
			for _, st := range o.steps {
				if st.level == nil {
					continue
				}
				if _, ok := begin[st.scale]; !ok {
					begin[st.scale] = *st.level
				}
				end[st.scale] = *st.level
			}
			for scale, level := range begin {
				first[scale] = append(first[scale], level)
				last[scale] = append(last[scale], end[scale])
			}
		}
	}
	p.Levels = map[string]Levels{}
	for scale, x := range all {
		p.Levels[scale] = Levels{
			N:      len(x),
			Min:    *s.quantile(x, 0),
			Median: *s.quantile(x, 0.5),
			Max:    *s.quantile(x, 1),
		}
	}
	p.LevelFirst, p.LevelLast = s.medians(first), s.medians(last)
}

func (s *session) medians(of map[string][]float64) map[string]float64 {
	m := map[string]float64{}
	for scale, x := range of {
		m[scale] = *s.quantile(x, 0.5)
	}
	return m
}

// escalation finds the highest and the median rank (type 7) of the pressure
// events, and at the highest rank the highest level with its scale, of equal
// levels the lexically first.
func (s *session) escalation(e *Escalation) {
	var ranks []float64
	for _, c := range s.clips {
		for _, p := range c.pressed {
			ranks = append(ranks, float64(p.rank))
			if e.RankMax == nil || p.rank > *e.RankMax {
				*e = Escalation{RankMax: new(p.rank)}
			}
			if p.rank < *e.RankMax || p.level == nil {
				continue
			}
			if e.Level == nil || *p.level > *e.Level || *p.level == *e.Level && strings.Compare(p.scale, *e.Scale) < 0 {
				e.Level, e.Scale = new(*p.level), new(p.scale)
			}
		}
	}
	e.RankMedian = s.quantile(ranks, 0.5)
}
