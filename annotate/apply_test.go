package annotate

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// must applies edits one after the other.
func must(t *testing.T, r *Reading, edits ...Edit) *Reading {
	t.Helper()
	for _, e := range edits {
		next, _, err := r.Apply(e)
		if err != nil {
			t.Fatalf("edit %q: %v", e.ID, err)
		}
		r = next
	}
	return r
}

func put(id string, was int64, e Event) Edit {
	return Edit{ID: id, Put: []Put{{Event: e, Was: was}}}
}

// The example of a morning: heel work is begun, an error in it put and closed;
// each step by hand.
func TestApplyByHand(t *testing.T) {
	r0 := testReading() // window [0, 5)
	r1 := must(t, r0, Edit{ID: "a", Put: []Put{{Event: Event{ID: "heel", Code: "ex-heel", Start: 10, End: 99, Open: true, Rev: 77}}}, Reach: new(Micros(12))})
	want := Event{ID: "heel", Code: "ex-heel", Start: 10, End: 10, Open: true, Rev: 1}
	if d := cmp.Diff([]Event{want}, r1.Events); d != "" || r1.Window != (Span{0, 12}) || r1.Revision != 1 {
		t.Errorf("after the first edit, window %v, revision %d (-want +got)\n%s", r1.Window, r1.Revision, d)
	}
	// The desk ends what runs in the same edit as it starts the next.
	r2 := must(t, r1, Edit{ID: "b", Reach: new(Micros(3)), Put: []Put{
		{Event: Event{ID: "down", Code: "ex-down", Start: 30, Open: true}},
		{Event: Event{ID: "heel", Code: "ex-heel", Start: 10, End: 30}, Was: 1},
	}})
	if len(r2.Events) != 2 || r2.Events[0].Rev != 2 || r2.Window.End != 12 {
		t.Errorf("after the second edit: %+v, window %v", r2.Events, r2.Window)
	}
	if _, _, err := r1.Apply(put("c", 0, Event{ID: "down", Code: "ex-down", Start: 30, Open: true})); !errors.Is(err, ErrInvalid) ||
		!strings.Contains(err.Error(), `"ex-down" starts at 0.000 s while "ex-heel"`) {
		t.Errorf("an exercise put while another one runs: %v", err)
	}
	// Closing an open one at or before its start takes it away.
	for _, end := range []Micros{30, 29} {
		r3, row, err := r2.Apply(put("d", 2, Event{ID: "down", Code: "ex-down", Start: 30, End: end}))
		if err != nil || len(r3.Events) != 1 || len(row.Changes) != 1 || row.Changes[0].After != nil || row.Changes[0].Before == nil {
			t.Errorf("closed at %d: %+v, %v", end, row, err)
		}
	}
	// Reach stops at the clip's end.
	if r := must(t, r2, Edit{ID: "e", Reach: new(Micros(1e9))}); r.Window.End != 600 || r.Revision != 3 || len(r.History.Done) != 2 {
		t.Errorf("a reach beyond the clip: window %v, revision %d, done %v", r.Window, r.Revision, r.History.Done)
	}
}

func TestApplyRefuses(t *testing.T) {
	cue := Event{ID: "cue", Code: "down", Start: 5, End: 5}
	r := must(t, testReading(), put("first", 0, cue))
	for _, c := range []struct {
		name string
		edit Edit
		want string
	}{
		{"nothing", Edit{ID: "x"}, "There is nothing in the edit."},
		{"facts that say nothing", Edit{ID: "x", Set: &Facts{}}, "There is nothing in the edit."},
		{"no id", Edit{Reach: new(Micros(1))}, "The edit has no id."},
		{"an event put twice", Edit{ID: "x", Put: []Put{{Event: cue, Was: 1}, {Event: cue, Was: 1}}}, `Event "cue" stands twice in one edit.`},
		{"an event put and removed", Edit{ID: "x", Put: []Put{{Event: cue, Was: 1}}, Remove: []Ref{{"cue", 1}}}, `Event "cue" stands twice in one edit.`},
		{"undo with more", Edit{ID: "x", Undo: "first", Remove: []Ref{{"cue", 1}}}, "changes something besides"},
		{"undo and redo", Edit{ID: "x", Undo: "first", Redo: "first"}, "both undoes and redoes"},
		{"an empty window", Edit{ID: "x", Set: &Facts{Window: &Span{4, 4}}}, "is empty"},
		{"an unknown choice", Edit{ID: "x", Set: &Facts{Chosen: new("by lot")}}, `"by lot"`},
		{"a lane that isn't there", Edit{ID: "x", Set: &Facts{Coded: &[]string{"no lane"}}}, `The coded lane "no lane" doesn't exist.`},
		{"a broken book", Edit{ID: "x", Set: &Facts{Book: &Codebook{HelpRank: -1}}}, "help_rank is -1"},
		{"a book that lacks a code in use", Edit{ID: "x", Set: &Facts{Book: &Codebook{}}}, `Event "cue" (down) has the unknown code "down".`},
	} {
		t.Run(c.name, func(t *testing.T) {
			next, _, err := r.Apply(c.edit)
			var p Problems
			if next != nil || !errors.As(err, &p) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("Apply = %v, %v; want it refused with %q", next, err, c.want)
			}
		})
	}
}

func TestApplyConflicts(t *testing.T) {
	cue := Event{ID: "cue", Code: "down", Start: 5, End: 5}
	later := cue
	later.Start, later.End = 7, 7
	r := must(t, testReading(), put("first", 0, cue), put("second", 1, later))
	now := &r.Events[0] // of revision 2
	gone := Event{ID: "gone", Code: "did", Start: 9, End: 9}
	for _, c := range []struct {
		name string
		edit Edit
		want Conflict
	}{
		{"an older revision", put("x", 1, cue), Conflict{Revision: 2, Events: []ConflictEvent{{"cue", &cue, now}}}},
		{"new, but there", put("x", 0, cue), Conflict{Revision: 2, Events: []ConflictEvent{{"cue", &cue, now}}}},
		{"changed, but gone", put("x", 1, gone), Conflict{Revision: 2, Events: []ConflictEvent{{"gone", &gone, nil}}}},
		{"removed, but changed", Edit{ID: "x", Remove: []Ref{{"cue", 1}}}, Conflict{Revision: 2, Events: []ConflictEvent{{"cue", nil, now}}}},
		{"removed, but gone", Edit{ID: "x", Remove: []Ref{{"gone", 1}}}, Conflict{Revision: 2, Events: []ConflictEvent{{"gone", nil, nil}}}},
		{"undone, but changed since", Edit{ID: "x", Undo: "first"}, Conflict{Revision: 2, Events: []ConflictEvent{{"cue", nil, now}}}},
		{"undo of an unknown edit", Edit{ID: "x", Undo: "none"}, Conflict{Revision: 2, Gone: true}},
		{"redo of an edit that is no undo", Edit{ID: "x", Redo: "first"}, Conflict{Revision: 2, Gone: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			next, _, err := r.Apply(c.edit)
			var got *Conflict
			if next != nil || !errors.As(err, &got) {
				t.Fatalf("Apply = %v, %v; want a conflict", next, err)
			}
			if d := cmp.Diff(c.want, *got); d != "" {
				t.Errorf("conflict (-want +got)\n%s", d)
			}
		})
	}
}

// An event that came into a reading without an edit has no revision to name.
func TestApplyRevisionNought(t *testing.T) {
	r := testReading()
	r.Events = []Event{{ID: "cue", Code: "down", Start: 5, End: 5}}
	if _, _, err := r.Apply(Edit{ID: "x", Remove: []Ref{{ID: "cue"}}}); !errors.Is(err, ErrConflict) {
		t.Errorf("removed: %v, want a conflict", err)
	}
	if _, _, err := r.Apply(put("x", 0, r.Events[0])); !errors.Is(err, ErrConflict) {
		t.Errorf("put: %v, want a conflict", err)
	}
}

// Two edits of one reading, both kept: neither may write where the other looks.
func TestApplyTwiceToOneReading(t *testing.T) {
	r := testReading()
	var rows []Applied
	for _, id := range []string{"a", "b", "c"} {
		next, row, err := r.Apply(put(id, 0, Event{ID: id, Code: "down", Start: 5, End: 5}))
		if err != nil {
			t.Fatal(err)
		}
		r, rows = next, append(rows, row)
	}
	r.History = NewHistory(rows) // made in one go, with room to spare
	one := must(t, r, put("one", 0, Event{ID: "x", Code: "down", Start: 1, End: 1}))
	must(t, r, put("other", 0, Event{ID: "y", Code: "down", Start: 2, End: 2}))
	if got := one.History.Done[3]; got != "one" || one.Events[0].ID != "x" {
		t.Errorf("the second edit reached into the first one's reading: %q, %+v", got, one.Events[0])
	}
	_, row, err := r.Apply(Edit{ID: "z", Remove: []Ref{{"a", 1}}})
	if err != nil || row.Changes[0].Before == &r.Events[0] {
		t.Errorf("a journal row holds on to all events of a reading, or %v", err)
	}
}

// Two events of one edit that overlap are one problem.
func TestApplyOverlapOnce(t *testing.T) {
	_, _, err := testReading().Apply(Edit{ID: "x", Put: []Put{
		{Event: Event{ID: "a", Code: "ahead", Start: 0, End: 10}}, {Event: Event{ID: "b", Code: "behind", Start: 5, End: 15}},
	}})
	var p Problems
	if !errors.As(err, &p) || len(p) != 1 {
		t.Errorf("Apply: %v, want one problem", err)
	}
}
