package measure_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// plainEvent is an event cut to the window by the letter of the rules.
type plainEvent struct {
	id             string
	role           annotate.Role
	d              annotate.Details
	start, end     annotate.Micros
	cutLeft, noEnd bool
}

func (e plainEvent) span() bool { return e.end > e.start }

// plainEvents cuts the events of r, in order of start, then id.
func plainEvents(r *annotate.Reading) []plainEvent {
	var list []plainEvent
	for _, src := range r.Events {
		code, _, _ := r.Book.Code(src.Code)
		e := plainEvent{id: src.ID, role: code.Role, d: src.Details.Over(code.Details), start: src.Start, end: src.End}
		if src.Open {
			e.end, e.noEnd = math.MaxInt64, true
		}
		if e.start == e.end {
			if e.start < r.Window.Start || e.start > r.Window.End {
				continue
			}
		} else {
			if e.start >= r.Window.End || e.end <= r.Window.Start {
				continue
			}
			if e.start < r.Window.Start {
				e.start, e.cutLeft = r.Window.Start, true
			}
			if e.end > r.Window.End {
				e.end, e.noEnd = r.Window.End, true
			}
		}
		list = append(list, e)
	}
	slices.SortFunc(list, func(a, b plainEvent) int {
		if a.start != b.start {
			return int(a.start - b.start)
		}
		if a.id < b.id {
			return -1
		}
		return 1
	})
	return list
}

// Lengths, counted tenth by tenth of a second instead of by sets of intervals.
func TestLengthsAgainstCells(t *testing.T) {
	like := readWorked(t, "heel")
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t, like, "a")
		events := plainEvents(r)
		var seen, heel, wrong, off, stay, distracted, work int
		kinds := map[string]int{}
		for at := r.Window.Start; at < r.Window.End; at += tenth {
			on := map[annotate.Role]string{} // roles that run, with a kind
			errors := map[string]bool{}
			for _, e := range events {
				if e.start <= at && at < e.end {
					on[e.role] = "yes" + e.d.Kind
					if e.role == annotate.RoleError {
						errors[e.d.Kind] = true
					}
				}
			}
			if on[annotate.RoleHidden] != "" {
				continue
			}
			seen++
			ex := on[annotate.RoleExercise]
			if ex == "yesheel" {
				heel++
				if len(errors) > 0 {
					wrong++
				}
				for k := range errors {
					kinds[k]++
				}
				if on[annotate.RoleOffTask] != "" {
					off++
				}
			}
			if (ex == "yesstay" || ex == "yesplace") && on[annotate.RoleBreak] == "" {
				stay++
				if on[annotate.RoleDistraction] != "" {
					distracted++
				}
			}
			if ex != "" && ex != "yesfree" {
				work++
			}
		}
		m := of(t, r)
		check := func(name string, got float64, cells int) {
			t.Helper()
			if want := float64(cells) / 10; math.Abs(got-want) > 1e-9 {
				t.Fatalf("%s = %v, counted %v", name, got, want)
			}
		}
		check("seen_s", m.SeenS, seen)
		check("heel_s", m.Heel.HeelS, heel)
		check("error_s", m.Heel.ErrorS, wrong)
		check("off_task_s", *m.Heel.OffTaskS, off)
		check("stay_s", m.Stays.StayS, stay)
		check("with distraction", m.Stays.UnderDistraction.With.Minutes*60, distracted)
		check("without", m.Stays.UnderDistraction.Without.Minutes*60, stay-distracted)
		check("work_s", *m.Pressure.WorkS, work)
		if len(kinds) != len(m.Heel.ByKindS) {
			t.Fatalf("by_kind_s = %v, counted %v", m.Heel.ByKindS, kinds)
		}
		for k, n := range kinds {
			check("by_kind_s "+k, m.Heel.ByKindS[k], n)
		}
	})
}

// Each pressure event has one ground, the one that the rules give when they are
// gone through event by event over the occasions listed.
func TestGroundsAgainstRules(t *testing.T) {
	like := readWorked(t, "heel")
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t, like, "a")
		m := of(t, r)
		rules := r.Book.House.Rules()
		events := plainEvents(r)
		place := map[string]int{"break": 0, "error": 1, "off_task": 2, "cue": 3}
		found := map[string][]int{} // event to the occasions that it's a step of
		for i, o := range m.Pressure.Occasions {
			for _, id := range o.Steps {
				found[id] = append(found[id], i)
			}
		}
		outside := func(list []string, id string) int {
			n := 0
			for _, x := range list {
				if x == id {
					n++
				}
			}
			return n
		}
		for _, p := range events {
			if p.role != annotate.RolePressure {
				continue
			}
			after, steadying, none := outside(m.Pressure.AfterRight, p.id), outside(m.Pressure.Steadying, p.id), outside(m.Pressure.NoGround, p.id)
			if n := len(found[p.id]) + after + steadying + none; p.cutLeft != (n == 0) || n > 1 {
				t.Fatalf("event %s (cut on the left: %v) has %d grounds", p.id, p.cutLeft, n)
			}
			if p.cutLeft {
				continue
			}
			best, early := -1, -1
			right, inStay := false, false
			for i, o := range m.Pressure.Occasions {
				from, to := annotate.Micros(o.StartUs), annotate.Micros(o.EndUs)
				if from <= p.start && p.start < to {
					if best < 0 || from > annotate.Micros(m.Pressure.Occasions[best].StartUs) ||
						o.StartUs == m.Pressure.Occasions[best].StartUs && place[o.Kind] < place[m.Pressure.Occasions[best].Kind] {
						best = i
					}
				}
				if from > p.start && (from <= p.start+rules.Early || p.span() && (from < p.end || p.noEnd)) {
					if early < 0 || o.StartUs < m.Pressure.Occasions[early].StartUs ||
						o.StartUs == m.Pressure.Occasions[early].StartUs && place[o.Kind] < place[m.Pressure.Occasions[early].Kind] {
						early = i
					}
				}
				right = right || o.Resolved && to <= p.start && p.start <= to+rules.Late
			}
			for _, e := range events {
				if e.role == annotate.RoleExercise && (e.d.Kind == "stay" || e.d.Kind == "place") && e.start <= p.start && p.start < e.end {
					inStay = true
				}
			}
			if best < 0 {
				best = early
			}
			same := func(i, k int) bool { // two breaks may start together, then the id decides
				a, b := m.Pressure.Occasions[i], m.Pressure.Occasions[k]
				return a.Kind == b.Kind && a.StartUs == b.StartUs
			}
			switch {
			case best >= 0:
				if len(found[p.id]) != 1 || !same(best, found[p.id][0]) {
					t.Fatalf("event %s at %d is a step of %v, want %d in %+v", p.id, p.start, found[p.id], best, m.Pressure.Occasions)
				}
			case right && after != 1, !right && inStay && steadying != 1, !right && !inStay && none != 1:
				t.Fatalf("event %s at %d: after_right %d (rules: %v), steadying %d (in a stay: %v), no_ground %d", p.id, p.start, after, right, steadying, inStay, none)
			}
		}
	})
}

// Each trial ends where the rules say, gone through for each trial by itself, and
// every cue is accounted for.
func TestTrialsAgainstRules(t *testing.T) {
	like := readWorked(t, "heel")
	order := []annotate.Role{annotate.RoleAnswer, annotate.RoleBreak, annotate.RoleRelease, annotate.RoleCue, annotate.RoleHalt}
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t, like, "a")
		m := of(t, r)
		rules := r.Book.House.Rules()
		events := plainEvents(r)
		var hidden []plainEvent
		for _, e := range events {
			if e.role == annotate.RoleHidden {
				hidden = append(hidden, e)
			}
		}
		for _, tr := range m.Cues.Trials {
			asked := tr.Command
			role := annotate.RoleCue
			if len(asked) > 5 && asked[:5] == "halt:" {
				asked, role = asked[5:], annotate.RoleHalt
			}
			at := slices.IndexFunc(events, func(e plainEvent) bool {
				return e.role == role && e.d.Command == asked && e.start == annotate.Micros(tr.StartUs)
			})
			if at < 0 {
				t.Fatalf("nothing opened the trial %+v", tr)
			}
			open := events[at]
			end, first, done := min(r.Window.End, open.start+rules.AnswerWindow(asked)), "nothing", false
			cut := "end"
			if end == open.start+rules.AnswerWindow(asked) {
				cut = "window"
			}
			for _, h := range hidden {
				if h.start <= open.start && open.start < h.end {
					end, cut = open.start, "hidden"
				} else if h.start > open.start && h.start < end {
					end, cut = h.start, "hidden"
				}
			}
			var later []plainEvent // that come after the opening, in order of equal starts
			for _, role := range order {
				for _, e := range events {
					if e.role == role && (e.start > open.start || e.start == open.start && (slices.Index(order, role) > slices.Index(order, open.role) || role == open.role && e.id > open.id)) {
						later = append(later, e)
					}
				}
			}
			slices.SortStableFunc(later, func(a, b plainEvent) int { return int(a.start - b.start) })
			for _, e := range later {
				if cut == "hidden" && end == open.start || e.start > end || e.start == end && cut == "window" {
					break
				}
				if e.role == annotate.RoleAnswer && first == "nothing" {
					first = e.d.Result
				}
				done = e.role == annotate.RoleAnswer && e.d.Result == "did"
				if done || e.role == annotate.RoleRelease ||
					e.role == annotate.RoleCue && e.d.Command != asked && e.d.Command != "name" && e.d.Command != "stay" ||
					e.role == annotate.RoleHalt && e.d.Command != asked {
					end = e.start
					break
				}
			}
			if end != annotate.Micros(tr.EndUs) || first != tr.FirstAnswer || done != (tr.LatencyS != nil) {
				t.Fatalf("trial %+v; by the rules it ends at %d (%s), first answer %s, did %v", tr, end, cut, first, done)
			}
		}
		cues, repeats, byCue := 0, 0, 0
		names := 0
		for _, e := range events {
			if e.role != annotate.RoleCue {
				continue
			}
			switch e.d.Command {
			case "name":
				names++
			case "stay", "release":
			default:
				cues++
			}
		}
		for _, tr := range m.Cues.Trials {
			repeats += tr.Repeats
			if tr.Command[:min(5, len(tr.Command))] != "halt:" {
				byCue++
			}
		}
		if rest := cues - byCue - *m.Pressure.Reminders - repeats; rest > 0 || rest < -names {
			t.Fatalf("%d cues: %d trials, %d reminders, %d repeats with at most %d names", cues, byCue, *m.Pressure.Reminders, repeats, names)
		}
	})
}
