package caption

import (
	"testing"

	"afterwalk/annotate"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func num[T any](v T) *T { return &v }

// book has the codes that the cases use, with texts as the default book has them.
func book() *annotate.Codebook {
	code := func(id string, role annotate.Role, shape annotate.Shape, d annotate.Details, text string) annotate.Code {
		return annotate.Code{ID: id, Name: "the " + id, Role: role, Shape: shape, Details: d, Texts: annotate.Texts{Coder: text}}
	}
	return &annotate.Codebook{Name: "test", Lanes: []annotate.Lane{{Name: "all", Codes: []annotate.Code{
		code("behind", annotate.RoleError, annotate.ShapeSpan, annotate.Details{Kind: "behind"}, "Behind {seconds} s"),
		code("tone", annotate.RolePressure, annotate.ShapeMoment, annotate.Details{Channel: "tone"}, "Tone ×{taps}"),
		code("stim", annotate.RolePressure, annotate.ShapeMoment, annotate.Details{Channel: "stim"}, "Stim {level} ×{taps}"),
		code("bike", annotate.RoleDistraction, annotate.ShapeSpan, annotate.Details{Kind: "other"}, "Distraction {seconds} s"),
		code("plain", annotate.RoleRemark, annotate.ShapeEither, annotate.Details{}, ""),
	}}}}
}

func TestCoder(t *testing.T) {
	const s = annotate.Second
	event := func(id, code string, start, end annotate.Micros, d annotate.Details, note string) annotate.Event {
		return annotate.Event{ID: id, Code: code, Start: start, End: end, Details: d, Note: note}
	}
	tests := []struct {
		name   string
		events []annotate.Event
		want   []Cue
	}{
		{"a span stays as long as it is, and its length is said to a tenth",
			[]annotate.Event{event("a", "behind", 2*s, 5_440_000, annotate.Details{}, "")},
			[]Cue{{2 * s, 5_440_000, []string{"Behind 3.4 s"}, []string{"a"}}}},
		{"at most 7 s",
			[]annotate.Event{event("a", "behind", 2*s, 12*s, annotate.Details{}, "")},
			[]Cue{{2 * s, 9 * s, []string{"Behind 10.0 s"}, []string{"a"}}}},
		{"an open span has no length to say",
			[]annotate.Event{{ID: "a", Code: "behind", Start: 2 * s, Open: true}},
			[]Cue{{2 * s, 9 * s, []string{"Behind – s"}, []string{"a"}}}},
		// Two words at 0.33 s are less than the 1 s that every cue stays.
		{"a moment stays long enough to be read",
			[]annotate.Event{event("a", "tone", 2*s, 2*s, annotate.Details{}, "")},
			[]Cue{{2 * s, 3 * s, []string{"Tone ×1"}, []string{"a"}}}},
		{"taps within a second are one cue, the limit included, counted from the tap before",
			[]annotate.Event{
				event("a", "tone", 2*s, 2*s, annotate.Details{}, ""), event("b", "tone", 3*s, 3*s, annotate.Details{Taps: num(2)}, ""),
				event("c", "tone", 3_900_000, 3_900_000, annotate.Details{}, ""), event("d", "tone", 4_900_001, 4_900_001, annotate.Details{}, "")},
			[]Cue{{2 * s, 3 * s, []string{"Tone ×4"}, []string{"a", "b", "c"}}, {4_900_001, 5_900_001, []string{"Tone ×1"}, []string{"d"}}}},
		{"another level is another cue",
			[]annotate.Event{
				event("a", "stim", 2*s, 2*s, annotate.Details{Level: num(4.0)}, ""), event("b", "stim", 2_500_000, 2_500_000, annotate.Details{Level: num(5.5)}, "")},
			[]Cue{{2 * s, 3 * s, []string{"Stim 4 ×1"}, []string{"a"}}, {2_500_000, 3_500_000, []string{"Stim 5.5 ×1"}, []string{"b"}}}},
		// 6 words and 2 in the note: 8 × 0.33 s.
		{"what the text has no place for is said after it, then the note",
			[]annotate.Event{event("a", "bike", 2*s, 3*s, annotate.Details{Kind: "vehicle", DistanceM: num(6.0)}, "she\nlooked")},
			[]Cue{{2 * s, 2*s + 8*330_000, []string{"Distraction 1.0 s (vehicle, 6 m)", "she looked"}, []string{"a"}}}},
		{"a code without a text has its name",
			[]annotate.Event{event("a", "plain", 2*s, 2*s, annotate.Details{}, "")},
			[]Cue{{2 * s, 3 * s, []string{"the plain"}, []string{"a"}}}},
		{"at the clip's end a cue begins earlier",
			[]annotate.Event{event("a", "plain", 20*s, 20*s, annotate.Details{}, "")},
			[]Cue{{19 * s, 20 * s, []string{"the plain"}, []string{"a"}}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := &annotate.Reading{Book: book(), Events: tt.events, Window: annotate.Span{End: 20 * s}, Clip: annotate.Clip{Duration: 20 * s}}
			if diff := cmp.Diff(tt.want, Coder(r, DefaultFit())); diff != "" {
				t.Errorf("Coder (-want +got):\n%s", diff)
			}
		})
	}
}

func TestCheck(t *testing.T) {
	if p := Check("texts.owner", "{name} waits {seconds} s"); len(p) != 0 {
		t.Errorf("Check of known places = %v, want none", p)
	}
	if p := Check("texts.owner", "{name} waits {secs} s"); len(p) != 1 || p[0].Field != "texts.owner" {
		t.Errorf("Check of {secs} = %v, want one problem", p)
	}
}

func TestDisjoint(t *testing.T) {
	cue := func(start, end annotate.Micros, id string) Cue {
		return Cue{Start: start, End: end, Lines: []string{id}, Events: []string{id}}
	}
	both := Cue{Start: 2, End: 4, Lines: []string{"a", "b"}, Events: []string{"a", "b"}}
	tests := []struct {
		name  string
		cues  []Cue
		least annotate.Micros
		want  []Cue
	}{
		{"none", nil, 1, nil},
		{"touching cues stay apart", []Cue{cue(0, 2, "a"), cue(2, 4, "b")}, 1, []Cue{cue(0, 2, "a"), cue(2, 4, "b")}},
		{"an overlap is a cue of both", []Cue{cue(0, 4, "a"), cue(2, 6, "b")}, 1, []Cue{cue(0, 2, "a"), both, cue(4, 6, "b")}},
		{"a piece too short joins the piece that says it too", []Cue{cue(1, 4, "a"), cue(2, 4, "b")}, 2,
			[]Cue{{1, 4, []string{"a", "b"}, []string{"a", "b"}}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, Disjoint(tt.cues, tt.least)); diff != "" {
				t.Errorf("Disjoint (-want +got):\n%s", diff)
			}
		})
	}
}

// No text is lost and no two cues overlap, whatever the cues are.
func TestDisjointKeepsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cues []Cue
		start := annotate.Micros(0)
		for i := range rapid.IntRange(0, 12).Draw(t, "n") {
			start += annotate.Micros(rapid.IntRange(0, 5).Draw(t, "step"))
			id := string(rune('a' + i))
			cues = append(cues, Cue{start, start + annotate.Micros(rapid.IntRange(1, 9).Draw(t, "length")), []string{id}, []string{id}})
		}
		seen := map[string]bool{}
		end := annotate.Micros(0)
		for _, c := range Disjoint(cues, annotate.Micros(rapid.IntRange(0, 4).Draw(t, "least"))) {
			if c.Start < end || c.End <= c.Start {
				t.Fatalf("cue [%d, %d) after one that ends at %d", c.Start, c.End, end)
			}
			end = c.End
			for _, id := range c.Events {
				seen[id] = true
			}
		}
		for _, c := range cues {
			if !seen[c.Events[0]] {
				t.Fatalf("the text of %s is lost", c.Events[0])
			}
		}
	})
}
