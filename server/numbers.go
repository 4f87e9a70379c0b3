package server

import (
	"errors"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// numbers are the numbers of a session: what went by itself first, then with help,
// then with correction; rewards beside corrections; pressure after the dog was
// right; stress signs; then levels.
type numbers struct {
	Groups   []numberGroup
	Wrong    string   // why there are none, for the person
	Problems []string // what stands in the way, one each
	Book     string   // by whose rules they were measured
	Readings int      // how many readings they are of
}

// numberGroup is what stands under one heading.
type numberGroup struct {
	ID, Heading string
	Rows        []numberRow
	Cautions    []string
}

// numberRow is one number with what it means. One that is absent says why.
type numberRow struct {
	Name     string
	Value    string
	More     string // the same as a share or rate
	Interval string // 95 %, "" where there is none
	Says     string
	Absent   string
	Links    []numberLink // the moments that it counts
}

// numberLink leads to a moment on the desk.
type numberLink struct{ Text, Href string }

// numbersOf measures the readings of a session that count, under the rules of the
// newest book. Without readings there are no groups. clips are the numbers of the
// clips in the session, by id of the reading.
func numbersOf(readings []*annotate.Reading, clips map[string]int, book *annotate.Codebook) numbers {
	var n numbers
	for i, r := range readings {
		readings[i] = underRules(r, book)
	}
	n.Readings = len(readings)
	if n.Readings == 0 {
		return n
	}
	if book != nil {
		n.Book = book.Name
	}
	m, err := measure.Of(readings, measure.KnownValid())
	if err != nil {
		n.Wrong = "The readings of this session can't be counted together."
		var problems annotate.Problems
		if errors.As(err, &problems) {
			for _, p := range problems {
				n.Problems = append(n.Problems, p.Message)
			}
		}
		return n
	}
	s := newTally(m, readings, clips)
	n.Groups = []numberGroup{
		{ID: "by-itself", Heading: "By itself", Rows: s.byItself()},
		{ID: "with-help", Heading: "With help", Rows: s.withHelp()},
		{ID: "with-correction", Heading: "With correction", Rows: s.withCorrection()},
		{ID: "after-right", Heading: "When the dog was right", Rows: s.afterRight()},
		{ID: "stress", Heading: "Stress", Rows: s.stress()},
	}
	levels := numberGroup{ID: "levels", Heading: "Levels", Rows: s.levels()}
	if m.Pressure != nil && m.Pressure.Events > 0 {
		levels.Cautions = annotate.Cautions()
	}
	n.Groups = append(n.Groups, levels)
	return n
}

// byItself is what the dog did without help.
func (s *tally) byItself() []numberRow {
	rows := []numberRow{{Name: "Right again by itself", Says: "Out of position, off task or a break that ended with no cue, no help and no pressure."}}
	r := &rows[0]
	switch p := s.m.Pressure; {
	case p == nil:
		r.Absent = s.uncoded(annotate.RolePressure)
	case p.ByItself == nil:
		r.Absent = s.uncoded(annotate.RoleCue, annotate.RoleHelp)
	default:
		r.share(*p.ByItself, "Nothing went wrong and came right again.")
	}
	return append(rows, s.cleanCues(), s.heldUnaided(), s.held(), s.outOfPosition(), s.turns())
}

func (s *tally) cleanCues() numberRow {
	r := numberRow{Name: "Cues answered clean", Says: "In time, the first time of asking, with no help and no pressure."}
	switch c := s.m.Cues; {
	case c == nil:
		r.Absent = s.uncoded(annotate.RoleCue, annotate.RoleAnswer)
	case c.CleanShare == nil:
		r.Absent = s.uncoded(annotate.RolePressure, annotate.RoleHelp)
	default:
		r.share(*c.CleanShare, "No cue whose outcome is known.")
		if c.Latency.MedianS != nil {
			r.Says += fmt.Sprintf(" Half of all answers came within %s s.", plainTenth(*c.Latency.MedianS))
		}
	}
	return r
}

func (s *tally) heldUnaided() numberRow {
	r := numberRow{Name: "Stays held unaided", Says: "No break, and no cue again, help or pressure once the dog stayed."}
	switch st := s.m.Stays; {
	case st == nil:
		r.Absent = s.uncoded(annotate.RoleExercise, annotate.RoleBreak)
	case st.StaysUnaided == nil:
		r.Absent = s.uncoded(annotate.RolePressure, annotate.RoleCue, annotate.RoleHelp)
	default:
		r.share(*st.StaysUnaided, "No stay that was seen from start to end.")
	}
	return r
}

func (s *tally) held() numberRow {
	r := numberRow{Name: "Stays held", Says: "No break, with or without help."}
	st := s.m.Stays
	if st == nil {
		r.Absent = s.uncoded(annotate.RoleExercise, annotate.RoleBreak)
		return r
	}
	r.share(st.StaysHeld, "No stay that was seen from start to end.")
	if st.Breaks > 0 {
		r.Says += fmt.Sprintf(" %s in %s s of stay.", count(st.Breaks, "break", "breaks"), plainTenth(st.StayS))
	}
	return r
}

func (s *tally) outOfPosition() numberRow {
	r := numberRow{Name: "Out of heel position", Says: "Of the heel work in which the dog is to be seen."}
	switch h := s.m.Heel; {
	case h == nil:
		r.Absent = s.uncoded(annotate.RoleExercise, annotate.RoleError)
	case h.ErrorShare == nil:
		r.Absent = "No heel work was coded."
	default:
		r.Value, r.More = fmt.Sprintf("%s s of %s", plainTenth(h.ErrorS), plainTenth(h.HeelS)), percent(*h.ErrorShare)
		if h.BoutMaxS != nil {
			r.Says += fmt.Sprintf(" %s, the longest %s s.", count(h.Bouts, "time", "times"), plainTenth(*h.BoutMaxS))
		}
	}
	return r
}

func (s *tally) turns() numberRow {
	r := numberRow{Name: "Turns kept", Says: "The dog stayed in position through the turn and the seconds after it."}
	switch h := s.m.Heel; {
	case h == nil:
		r.Absent = s.uncoded(annotate.RoleExercise, annotate.RoleError)
	case h.TurnsKept == nil:
		r.Absent = s.uncoded(annotate.RoleTurn)
	default:
		r.share(*h.TurnsKept, "No turn in heel work that began in position.")
	}
	return r
}
