package measure

import (
	"afterwalk/annotate"
)

// stay is one exercise span of kind stay or place.
type stay struct {
	ex        *event
	breaks    []event // that start in it, in order; cut to the window, not to the stay
	stretches []stretch
	whole     bool // neither side cut, seen throughout
}

// findStays returns the stays among the exercises, in order.
func findStays(exercises, breaks []event, hidden annotate.Set) []stay {
	absences := union(breaks, nil)
	own := begun(breaks)
	var stays []stay
	next := 0                      // of all breaks: the first that doesn't start before the stay
	var beganUntil annotate.Micros // how far those that do reach
	for i := range exercises {
		ex := &exercises[i]
		if !isStay(ex) {
			continue
		}
		for ; next < len(breaks) && breaks[next].start() < ex.start(); next++ {
			beganUntil = max(beganUntil, breaks[next].span.End)
		}
		s := stay{ex: ex, breaks: startingIn(own, ex.span)}
		away := beganUntil > ex.start()
		for k := next; k < len(breaks) && breaks[k].start() == ex.start(); k++ {
			away = away || breaks[k].cutLeft
		}
		s.stretches = findStretches(ex, s.breaks, cutSet(absences, ex.span), away)
		s.whole = !ex.cutLeft && !ex.noEnd && len(cutSet(hidden, ex.span)) == 0
		stays = append(stays, s)
	}
	return stays
}

func isStay(ex *event) bool { return ex.kind() == "stay" || ex.kind() == "place" }

// stretch is unbroken time in a stay: from the stay's start or the end of a break
// to the next break or the stay's end.
type stretch struct {
	span   annotate.Span
	broken bool // a break ended it; otherwise it is censored
	aged   bool // its start was not cut away, so its age is known
}

// findStretches returns the stretches of a stay, in order: the stay minus
// absences (the time of break spans in it), split at the break moments outside
// them. Away says that a break span begun before the stay covers its start: it
// makes no break, but its time is no stretch.
//
// Break spans that touch are one absence, breaks at one instant act once. A break
// at a stretch's first instant gives a broken stretch of length 0; so does a
// moment at the very end of an absence.
func findStretches(ex *event, breaks []event, absences annotate.Set, away bool) []stretch {
	var out []stretch
	at, aged := ex.start(), !ex.cutLeft
	if away {
		at, aged, absences = absences[0].End, true, absences[1:]
	}
	act := func(from, resumes annotate.Micros) {
		out = append(out, stretch{annotate.Span{Start: at, End: from}, true, aged})
		at, aged = resumes, true
	}
	last := annotate.Micros(-1) // instant of the last moment that acted
	for i := range breaks {
		b := &breaks[i]
		t := b.start()
		for len(absences) > 0 && absences[0].Start <= t {
			act(absences[0].Start, absences[0].End)
			absences = absences[1:]
		}
		if !b.isSpan() && t >= at && t != last {
			act(t, t)
			last = t
		}
	}
	if at < ex.span.End {
		out = append(out, stretch{annotate.Span{Start: at, End: ex.span.End}, false, aged})
	}
	return out
}

// parts returns how a stretch was observed, as ages: each seen part is at risk
// from its start to its end, censored there unless the break follows at that very
// instant. A stretch of length 0 counts if its break does: one at the first
// instant of hidden time counts as seen. It returns nothing where the age isn't
// known or nothing was seen.
func (s *stretch) parts(hidden annotate.Set) []length {
	if !s.aged {
		return nil
	}
	if s.span.Len() == 0 {
		if c, ok := hidden.Component(s.span.Start); ok && c.Start < s.span.Start {
			return nil
		}
		return []length{{0, 0, true}}
	}
	var parts []length
	for _, p := range (annotate.Set{s.span}).Subtract(cutSet(hidden, s.span)) {
		parts = append(parts, length{
			from:  p.Start - s.span.Start,
			to:    p.End - s.span.Start,
			ended: s.broken && p.End == s.span.End,
		})
	}
	return parts
}
