package measure_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"afterwalk/annotate"
)

// shape is the JSON of measures as section 11 of the rules gives it: keys in their
// order, each with those of what stands under it. * stands for the keys of a map,
// [] for the entries of a list. Timing and findings are not built yet and left out.
const shape = `
afterwalk intervals window_s seen_s not_coded heel stays cues pressure rewards stress
heel: heel_s error_s error_share by_kind_s bouts bouts_per_min bout_median_s bout_max_s off_task_s off_task_share off_task_bouts turns_kept turns_by_kind turns_out turns_unknown recovery_median_s
heel.bouts_per_min: count minutes value low high
heel.turns_kept: k n value low high
stays: stays stays_held stays_unaided stays_unknown breaks breaks_by_kind breaks_hidden stay_s breaks_per_min hold under_distraction
stays.hold: n broken median_s at
stays.hold.at: 10 120 180 30 60
stays.hold.at.10: value low high at_risk
stays.under_distraction: with without ratio low high p
cues: trials grades clean_share by_command latency owed paid runs
cues.trials[]: clip command start_us end_us grade first_answer latency_s heard_s repeats pressure
cues.grades: clean slow helped corrected no-answer unknown withdrawn
cues.by_command.*: grades clean_share latency_median_s
cues.latency: n km_median_s q1_s median_s q3_s
cues.owed[]: clip command start_us
cues.paid[]: clip command start_us reps_to_clean
cues.runs.*: current longest criterion_met
pressure: events by_channel on_s taps work_s per_min outside_work wordless_share by_itself one_step_share reminders levels level_first level_last escalation occasions after_right steadying no_ground
pressure.levels.*: n min median max
pressure.escalation: rank_max rank_median scale level
pressure.occasions[]: clip kind start_us end_us resolved steps moves response_s
rewards: rewards per_min per_correction
stress: by_kind near_pressure elsewhere
`

func TestShape(t *testing.T) {
	a := everything().reading(t, "a")
	b := sketch{events: []annotate.Event{at("down", 10), at("sit", 50), at("did", 51), at("down", 70), at("did", 71), at("sit", 890)}}.reading(t, "b")
	text, err := json.Marshal(must(t, a, b))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string][]string{}
	dec := json.NewDecoder(bytes.NewReader(text))
	readKeys(t, dec, "", got)
	for line := range strings.Lines(strings.TrimSpace(shape)) {
		place, keys, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok {
			place, keys = "", place
		}
		if !slices.Equal(got[place], strings.Fields(keys)) {
			t.Errorf("%q has the keys %v, want %v", place, got[place], keys)
		}
	}
	// Entries name their clip only where there are several.
	if one, _ := json.Marshal(must(t, a)); bytes.Contains(one, []byte(`"clip"`)) {
		t.Errorf("one reading's measures name a clip: %s", one)
	}
}

// readKeys gathers the keys of the next JSON value in order, by place.
func readKeys(t *testing.T, dec *json.Decoder, place string, keys map[string][]string) {
	t.Helper()
	token, err := dec.Token()
	if err != nil {
		t.Fatal(err)
	}
	switch token {
	case json.Delim('{'):
		var own []string
		for dec.More() {
			k, err := dec.Token()
			if err != nil {
				t.Fatal(err)
			}
			own = append(own, k.(string))
			under := k.(string)
			if place == "cues.by_command" || place == "cues.runs" || place == "pressure.levels" {
				under = "*"
			}
			readKeys(t, dec, strings.TrimPrefix(place+"."+under, "."), keys)
		}
		keys[place] = own
		dec.Token()
	case json.Delim('['):
		for dec.More() {
			readKeys(t, dec, place+"[]", keys)
		}
		dec.Token()
	}
}
