package annotate

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// Undo and redo step by step: what can be undone and redone after each.
func TestUndoByHand(t *testing.T) {
	cue := func(id string) Edit { return put("put "+id, 0, Event{ID: id, Code: "down", Start: 5, End: 5}) }
	r := must(t, testReading(), cue("a"), cue("b"))
	for _, c := range []struct {
		edit         Edit
		done, undone []string
		events       string
	}{
		{Edit{ID: "u1", Undo: "put a"}, []string{"put b"}, []string{"u1"}, "b"},
		{Edit{ID: "u2", Undo: "put b"}, nil, []string{"u1", "u2"}, ""},
		{Edit{ID: "r1", Redo: "u2"}, []string{"r1"}, []string{"u1"}, "b"},
		{Edit{ID: "r2", Redo: "u1"}, []string{"r1", "r2"}, nil, "a b"},
		{Edit{ID: "u3", Undo: "r1"}, []string{"r2"}, []string{"u3"}, "a"},
		{Edit{ID: "far", Reach: new(Micros(50))}, []string{"r2"}, []string{"u3"}, "a"}, // nothing that can be undone
		{cue("c"), []string{"r2", "put c"}, nil, "a c"},
	} {
		r = must(t, r, c.edit)
		var ids []string
		for _, e := range r.Events {
			ids = append(ids, e.ID)
		}
		got := History{Done: r.History.Done, Undone: r.History.Undone}
		if d := cmp.Diff(History{Done: c.done, Undone: c.undone}, got); d != "" || strings.Join(ids, " ") != c.events {
			t.Errorf("after %q: events %v, want %s; history (-want +got)\n%s", c.edit.ID, ids, c.events, d)
		}
	}
	if _, _, err := r.Apply(Edit{ID: "u4", Undo: "put a"}); !errors.Is(err, ErrConflict) {
		t.Errorf("undo of what was undone and redone under another id: %v, want a conflict", err)
	}
}

// An undo that would make two spans run at once in an exclusive lane is refused
// with the rule's own words.
func TestUndoAgainstLane(t *testing.T) {
	r := must(t, testReading(), put("a", 0, Event{ID: "heel", Code: "ex-heel", Start: 0, End: 100}),
		Edit{ID: "b", Remove: []Ref{{"heel", 1}}}, put("c", 0, Event{ID: "down", Code: "ex-down", Start: 50, End: 80}))
	_, _, err := r.Apply(Edit{ID: "d", Undo: "b"})
	if !errors.Is(err, ErrInvalid) || !strings.Contains(err.Error(), `"ex-down" starts at 0.000 s while "ex-heel" runs`) {
		t.Errorf("undo of a removal whose place is taken: %v", err)
	}
}

// A window that was set comes back by undo, but never shorter than coding has got
// to; one that only grew since counts as unchanged.
func TestUndoFacts(t *testing.T) {
	set := func(id string, f Facts) Edit { return Edit{ID: id, Set: &f} }
	r := must(t, testReading(), set("window", Facts{Window: &Span{2, 8}, Chosen: new("fixed")}), Edit{ID: "on", Reach: new(Micros(20))})
	back := must(t, r, Edit{ID: "u", Undo: "window"})
	if back.Window != (Span{0, 20}) || back.Chosen != "" {
		t.Errorf("undone: window %v, chosen %q; want [0, 20) as before, with the reach since", back.Window, back.Chosen)
	}
	back = must(t, back, Edit{ID: "further", Reach: new(Micros(30))})
	if again := must(t, back, Edit{ID: "r", Redo: "u"}); again.Window != (Span{2, 30}) || again.Chosen != "fixed" {
		t.Errorf("redone: window %v, chosen %q; want [2, 30), fixed", again.Window, again.Chosen)
	}

	changed := must(t, r, set("more", Facts{Window: &Span{1, 9}}))
	_, _, err := changed.Apply(Edit{ID: "u", Undo: "window"})
	var conflict *Conflict
	if !errors.As(err, &conflict) || !slices.Equal(conflict.Facts, []string{"window"}) {
		t.Errorf("undo of a window that was set otherwise since: %v, want a conflict over the window", err)
	}

	// What is set to what it is already isn't a change.
	same, row, err := r.Apply(set("same", Facts{Chosen: new("fixed"), Finished: new(false)}))
	if err != nil || row.FactsAfter != nil || len(same.History.Done) != len(r.History.Done) {
		t.Errorf("facts as they are: %+v, %v", row, err)
	}
}

// Moving to another version of the book checks every event, back as well.
func TestUndoBook(t *testing.T) {
	remark := Event{ID: "x", Code: "remark", Start: 5, End: 5}
	r := must(t, testReading(), Edit{ID: "book", Set: &Facts{Book: otherBook()}}, put("note", 0, Event{ID: "n", Code: "note", Start: 5, End: 5}))
	if _, _, err := r.Apply(put("old", 0, remark)); !errors.Is(err, ErrInvalid) {
		t.Errorf("a code of the old book: %v", err)
	}
	_, _, err := r.Apply(Edit{ID: "u", Undo: "book"})
	if !errors.Is(err, ErrInvalid) || !strings.Contains(err.Error(), `Event "n" (note) has the unknown code "note".`) {
		t.Errorf("back to a book that lacks a code in use: %v", err)
	}
	r = must(t, r, Edit{ID: "u1", Undo: "note"}, Edit{ID: "u2", Undo: "book"}, put("old", 0, remark))
	if d := cmp.Diff(testBook(), r.Book); d != "" {
		t.Errorf("the old book again (-want +got)\n%s", d)
	}
}

func TestReplayRefuses(t *testing.T) {
	first := testReading()
	r := must(t, first, put("a", 0, Event{ID: "cue", Code: "down", Start: 5, End: 5}), put("b", 1, Event{ID: "cue", Code: "down", Start: 6, End: 6}))
	rows := r.History.Journal.Rows()
	moved := rows[1]
	moved.Revision = 1
	for _, c := range []struct {
		name string
		rows []Applied
		want string
	}{
		{"a row left out", rows[1:], `edit "b": its revision is 2 where 1 is next`},
		{"a row that found another event", []Applied{moved}, `edit "b" (revision 1): event "cue" is not as the edit found it`},
		{"a row twice", []Applied{rows[0], rows[0]}, `edit "a": its revision is 1 where 2 is next`},
	} {
		if _, err := first.Replay(c.rows...); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
	}
	// The journal is the same whichever way it came about, and another one isn't.
	again, err := first.Replay(rows...)
	if err != nil || !again.History.Journal.Equal(r.History.Journal) || again.History.Journal.Equal(r.History.Journal.before) {
		t.Errorf("journals compare wrong, or %v", err)
	}
	if d := cmp.Diff(r, again, cmpopts.EquateEmpty()); d != "" {
		t.Errorf("replayed (-want +got)\n%s", d)
	}
	if row, ok := r.History.Row("a"); !ok || row.Revision != 1 {
		t.Errorf("Row(a) = %+v, %v", row, ok)
	}
}
