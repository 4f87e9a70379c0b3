package chart

import (
	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// whisker is the time from a cue or halt to the answer, or to where the trial
// closed without one.
type whisker struct {
	annotate.Span
	answered bool
	lapsed   bool // it ran out with no answer coded: a fault
}

// bout is a time out of position or off task with its length.
type bout struct {
	annotate.Span
	kind    string // of an error, "" for several kinds in one; not used for off-task
	offTask bool
	word    string // before the seconds, "" for none
}

// whiskers returns those of the trials of measures; nothing is computed anew.
func whiskers(m *measure.Measures, s *stripScene) []whisker {
	if m == nil || m.Cues == nil {
		return nil
	}
	var list []whisker
	for _, t := range m.Cues.Trials {
		w := whisker{Span: annotate.Span{Start: annotate.Micros(t.StartUs), End: annotate.Micros(t.EndUs)}}
		if t.LatencyS != nil {
			w.answered, w.End = true, w.Start+annotate.FromSeconds(*t.LatencyS)
		} else {
			closed := w.End
			for _, a := range s.tracks[trackAnswers] {
				if a.role == annotate.RoleAnswer && a.start >= w.Start && a.start < closed {
					w.answered, w.End = true, a.start
				}
			}
			w.lapsed = !w.answered && t.Grade != nil && *t.Grade == measure.NoAnswer
		}
		list = append(list, w)
	}
	return list
}

// bouts returns the times out of position and off task with their lengths: those
// of the measures, or without measures of the events themselves.
func bouts(m *measure.Measures, s *stripScene) []bout {
	var list []bout
	if m == nil || m.Pressure == nil {
		for _, t := range []track{trackErrors, trackOffTask} {
			for _, i := range s.tracks[t] {
				if !i.open {
					list = append(list, newBout(i.span(), i.kind, t == trackOffTask))
				}
			}
		}
		return list
	}
	for _, o := range m.Pressure.Occasions {
		if o.Kind != "error" && o.Kind != "off_task" {
			continue
		}
		t := trackErrors
		if o.Kind == "off_task" {
			t = trackOffTask
		}
		span := annotate.Span{Start: annotate.Micros(o.StartUs), End: annotate.Micros(o.EndUs)}
		kinds, kind, running := 0, "", false
		for _, i := range s.tracks[t] {
			running = running || i.open && i.start < span.End
			if i.start >= span.End || i.end <= span.Start {
				continue
			}
			if kinds == 0 || i.kind != kind {
				kinds++
			}
			kind = i.kind
		}
		if kinds > 1 && t == trackErrors {
			kind = ""
		}
		if !running {
			list = append(list, newBout(span, kind, t == trackOffTask))
		}
	}
	return list
}

// newBout names a bout: the shape and the row say ahead and behind, the other kinds
// are named.
func newBout(span annotate.Span, kind string, offTask bool) bout {
	b := bout{Span: span, kind: kind, offTask: offTask}
	switch {
	case offTask && kind == "":
		b.word = "off-task"
	case !isStep(kind):
		b.word = kind
	}
	return b
}
