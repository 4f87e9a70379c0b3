package annotate

import (
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// apply applies an edit and checks what holds for every edit: the old reading
// stays as it was, an error is of a known kind and gives nothing, and the new
// reading breaks no rule.
func apply(t *rapid.T, r *Reading, e Edit) (*Reading, Applied, error) {
	t.Helper()
	before := deepCopy(r)
	next, row, err := r.Apply(e)
	if d := cmp.Diff(before, r); d != "" {
		t.Fatalf("Apply changed its own reading (-before +after)\n%s", d)
	}
	if err != nil {
		if next != nil || !errors.Is(err, ErrInvalid) && !errors.Is(err, ErrConflict) {
			t.Fatalf("Apply = %v, %v; want no reading and a problem or conflict", next, err)
		}
		return r, Applied{}, err
	}
	if p := next.Validate(); p != nil {
		t.Fatalf("after %+v the reading is not valid:\n%v", e, p)
	}
	if next.Revision != r.Revision+1 || row.Revision != next.Revision {
		t.Fatalf("revision %d follows %d", next.Revision, r.Revision)
	}
	return next, row, nil
}

// content is what undo and redo bring back: all but revision and history, and
// but the window's end, which reach may have widened.
func content(r *Reading) Reading {
	c := *r
	c.Revision, c.History = 0, History{}
	c.Window.End = 0
	return c
}

// drawRun applies random edits, and undos and redos of the newest ones, to an
// empty reading.
func drawRun(t *rapid.T) (first, last *Reading, rows []Applied) {
	first = testReading()
	last = first
	for i := range rapid.IntRange(1, 25).Draw(t, "edits") {
		e := drawEdit(t, last, fmt.Sprintf("edit%d", i))
		h := last.History
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			if n := len(h.Done); n > 0 {
				e = Edit{ID: e.ID, Undo: h.Done[n-1], Reach: e.Reach}
			}
		case 1:
			if n := len(h.Undone); n > 0 {
				e = Edit{ID: e.ID, Redo: h.Undone[n-1]}
			}
		}
		next, row, err := apply(t, last, e)
		if err == nil {
			rows = append(rows, row)
		} else if e.Undo != "" || e.Redo != "" {
			t.Fatalf("undo or redo of the newest edit: %v (%T)", err, err)
		}
		last = next
	}
	return first, last, rows
}

func TestUndoAllRedoAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, last, rows := drawRun(t)
		r := last
		var undone int
		for ; len(r.History.Done) > 0; undone++ {
			next, row, err := apply(t, r, Edit{ID: fmt.Sprintf("undo%d", undone), Undo: r.History.Done[len(r.History.Done)-1]})
			if err != nil {
				t.Fatalf("undo %d: %v", undone, err)
			}
			r, rows = next, append(rows, row)
		}
		if d := cmp.Diff(content(first), content(r), cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("after undoing everything (-first +now)\n%s", d)
		}
		if r.Window.End < last.Window.End && len(last.History.Done) == 0 {
			t.Fatalf("the window shrank from %v to %v with nothing to undo", last.Window, r.Window)
		}
		for i := range undone {
			next, row, err := apply(t, r, Edit{ID: fmt.Sprintf("redo%d", i), Redo: r.History.Undone[len(r.History.Undone)-1]})
			if err != nil {
				t.Fatalf("redo %d: %v", i, err)
			}
			r, rows = next, append(rows, row)
		}
		if d := cmp.Diff(content(last), content(r), cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("after redoing everything (-last +now)\n%s", d)
		}
		if len(r.History.Done) != len(last.History.Done) {
			t.Fatalf("%d edits can be undone after redoing all, %d could before", len(r.History.Done), len(last.History.Done))
		}

		all, err := first.Replay(rows...)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(r, all, cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("replaying the journal at once (-applied +replayed)\n%s", d)
		}
		single := first
		for _, row := range rows {
			if single, err = single.Replay(row); err != nil {
				t.Fatal(err)
			}
		}
		if d := cmp.Diff(r, single, cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("replaying the journal row by row (-applied +replayed)\n%s", d)
		}
		if d := cmp.Diff(r.History, NewHistory(rows)); d != "" {
			t.Fatalf("NewHistory (-applied +from rows)\n%s", d)
		}
	})
}

// Undoing any edit, not only the newest, either brings back what that edit
// replaced or is refused for a reason that can be seen.
func TestUndoAnyEdit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, r, _ := drawRun(t)
		for i := 0; len(r.History.Done) > 0 && i < 10; i++ {
			id := rapid.SampledFrom(r.History.Done).Draw(t, "undo")
			row, _ := r.History.Row(id)
			changed := false // since the edit
			for _, c := range row.Changes {
				now := eventByID(r, c.ID)
				changed = changed || (now == nil) != (c.After == nil) || now != nil && cmp.Diff(now, c.After) != ""
			}
			next, _, err := apply(t, r, Edit{ID: fmt.Sprintf("undo%d", i), Undo: id})
			var conflict *Conflict
			switch {
			case errors.As(err, &conflict):
				if changed != (len(conflict.Events) > 0) || conflict.Gone || !changed && len(conflict.Facts) == 0 {
					t.Fatalf("undo %s: %+v; its events changed since: %v", id, conflict, changed)
				}
			case err == nil:
				if changed {
					t.Fatalf("undo %s went through though its events changed since", id)
				}
				for _, c := range row.Changes {
					if d := cmp.Diff(c.Before, eventByID(next, c.ID)); d != "" {
						t.Fatalf("undo %s: event %s (-before the edit +now)\n%s", id, c.ID, d)
					}
				}
			}
			r = next
		}
	})
}

// Edits made on an old revision apply as if they were new as long as nobody
// touched their events, in any order with the same content.
func TestRebase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, base, _ := drawRun(t)
		moment := func(id string, at Micros) Edit {
			return Edit{ID: "put " + id, Base: base.Revision, Put: []Put{{Event: Event{ID: id, Code: "down", Start: at, End: at}}}}
		}
		a, b := moment("new a", 7), moment("new b", 7)
		ab, _, err := apply(t, base, a)
		if err != nil {
			t.Fatal(err)
		}
		ab, _, err = apply(t, ab, b)
		if err != nil {
			t.Fatalf("an edit on an older revision: %v", err)
		}
		ba, _, _ := apply(t, base, b)
		ba, _, _ = apply(t, ba, a)
		if d := cmp.Diff(ab.Events, ba.Events, cmpopts.IgnoreFields(Event{}, "Rev")); d != "" {
			t.Fatalf("one order and the other (-ab +ba)\n%s", d)
		}
		stale := Edit{ID: "stale", Remove: []Ref{{ID: "new a", Was: base.Revision}}, Put: b.Put}
		_, _, err = apply(t, ab, stale)
		var conflict *Conflict
		if !errors.As(err, &conflict) || len(conflict.Events) != 2 || conflict.Revision != ab.Revision {
			t.Fatalf("an edit of events that changed since: %v, want a conflict over both", err)
		}
	})
}

func eventByID(r *Reading, id string) *Event {
	if at := findEvents(r.Events, []string{id})[0]; at >= 0 {
		return &r.Events[at]
	}
	return nil
}
