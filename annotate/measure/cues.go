package measure

import (
	"slices"

	"afterwalk/annotate"
)

// cues lists the trials and counts their grades and latencies.
func (s *session) cues() *Cues {
	if !s.has(annotate.RoleCue, annotate.RoleAnswer) {
		return nil
	}
	var (
		all    tally
		byName = map[string]*tally{}
		graded = s.has(annotate.RolePressure, annotate.RoleHelp)
		cues   = &Cues{Trials: []Trial{}, ByCommand: map[string]Command{}}
		seen   []length // of the known trials
	)
	for _, c := range s.clips {
		cues.Trials = slices.Grow(cues.Trials, len(c.trials))
		for _, t := range c.trials {
			cues.Trials = append(cues.Trials, c.listTrial(t))
			of := byName[t.command()]
			if of == nil {
				of = &tally{}
				byName[t.command()] = of
			}
			all.add(t)
			of.add(t)
			if t.known() {
				seen = append(seen, length{0, t.span.Len(), t.did()})
			}
		}
	}
	for name, of := range byName {
		command := Command{LatencyMedianS: s.quantileS(of.latencies, 0.5)}
		if graded {
			command.Grades, command.CleanShare = &of.grades, new(s.share(of.grades.Clean, of.known))
		}
		cues.ByCommand[name] = command
	}
	cues.Latency = Latency{
		N:       len(all.latencies),
		Q1S:     s.quantileS(all.latencies, 0.25),
		MedianS: s.quantileS(all.latencies, 0.5),
		Q3S:     s.quantileS(all.latencies, 0.75),
	}
	if s.has(annotate.RolePressure) {
		cues.Latency.KMMedianS = s.medianLength(seen)
	}
	if graded {
		cues.Grades, cues.CleanShare = &all.grades, new(s.share(all.grades.Clean, all.known))
		s.practice(cues)
	}
	return cues
}

// tally counts trials.
type tally struct {
	grades    Grades
	known     int
	latencies []annotate.Micros // of those answered with did
}

func (t *tally) add(tr *trial) {
	switch tr.grade {
	case Clean:
		t.grades.Clean++
	case Slow:
		t.grades.Slow++
	case Helped:
		t.grades.Helped++
	case Corrected:
		t.grades.Corrected++
	case NoAnswer:
		t.grades.NoAnswer++
	case Unknown:
		t.grades.Unknown++
	case Withdrawn:
		t.grades.Withdrawn++
	}
	if tr.known() {
		t.known++
	}
	if tr.did() {
		t.latencies = append(t.latencies, tr.span.Len())
	}
}

// listTrial returns a trial as it is listed.
func (c *clip) listTrial(t *trial) Trial {
	l := Trial{
		Clip:        c.name,
		Command:     t.command(),
		StartUs:     int64(t.span.Start),
		EndUs:       int64(t.span.End),
		Grade:       t.gradeSure(c.coded),
		FirstAnswer: or(t.first, "nothing"),
		Repeats:     t.repeats,
	}
	if t.did() {
		l.LatencyS = new(t.span.Len().Seconds())
	}
	if t.heard != nil {
		l.HeardS = new(t.heard.Seconds())
	}
	if c.coded[annotate.RolePressure] {
		l.Pressure = make([]string, 0, len(t.pressure))
		for _, p := range t.pressure {
			l.Pressure = append(l.Pressure, p.id())
		}
	}
	return l
}
