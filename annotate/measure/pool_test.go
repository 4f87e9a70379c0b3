package measure_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

func TestRefused(t *testing.T) {
	plain := func(name string) *annotate.Reading {
		return sketch{events: []annotate.Event{at("sit", 10)}}.reading(t, name)
	}
	changed := func(change func(*annotate.Reading)) []*annotate.Reading {
		b := plain("b")
		change(b)
		return []*annotate.Reading{plain("a"), b}
	}
	tests := []struct {
		name     string
		readings []*annotate.Reading
		want     string // in the message
		invalid  bool
	}{
		{"nothing", nil, "no reading", false},
		{"a missing one", []*annotate.Reading{plain("a"), nil}, "reading 2 is missing", false},
		{"without a book", changed(func(r *annotate.Reading) { r.Book = nil }), "no codebook", true},
		{"a rule broken", changed(func(r *annotate.Reading) { r.Events[0].Code = "hop" }), `"hop"`, true},
		{"another dog", changed(func(r *annotate.Reading) { r.Dog.Name = "Bramble" }), `"Bramble"`, true},
		{"other ceilings", changed(func(r *annotate.Reading) { r.Dog.Ceilings = map[string]float64{"stim": 9} }), "ceilings", true},
		{"another wear limit", changed(func(r *annotate.Reading) { r.Dog.WearLimitS = new(3600.0) }), "wear limits", true},
		{"another rank", changed(func(r *annotate.Reading) {
			r.Book.Ladder = append([]annotate.Rung{{Channel: "body", Rank: 4}}, r.Book.Ladder[1:]...)
		}), "ladders", true},
		{"another level_max", changed(func(r *annotate.Reading) {
			r.Book.Ladder = append([]annotate.Rung{{Channel: "body", Rank: 1, LevelMax: new(3.0)}}, r.Book.Ladder[1:]...)
		}), "ladders", true},
		{"another help_rank", changed(func(r *annotate.Reading) { r.Book.HelpRank = 2 }), "help_ranks, 3 and 2", true},
		{"another house rule", changed(func(r *annotate.Reading) { r.Book.House.AnswerWindowsS = map[string]float64{"sit": 9} }), "house rules", true},
		{"an event twice", changed(func(r *annotate.Reading) { r.Events[0].ID = "a-sit-00" }), `"a-sit-00"`, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, err := measure.Of(tt.readings)
			if err == nil || m != nil || !strings.Contains(err.Error(), tt.want) || errors.Is(err, annotate.ErrInvalid) != tt.invalid {
				t.Errorf("Of = %v, %v; want an error with %q, invalid: %v", m, err, tt.want, tt.invalid)
			}
		})
	}
}

// What says the same in other words is pooled: a default written out, rungs in
// another order, no ceilings or an empty list of them, another name of the book.
func TestPooledAllTheSame(t *testing.T) {
	a := sketch{events: []annotate.Event{at("sit", 10)}}.reading(t, "a")
	b := sketch{events: []annotate.Event{at("sit", 10)}}.reading(t, "b")
	b.Book.House = annotate.House{JoinS: new(0.5), NoTrial: []string{"stay", "release", "name"}, AnswerWindowsS: map[string]float64{"come": 30}}
	b.Book.Ladder = append(b.Book.Ladder[1:len(b.Book.Ladder):len(b.Book.Ladder)], b.Book.Ladder[0])
	b.Book.Name, b.Book.Version = "Another name", 7
	b.Dog.Ceilings = nil
	if n := len(must(t, a, b).Cues.Trials); n != 2 {
		t.Errorf("%d trials, want 2", n)
	}
}

// Clips stand in order of date if all have one, else as given; a role is coded if
// every reading coded it, and what one of them coded still shapes its own clip.
func TestPooledOrderAndCoding(t *testing.T) {
	early, late := time.Date(2026, 3, 7, 9, 0, 0, 0, time.UTC), time.Date(2026, 3, 7, 9, 30, 0, 0, time.UTC)
	a := sketch{events: []annotate.Event{ev("ex-heel", 0, 10), ev("hidden", 0, 5), at("sit", 20)}}.reading(t, "a")
	b := sketch{events: []annotate.Event{ev("ex-heel", 0, 10), ev("hidden", 0, 5), at("sit", 20)}}.reading(t, "b")
	first := func() string { return *must(t, b, a).Cues.Trials[0].Clip }
	if got := first(); got != "b.mp4" {
		t.Errorf("without dates %s comes first, want b.mp4 as given", got)
	}
	a.Clip.RecordedAt = &early
	if got := first(); got != "b.mp4" {
		t.Errorf("with one date %s comes first, want b.mp4 as given", got)
	}
	b.Clip.RecordedAt = &late
	if got := first(); got != "a.mp4" {
		t.Errorf("with both dates %s comes first, want a.mp4", got)
	}

	for _, l := range b.Book.Lanes {
		if l.Name != "picture" && l.Name != "help" {
			b.Coded = append(b.Coded, l.Name)
		}
	}
	m := must(t, a, b)
	if m.Heel.HeelS != 5+10 || m.Cues.Grades != nil || len(m.NotCoded) != 2 {
		text, _ := json.Marshal(m)
		t.Errorf("heel %v, want 15 (hidden in a alone); grades and help not coded in b: %s", m.Heel.HeelS, text)
	}
}
