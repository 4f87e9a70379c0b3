package measure_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// sketch is a reading in few words: its window in seconds and its events.
type sketch struct {
	window [2]float64
	events []annotate.Event
	change func(*annotate.Reading)
}

// at is a moment, ev a span in seconds; a negative end is open. Ids are the codes'
// names with a running number, so that events of one code are in order of writing.
func at(code string, t float64, details ...annotate.Details) annotate.Event {
	return ev(code, t, t, details...)
}

func ev(code string, from, to float64, details ...annotate.Details) annotate.Event {
	e := annotate.Event{Code: code, Start: annotate.FromSeconds(from), End: annotate.FromSeconds(to), Open: to < 0}
	if len(details) > 0 {
		e.Details = details[0]
	}
	return e
}

// level and kind are details.
func level(v float64) annotate.Details            { return annotate.Details{Level: &v} }
func kind(k string) annotate.Details              { return annotate.Details{Kind: k} }
func device(d string, v float64) annotate.Details { return annotate.Details{Device: d, Level: &v} }

// reading returns the sketch as a reading of a clip of 1000 s with the worked book.
func (s sketch) reading(t testing.TB, name string) *annotate.Reading {
	t.Helper()
	r := copyOf(readWorked(t, "heel"))
	r.ID, r.Clip.File, r.Clip.Duration, r.Events = name, name+".mp4", 1000*annotate.Second, nil
	window := s.window
	if window == [2]float64{} {
		window = [2]float64{0, 900}
	}
	r.Window = annotate.Span{Start: annotate.FromSeconds(window[0]), End: annotate.FromSeconds(window[1])}
	for i, e := range s.events {
		e.ID = fmt.Sprintf("%s-%s-%02d", name, e.Code, i)
		r.Events = append(r.Events, e)
	}
	if s.change != nil {
		s.change(r)
	}
	annotate.SortEvents(r.Events)
	return r
}

// Edges of the rules, each worked by hand from their text.
func TestEdges(t *testing.T) {
	heel, stay := ev("ex-heel", 0, 100), ev("ex-down", 0, 100)
	tests := []struct {
		name string
		sketch
		want string // a part of the measures, as in the worked readings
	}{
		// Bouts and turns.
		{"a cut span takes the onset of what goes on from it", sketch{[2]float64{10, 900}, []annotate.Event{ev("ex-heel", 15, 100), ev("ahead", 5, 15), ev("wide", 15, 18)}, nil},
			`{"heel": {"bouts": 1, "bout_median_s": null, "bout_max_s": 3}}`},
		{"a heel exercise that was cut takes no onset", sketch{[2]float64{10, 900}, []annotate.Event{heel, ev("ahead", 10, 12)}, nil},
			`{"heel": {"bout_median_s": 2}}`},
		{"a bout at the end of hidden time has no onset", sketch{events: []annotate.Event{heel, ev("hidden", 10, 20), ev("ahead", 20, 22)}},
			`{"heel": {"bouts": 1, "bout_median_s": null}}`},
		{"a bout up to hidden time is open", sketch{events: []annotate.Event{heel, ev("hidden", 10, 20), ev("ahead", 8, 10)}},
			`{"heel": {"bouts": 1, "bout_median_s": null}, "pressure": {"occasions": [{"resolved": false}]}}`},
		{"no heel work at all", sketch{events: []annotate.Event{stay, ev("ahead", 8, 10)}},
			`{"heel": {"heel_s": 0, "error_s": 0, "error_share": null, "bouts": 0, "bouts_per_min": {"count": 0, "minutes": 0, "value": null}, "bout_max_s": null, "off_task_share": null, "turns_kept": {"n": 0, "value": null}}}`},
		{"the turn time excludes its end", sketch{events: []annotate.Event{heel, at("turn", 10, kind("left")), ev("ahead", 13, 14)}},
			`{"heel": {"turns_kept": {"k": 1, "n": 1}}}`},
		{"heel work that ends at the turn time's end", sketch{events: []annotate.Event{heel, at("turn", 97, kind("left")), at("turn", 97.000001, kind("left")), at("turn", 100)}},
			`{"heel": {"turns_kept": {"k": 1, "n": 1}, "turns_unknown": 1, "turns_by_kind": {"left": {"k": 1, "n": 1}}}}`},
		{"a house's own join and turn times", sketch{events: []annotate.Event{heel, ev("ahead", 10, 11), ev("ahead", 13, 14), at("turn", 5)}, change: func(r *annotate.Reading) {
			r.Book.House = annotate.House{JoinS: new(2.0), TurnS: new(6.0)}
		}}, `{"heel": {"bouts": 1, "bout_median_s": 4, "recovery_median_s": 9}}`},

		// Stays.
		{"a stay to the window's very end is not cut", sketch{[2]float64{0, 100}, []annotate.Event{stay}, nil},
			`{"stays": {"stays_held": {"k": 1, "n": 1}, "stays_unknown": 0}}`},
		{"two breaks at a later instant act once", sketch{events: []annotate.Event{stay, at("broke", 40), at("broke", 40)}},
			`{"stays": {"breaks": 2, "hold": {"n": 2, "broken": 1, "median_s": 50}}}`},
		{"breaks at a stretch's first instant", sketch{events: []annotate.Event{stay, at("broke", 0), at("broke", 0), ev("broke", 0, 10)}},
			`{"stays": {"breaks": 3, "stay_s": 90, "hold": {"n": 2, "broken": 1, "at": {"10": {"value": 0.5, "at_risk": 1}}}}}`},
		{"overlapping breaks are one absence", sketch{events: []annotate.Event{stay, ev("broke", 20, 30), ev("broke", 25, 40), at("broke", 35)}},
			`{"stays": {"breaks": 3, "stay_s": 80, "hold": {"n": 2, "broken": 1}}}`},
		{"a break of length 0 in hidden time isn't seen", sketch{events: []annotate.Event{stay, ev("hidden", 40, 60), at("broke", 50), at("broke", 50)}},
			`{"stays": {"breaks_hidden": 2, "hold": {"n": 2, "broken": 0}}}`},
		{"a stay broken at once, where hidden time begins", sketch{events: []annotate.Event{ev("ex-down", 40, 100), ev("hidden", 40, 60), at("broke", 40)}},
			`{"stays": {"breaks_hidden": 1, "hold": {"n": 2, "broken": 1}}}`},
		{"a break at the end of hidden time is seen, what it ended isn't", sketch{events: []annotate.Event{ev("ex-down", 40, 100), ev("hidden", 40, 60), at("broke", 60)}},
			`{"stays": {"breaks_hidden": 0, "hold": {"n": 1, "broken": 0}, "breaks_per_min": {"count": 1}}}`},
		{"a curve that starts late", sketch{events: []annotate.Event{ev("ex-down", 0, 100), ev("hidden", 0, 30)}},
			`{"stays": {"hold": {"n": 1, "at": {"10": null, "30": null, "60": {"value": 1, "low": null, "at_risk": 1}, "120": null}}}}`},
		{"a curve at 0 stays there", sketch{events: []annotate.Event{stay, ev("broke", 20, 100)}},
			`{"stays": {"hold": {"median_s": 20, "at": {"10": {"value": 1}, "30": {"value": 0, "low": null, "high": null, "at_risk": 0}, "180": {"value": 0}}}}}`},
		{"one break span over two stays", sketch{events: []annotate.Event{ev("ex-down", 0, 10), ev("ex-place", 10, 30), ev("broke", 5, 15)}},
			`{"stays": {"breaks": 1, "stays_held": {"k": 1, "n": 2}, "stay_s": 20}, "pressure": {"occasions": [{"kind": "break", "start_us": 5000000, "end_us": 10000000, "resolved": false}]}}`},
		{"a break that touches a stay from outside", sketch{events: []annotate.Event{ev("ex-down", 10, 40), ev("broke", 5, 10), at("broke", 40)}},
			`{"stays": {"breaks": 0, "stays_held": {"k": 1, "n": 1}, "hold": {"n": 1, "at": {"10": {"at_risk": 1}}}}}`},

		// Occasions.
		{"a did at the break's own instant comes before it", sketch{events: []annotate.Event{stay, at("broke", 20), at("did", 20)}},
			`{"pressure": {"occasions": [{"end_us": 22000000, "resolved": false}]}}`},
		{"a did exactly at the limit resolves a moment", sketch{events: []annotate.Event{stay, at("broke", 20), at("did", 22)}},
			`{"pressure": {"occasions": [{"end_us": 22000000, "resolved": true}]}}`},
		{"a break that ends with its stay isn't resolved", sketch{events: []annotate.Event{stay, ev("broke", 20, 100)}},
			`{"pressure": {"occasions": [{"end_us": 100000000, "resolved": false}]}}`},
		{"a break without an end isn't resolved", sketch{[2]float64{0, 50}, []annotate.Event{stay, ev("broke", 20, -1)}, nil},
			`{"pressure": {"occasions": [{"end_us": 50000000, "resolved": false}]}}`},
		{"hidden time doesn't cut a break", sketch{events: []annotate.Event{stay, ev("hidden", 22, 28), ev("broke", 20, 30)}},
			`{"pressure": {"occasions": [{"end_us": 30000000, "resolved": true}]}}`},
		{"of breaks that start together the lowest id", sketch{events: []annotate.Event{stay, ev("broke", 20, 30), ev("broke", 20, 25), at("voice", 22)}},
			`{"pressure": {"occasions": [{"end_us": 30000000, "steps": ["x-voice-03"]}, {"end_us": 25000000, "steps": []}]}}`},
		{"early only for the first occasion", sketch{events: []annotate.Event{heel, ev("guide", 10, 20), ev("ahead", 12, 13), ev("ahead", 15, 16)}},
			`{"pressure": {"occasions": [{"steps": ["x-guide-01"]}, {"steps": []}], "no_ground": []}}`},
		{"a span that ends where an occasion starts isn't early", sketch{events: []annotate.Event{heel, ev("guide", 10, 12), ev("ahead", 12, 13)}},
			`{"pressure": {"occasions": [{"steps": []}], "no_ground": ["x-guide-01"]}}`},
		{"pressure without an end is early for what starts last of all", sketch{[2]float64{0, 50}, []annotate.Event{ev("guide", 40, -1), at("sit", 50)}, nil},
			`{"pressure": {"occasions": [{"kind": "cue", "steps": ["x-guide-00"]}]}, "cues": {"trials": [{"grade": "unknown", "pressure": ["x-guide-00"]}]}}`},
		{"levels compare on one device only", sketch{events: []annotate.Event{heel, ev("ahead", 10, 20), at("stim", 11, device("A", 5)), at("stim", 12, device("B", 9)), at("stim", 13, device("B", 9)), at("stim", 14), at("stim", 15, device("B", 1))}},
			`{"pressure": {"occasions": [{"moves": ["same", "same", "same", "same"]}], "levels": {"stim@A": {"n": 1}, "stim@B": {"n": 3, "median": 9}, "stim": "absent"}, "level_first": {"stim@A": 5, "stim@B": 9}, "level_last": {"stim@A": 5, "stim@B": 1}}}`},
		{"a lower rank is down though its level is higher", sketch{events: []annotate.Event{heel, ev("ahead", 10, 20), at("stim", 11, level(1)), at("tone", 12, level(9)), at("tone", 13, level(3))}},
			`{"pressure": {"occasions": [{"moves": ["down", "down"]}]}}`},
		{"of equal levels at the highest rank the lexically first scale", sketch{events: []annotate.Event{at("stim", 1, device("b", 7)), at("stim", 2, device("a", 7)), at("stim", 3, device("c", 6)), at("tone", 4, level(99)), at("body", 5)}},
			`{"pressure": {"escalation": {"rank_max": 6, "rank_median": 6, "scale": "stim@a", "level": 7}}}`},
		{"a ladder without voice", sketch{events: []annotate.Event{heel, ev("ahead", 10, 20), at("body", 11), at("heel", 12), at("guide", 13)}, change: func(r *annotate.Reading) {
			r.Book.Ladder = []annotate.Rung{{Channel: "body", Rank: 2}, {Channel: "leash-guide", Rank: 1}}
			r.Book.Lanes[8].Codes = r.Book.Lanes[8].Codes[:3:3]
			r.Book.Lanes[8].Codes[1] = r.Book.Lanes[8].Codes[0]
			r.Book.Lanes[8].Codes[1].ID = "lean"
		}}, `{"pressure": {"occasions": [{"moves": ["down", "same"]}], "reminders": 1}}`},
		{"a device with a rank of its own", sketch{events: []annotate.Event{at("stim", 1, device("old", 3)), at("stim", 2)}, change: func(r *annotate.Reading) {
			r.Book.Ladder = append(r.Book.Ladder[:len(r.Book.Ladder):len(r.Book.Ladder)], annotate.Rung{Channel: "stim", Device: "old", Rank: 9})
		}}, `{"pressure": {"escalation": {"rank_max": 9, "rank_median": 7.5, "scale": "stim@old", "level": 3}}}`},

		// Trials.
		{"a reminder withdraws what else was asked", sketch{events: []annotate.Event{heel, ev("ahead", 10, 20), at("sit", 12), at("heel", 13)}},
			`{"cues": {"trials": [{"command": "sit", "end_us": 13000000, "grade": "withdrawn"}]}, "pressure": {"reminders": 1}}`},
		{"a cue for the exercise with nothing wrong is no reminder", sketch{events: []annotate.Event{heel, at("heel", 13)}},
			`{"cues": {"trials": [{"command": "heel", "grade": "no-answer"}]}, "pressure": {"reminders": 0}}`},
		{"at an error's end the reminder comes too late, at its start not", sketch{events: []annotate.Event{heel, ev("ahead", 10, 20), at("heel", 10), at("heel", 20)}},
			`{"cues": {"trials": [{"command": "heel", "start_us": 20000000}]}, "pressure": {"reminders": 1}}`},
		{"heard at once, and not after the end", sketch{events: []annotate.Event{at("sit", 10), at("heard", 10), at("sit", 30), at("did", 31), at("heard", 31)}},
			`{"cues": {"trials": [{"heard_s": 0}, {"heard_s": null}]}}`},
		{"a name repeats what is open, whatever opens trials", sketch{events: []annotate.Event{at("name", 5), at("sit", 6), at("name", 7), at("stay", 8), at("did", 9)}, change: func(r *annotate.Reading) {
			r.Book.House.NoTrial = []string{}
		}}, `{"cues": {"trials": [{"command": "name", "end_us": 6000000, "grade": "withdrawn"}, {"command": "sit", "end_us": 9000000, "repeats": 1, "grade": "helped"}, {"command": "stay", "end_us": 9000000, "latency_s": 1, "grade": "clean"}]}}`},
		{"a house's own limits", sketch{events: []annotate.Event{at("sit", 0), at("did", 4), at("come", 20), at("did", 25), at("down", 30), at("did", 35)}, change: func(r *annotate.Reading) {
			r.Book.House = annotate.House{AnswerWindowS: new(5.0), PromptLimitS: new(4.0), AnswerWindowsS: map[string]float64{"come": 5}, PromptLimitsS: map[string]float64{"come": 1}}
		}}, `{"cues": {"trials": [{"grade": "clean"}, {"grade": "no-answer", "end_us": 25000000}, {"grade": "no-answer", "end_us": 35000000}]}}`},
		{"a latency at the limit is prompt", sketch{events: []annotate.Event{at("sit", 0), at("did", 3), at("heel", 10), at("did", 14)}},
			`{"cues": {"clean_share": {"k": 2, "n": 2}}}`},
		{"a criterion with just enough trials", sketch{events: []annotate.Event{at("sit", 0), at("did", 1), at("sit", 20), at("did", 21)}, change: func(r *annotate.Reading) {
			r.Book.House = annotate.House{CriterionClean: new(2), CriterionOf: new(2)}
		}}, `{"cues": {"runs": {"sit": {"current": 2, "longest": 2, "criterion_met": true}}}}`},
		{"help before and after a trial is none of it", sketch{events: []annotate.Event{at("help", 9), at("sit", 10), at("did", 11), at("help", 11)}},
			`{"cues": {"trials": [{"grade": "clean"}]}}`},

		// Rewards and stress.
		{"a stress time of 0", sketch{events: []annotate.Event{heel, at("tone", 10), at("stress", 10), at("stress", 11)}, change: func(r *annotate.Reading) { r.Book.House.StressS = new(0.0) }},
			`{"stress": {"near_pressure": {"count": 1, "minutes": 0, "value": null}, "elsewhere": {"count": 1}}}`},
		{"pressure in hidden time is outside work", sketch{events: []annotate.Event{heel, ev("hidden", 10, 20), at("tone", 12), at("food", 13)}},
			`{"pressure": {"events": 1, "outside_work": 1, "work_s": 90, "per_min": {"count": 0}}, "rewards": {"rewards": 1, "per_min": {"count": 0}}}`},
		{"an empty reading", sketch{},
			`{"window_s": 900, "seen_s": 900, "stays": {"stays": 0, "stays_held": {"n": 0, "value": null}, "hold": {"n": 0, "broken": 0, "median_s": null, "at": {"10": null}}}, "cues": {"trials": [], "owed": [], "latency": {"n": 0, "km_median_s": null, "median_s": null}},
			 "pressure": {"events": 0, "escalation": {"rank_max": null, "rank_median": null}, "occasions": []}, "rewards": {"rewards": 0, "per_correction": null}, "stress": {"by_kind": {}}}`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, err := measure.Of([]*annotate.Reading{tt.reading(t, "x")})
			if err != nil {
				t.Fatal(err)
			}
			var want any
			if err := json.Unmarshal([]byte(tt.want), &want); err != nil {
				t.Fatal(err)
			}
			for _, d := range differences("", want, asJSON(t, m)) {
				t.Error(d)
			}
		})
	}
}
