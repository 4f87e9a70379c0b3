package measure_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// nulls are the numbers that must be null where a lane was not coded, by the last
// paragraph of the rules on JSON. Sections fall with the roles they stand on.
var nulls = map[string][]string{
	"exercise":        {"heel", "stays", "pressure.work_s", "pressure.per_min", "pressure.outside_work", "pressure.reminders", "pressure.after_right", "pressure.steadying", "pressure.no_ground", "rewards.per_min", "stress.near_pressure", "stress.elsewhere"},
	"ahead or behind": {"heel", "pressure.after_right", "pressure.steadying", "pressure.no_ground"},
	"attention":       {"heel.off_task_s", "heel.off_task_share", "heel.off_task_bouts", "pressure.after_right", "pressure.steadying", "pressure.no_ground"},
	"cue":             {"cues", "stays.stays_unaided", "pressure.by_itself", "pressure.reminders", "pressure.after_right", "pressure.steadying", "pressure.no_ground"},
	"answer":          {"cues", "pressure.after_right", "pressure.steadying", "pressure.no_ground"},
	"stay broken":     {"stays", "pressure.after_right", "pressure.steadying", "pressure.no_ground"},
	"pressure":        {"pressure", "stays.stays_unaided", "cues.grades", "cues.clean_share", "cues.by_command.sit.grades", "cues.by_command.sit.clean_share", "cues.owed", "cues.paid", "cues.runs", "cues.latency.km_median_s", "rewards.per_correction", "stress.near_pressure", "stress.elsewhere"},
	"reward":          {"rewards"},
	"handler":         {"heel.turns_kept", "heel.turns_by_kind", "heel.turns_out", "heel.turns_unknown", "heel.recovery_median_s"},
	"distraction":     {"stays.under_distraction"},
	"state":           {"stress"},
	"help":            {"stays.stays_unaided", "cues.grades", "cues.clean_share", "cues.by_command.sit.grades", "cues.by_command.sit.clean_share", "cues.owed", "cues.paid", "cues.runs", "pressure.by_itself"},
	"picture":         {},
}

// roles are the roles whose codes stand in a lane, in the order of reports.
var roles = map[string]string{
	"exercise": "exercise", "ahead or behind": "error", "attention": "off_task", "cue": "cue", "answer": "heard answer",
	"stay broken": "break", "pressure": "pressure", "reward": "reward", "handler": "turn halt", "distraction": "distraction",
	"state": "stress", "help": "help", "picture": "hidden",
}

// everything is a sketch with something in every lane, so that no number is null
// for want of events.
func everything() sketch {
	return sketch{events: []annotate.Event{
		ev("ex-heel", 0, 100), ev("ahead", 10, 12), ev("wide", 20, 21), ev("off-task", 30, 32), at("turn", 40, kind("left")), at("turn", 50), ev("behind", 51, 52),
		ev("ex-down", 100, 200), ev("broke", 150, 155), ev("distraction", 120, 160), at("sit", 210), at("did", 211), at("stim", 11, level(3)),
		at("food", 12), at("stress", 13), at("help", 14), ev("hidden", 60, 65),
	}}
}

func TestNotCoded(t *testing.T) {
	full := everything().reading(t, "x")
	var lanes []string
	for _, l := range full.Book.Lanes {
		lanes = append(lanes, l.Name)
	}
	before := numbers(t, must(t, full))
	if len(before) < 60 {
		t.Fatalf("only %d numbers: the walk is wrong", len(before))
	}
	for place, v := range before {
		if v == nil && place != "heel.recovery_median_s" && place != "stays.hold.median_s" {
			t.Errorf("%s is null with every lane coded", place)
		}
	}
	for lane, gone := range nulls {
		t.Run(lane, func(t *testing.T) {
			r := everything().reading(t, "x")
			r.Coded = slices.DeleteFunc(slices.Clone(lanes), func(l string) bool { return l == lane })
			m := must(t, r)
			after := numbers(t, m)
			for place, v := range before {
				section, _, _ := strings.Cut(place, ".")
				want := v == nil || slices.Contains(gone, place) || slices.Contains(gone, section)
				if got := after[place]; (got == nil) != want {
					t.Errorf("%s = %v, want null: %v", place, got, want)
				}
			}
			if got := fmt.Sprint(m.NotCoded); got != "["+roles[lane]+"]" {
				t.Errorf("not_coded = %s, want [%s]", got, roles[lane])
			}
		})
	}
}

// numbers returns what stands in each section of m under its name, and the
// numbers of cues that stand deeper.
func numbers(t *testing.T, m *measure.Measures) map[string]any {
	all := map[string]any{}
	for section, v := range asJSON(t, m).(map[string]any) {
		all[section] = v
		if keys, ok := v.(map[string]any); ok {
			for k, v := range keys {
				all[section+"."+k] = v
			}
		}
	}
	if latency, ok := all["cues.latency"].(map[string]any); ok {
		all["cues.latency.n"], all["cues.latency.km_median_s"] = latency["n"], latency["km_median_s"]
		sit := all["cues.by_command"].(map[string]any)["sit"].(map[string]any)
		for k, v := range sit {
			all["cues.by_command.sit."+k] = v
		}
	}
	return all
}

func must(t testing.TB, readings ...*annotate.Reading) *measure.Measures {
	t.Helper()
	m, err := measure.Of(readings)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// One trial's grade is null only where what was not coded could change it.
func TestGradesNotCoded(t *testing.T) {
	s := sketch{events: []annotate.Event{
		at("sit", 0), at("did", 1), // clean
		at("sit", 20), at("did", 24), // slow
		at("sit", 40), at("sit", 41), at("did", 42), // helped by a repeat
		at("sit", 60), at("stim", 61), at("did", 62), // corrected
		at("sit", 80), at("down", 81), at("none", 82), at("release", 83), // withdrawn; no-answer: an answer came
		at("sit", 100),                                  // no-answer: the window ran out
		at("sit", 120), at("down", 125), at("did", 126), // no-answer: past the prompt limit
		at("sit", 895), // unknown
	}}
	tests := []struct{ not, want string }{
		{"", "clean slow helped corrected withdrawn no-answer no-answer no-answer clean unknown"},
		// Without help a clean or slow one may have been helped.
		{"help", "- - helped corrected withdrawn no-answer no-answer no-answer - unknown"},
		// Without pressure a did may have been corrected, and what was withdrawn may
		// have been no-answer.
		{"pressure", "- - - - - no-answer no-answer no-answer - unknown"},
	}
	for _, tt := range tests {
		r := s.reading(t, "x")
		if tt.not != "" {
			for _, l := range r.Book.Lanes {
				if l.Name != tt.not {
					r.Coded = append(r.Coded, l.Name)
				}
			}
		}
		var got []string
		for _, tr := range must(t, r).Cues.Trials {
			if tr.Grade == nil {
				got = append(got, "-")
			} else {
				got = append(got, string(*tr.Grade))
			}
			if (tr.Pressure == nil) != (tt.not == "pressure") {
				t.Errorf("without %q: pressure of a trial = %v", tt.not, tr.Pressure)
			}
		}
		if strings.Join(got, " ") != tt.want {
			t.Errorf("without %q: grades %v, want %s", tt.not, got, tt.want)
		}
	}
}

// What lies in a lane that was not coded is not looked at.
func TestUncodedEventsAreNotLookedAt(t *testing.T) {
	with := sketch{events: []annotate.Event{ev("ex-heel", 0, 100), ev("ahead", 10, 20), ev("hidden", 12, 14), at("sit", 30), at("release", 31), at("did", 32)}}.reading(t, "x")
	for _, l := range with.Book.Lanes {
		if l.Name != "picture" && l.Name != "release" {
			with.Coded = append(with.Coded, l.Name)
		}
	}
	m := must(t, with)
	if m.SeenS != 900 || m.Heel.ErrorS != 10 || *m.Cues.Trials[0].Grade != measure.Clean {
		t.Errorf("seen %v, error %v, grade %v; want 900, 10 and clean: hidden and release were not coded", m.SeenS, m.Heel.ErrorS, *m.Cues.Trials[0].Grade)
	}
}
