package measure

// practice lists the repeats that are owed or paid, and the runs of clean trials,
// command by command over the known trials in order: a faulty repetition is
// repeated until it is right (common practice, no source).
//
// A trial without an answer or corrected is a fault. The first clean trial after
// it pays it. Both lists are in order of the faults; a command has a run as soon
// as it has a trial.
func (s *session) practice(cues *Cues) {
	byName := map[string]*record{}
	cues.Owed, cues.Paid = []Owed{}, []Paid{}
	type entry struct {
		of    *record
		index int // among the known trials of its command
		owed  Owed
	}
	var faults []entry
	for _, c := range s.clips {
		for _, t := range c.trials {
			of := byName[t.command()]
			if of == nil {
				of = &record{}
				byName[t.command()] = of
			}
			if !t.known() {
				continue
			}
			if t.grade == NoAnswer || t.grade == Corrected {
				faults = append(faults, entry{of, len(of.clean), Owed{c.name, t.command(), int64(t.span.Start)}})
			}
			of.clean = append(of.clean, t.grade == Clean)
		}
	}
	for _, of := range byName {
		of.findNext()
	}
	for _, f := range faults {
		next := f.of.next[f.index]
		if next < 0 {
			cues.Owed = append(cues.Owed, f.owed)
			continue
		}
		cues.Paid = append(cues.Paid, Paid{f.owed.Clip, f.owed.Command, f.owed.StartUs, next - f.index})
	}
	cues.Runs = map[string]Run{}
	for name, of := range byName {
		cues.Runs[name] = of.run(s.rules.CriterionClean, s.rules.CriterionOf)
	}
}

// record is the known trials of one command, in order.
type record struct {
	clean []bool
	next  []int // for each trial the index of the first clean one after it, -1 without one
}

func (r *record) findNext() {
	r.next = make([]int, len(r.clean))
	next := -1
	for i := len(r.clean) - 1; i >= 0; i-- {
		r.next[i] = next
		if r.clean[i] {
			next = i
		}
	}
}

// run returns the runs of clean trials, and whether at least clean of the last
// of trials were clean, nil with fewer than of trials.
func (r *record) run(clean, of int) Run {
	var run Run
	for _, ok := range r.clean {
		if ok {
			run.Current++
		} else {
			run.Current = 0
		}
		run.Longest = max(run.Longest, run.Current)
	}
	if len(r.clean) >= of {
		n := 0
		for _, ok := range r.clean[len(r.clean)-of:] {
			if ok {
				n++
			}
		}
		run.CriterionMet = new(n >= clean)
	}
	return run
}
