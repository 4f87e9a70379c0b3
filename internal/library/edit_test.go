package library

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
)

func TestApply(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	id := oneReading(t, l)
	before, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	var seen *annotate.Reading
	out, err := l.Apply(t.Context(), id, remark("e1", "a", 1_000_000), func(r *annotate.Reading) { seen = r })
	if err != nil {
		t.Fatal(err)
	}
	if out.Repeated || out.Reading.Revision != 1 || out.Applied.Edit != "e1" || seen != out.Reading {
		t.Errorf("first edit: %+v; meanwhile saw %p, want %p", out, seen, out.Reading)
	}
	if len(before.Events) != 0 || before.Revision != 0 {
		t.Errorf("a reading that was handed out has changed: %+v", before)
	}
	if now, err := l.Reading(t.Context(), id); err != nil || now != out.Reading {
		t.Errorf("the reading now is %p, %v; want %p", now, err, out.Reading)
	}
	if _, err := l.Apply(t.Context(), id, remark("e2", "b", 2_000_000), nil); err != nil {
		t.Fatal(err)
	}

	// The same id twice is one edit, whatever is in it; the answer is the first one's.
	for _, again := range []annotate.Edit{remark("e1", "a", 1_000_000), remark("e1", "zz", 5)} {
		got, err := l.Apply(t.Context(), id, again, func(*annotate.Reading) { t.Error("meanwhile was called for a repeated edit") })
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(out.Applied, got.Applied); diff != "" || !got.Repeated || got.Reading.Revision != 2 {
			t.Errorf("repeated: revision %d, repeated %t, want the present reading and the first row (-want +got):\n%s", got.Reading.Revision, got.Repeated, diff)
		}
	}

	// Also after a restart; undo and redo as well.
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = start(t, dir, &prober{})
	got, err := l.Apply(t.Context(), id, remark("e1", "a", 1_000_000), nil)
	if err != nil || !got.Repeated || cmp.Diff(out.Applied, got.Applied) != "" || got.Reading.Revision != 2 {
		t.Errorf("repeated after a restart: %+v, %v", got, err)
	}
	if got, err = l.Apply(t.Context(), id, annotate.Edit{ID: "u", Undo: "e2"}, nil); err != nil || len(got.Reading.Events) != 1 {
		t.Errorf("undo after a restart: %+v, %v", got.Reading, err)
	}
	if got, err = l.Apply(t.Context(), id, annotate.Edit{ID: "r", Redo: "u"}, nil); err != nil || len(got.Reading.Events) != 2 {
		t.Errorf("redo: %+v, %v", got.Reading, err)
	}
	if c := well(t, l); c.Edits != 4 || c.Events != 2 {
		t.Errorf("check: %+v", c)
	}
}

// Nothing is changed by an edit that is refused.
func TestApplyRefuses(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	other, err := l.NewReading(t.Context(), second0(l.ReadingClip(t.Context(), id)), "P. Quill")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Apply(t.Context(), id, remark("e1", "a", 0), nil); err != nil {
		t.Fatal(err)
	}
	before, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	unknown := remark("e2", "b", 0)
	unknown.Put[0].Event.Code = "none"
	stale := remark("e2", "a", 5)
	for _, c := range []struct {
		name, reading string
		edit          annotate.Edit
		want          error
	}{
		{"no such reading", "none", remark("e2", "b", 0), annotate.ErrNotFound},
		{"breaks a rule", id, unknown, annotate.ErrInvalid},
		{"no id", id, remark("", "b", 0), annotate.ErrInvalid},
		{"an event that is there", id, stale, annotate.ErrConflict},
		{"an undo of nothing", id, annotate.Edit{ID: "e2", Undo: "none"}, annotate.ErrConflict},
		{"the id of another reading's edit", other, remark("e1", "b", 0), annotate.ErrInvalid},
	} {
		if _, err := l.Apply(t.Context(), c.reading, c.edit, nil); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	if now, err := l.Reading(t.Context(), id); err != nil || now.Revision != before.Revision || cmp.Diff(before.Events, now.Events) != "" {
		t.Errorf("after refusals: %+v, %v", now, err)
	}
	if _, err := l.Reading(t.Context(), "none"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("no such reading: %v", err)
	}
	if n := len(l.shelf.all); n > 2 {
		t.Errorf("%d readings are kept in memory, though there are only 2", n)
	}
	well(t, l)
}

// A transaction that fails leaves everything as it was, in memory too, and the
// same edit goes through once the cause is gone.
func TestFailedTransactionChangesNothing(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	id := oneReading(t, l)
	if _, err := l.Apply(t.Context(), id, remark("e1", "a", 0), nil); err != nil {
		t.Fatal(err)
	}
	before, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	db := byHand(t, dir)
	notices, cancel := l.Watch()
	defer cancel()
	for _, table := range []string{"journal", "events", "readings"} { // each statement of the transaction
		verb := "INSERT"
		if table == "readings" {
			verb = "UPDATE"
		}
		if _, err := db.Exec(`CREATE TRIGGER stop BEFORE ` + verb + ` ON ` + table + ` BEGIN SELECT RAISE(ABORT, 'stopped by the test'); END`); err != nil {
			t.Fatal(err)
		}
		for _, meanwhile := range []func(*annotate.Reading){nil, func(*annotate.Reading) {}} {
			if _, err := l.Apply(t.Context(), id, remark("e2", "b", 0), meanwhile); err == nil {
				t.Errorf("%s fails: the edit went through", table)
			}
			now, err := l.Reading(t.Context(), id)
			if err != nil || now.Revision != 1 || cmp.Diff(before, now) != "" {
				t.Errorf("%s fails: the reading is %+v, %v; want it as before", table, now, err)
			}
		}
		if _, err := db.Exec(`DROP TRIGGER stop`); err != nil {
			t.Fatal(err)
		}
	}
	select {
	case n := <-notices:
		t.Errorf("a notice of an edit that failed: %+v", n)
	default:
	}
	out, err := l.Apply(t.Context(), id, remark("e2", "b", 0), nil)
	if err != nil || out.Repeated || out.Reading.Revision != 2 {
		t.Errorf("the same edit afterwards: %+v, %v", out, err)
	}
	well(t, l)
}

// A panic of the caller's own work reaches the caller; the edit is written, and
// the next one finds everything in order.
func TestMeanwhilePanics(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	func() {
		defer func() {
			if recover() != "mine" {
				t.Error("the panic didn't reach the caller")
			}
		}()
		_, _ = l.Apply(t.Context(), id, remark("e1", "a", 0), func(*annotate.Reading) { panic("mine") })
	}()
	if out, err := l.Apply(t.Context(), id, remark("e1", "a", 0), nil); err != nil || !out.Repeated {
		t.Errorf("the edit again: %+v, %v; want it to have been written", out, err)
	}
	if out, err := l.Apply(t.Context(), id, remark("e2", "b", 0), nil); err != nil || out.Reading.Revision != 2 {
		t.Errorf("the next edit: %+v, %v", out, err)
	}
}

// Many pages at work on two readings: each edit is applied once, in some order,
// though every one of them is sent twice.
func TestManyApply(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	first := oneReading(t, l)
	second, err := l.NewReading(t.Context(), second0(l.ReadingClip(t.Context(), first)), "P. Quill")
	if err != nil {
		t.Fatal(err)
	}
	const pages, edits = 8, 12
	var group sync.WaitGroup
	for page := range pages {
		id := []string{first, second}[page%2]
		group.Go(func() {
			for i := range edits {
				e := remark(fmt.Sprintf("edit %d of page %d", i, page), fmt.Sprintf("event %d of page %d", i, page), annotate.Micros(i))
				for try := range 2 {
					out, err := l.Apply(t.Context(), id, e, func(*annotate.Reading) {})
					if err != nil || out.Repeated != (try == 1) {
						t.Errorf("page %d, edit %d, try %d: repeated %t, %v", page, i, try, out.Repeated, err)
					}
				}
				if _, err := l.Reading(t.Context(), id); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	for _, id := range []string{first, second} {
		r, err := l.Reading(t.Context(), id)
		if err != nil || len(r.Events) != pages/2*edits || r.Revision != pages/2*edits {
			t.Errorf("reading %s has %d events at revision %d (%v), want %d", id, len(r.Events), r.Revision, err, pages/2*edits)
		}
	}
	if c := well(t, l); c.Edits != pages*edits {
		t.Errorf("%d edits in the journal, want %d", c.Edits, pages*edits)
	}
}

// What isn't used goes from memory, what is used stays, and all is found again.
func TestShelfForgets(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	clip := oneClip(t, l)
	var ids []string
	for range shelved + 20 {
		id, err := l.NewReading(t.Context(), clip, "I. Varga")
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	held, give := l.take(ids[0])
	held.mu.Lock()
	if _, err := l.whole(t.Context(), held); err != nil {
		t.Fatal(err)
	}
	held.mu.Unlock()
	for _, id := range ids {
		if _, err := l.Reading(t.Context(), id); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(l.shelf.all); n != shelved {
		t.Errorf("%d readings are in memory, want %d", n, shelved)
	}
	if l.shelf.all[ids[0]] != held {
		t.Error("a reading in use was dropped")
	}
	give()
	if l.shelf.all[ids[len(ids)-1]] == nil {
		t.Error("the reading used last was dropped")
	}
	for _, id := range ids[:30] {
		if _, err := l.Apply(t.Context(), id, remark("edit of "+id, "a", 0), nil); err != nil {
			t.Fatal(err)
		}
	}
	well(t, l)
}

// Text is data: what was typed is what is read back, also after a restart.
func TestHostileText(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	id := oneReading(t, l)
	texts := []string{
		`"quoted" and 'quoted'`, "a\x00b", "line\r\nbreak\u2028\u2029", "🐕‍🦺 \u202e", `\u0041 \ \n`, "<script>&amp;</script>", "'; DROP TABLE events; --",
		strings.Repeat("ß", 20_000), " ", "\ufffd",
	}
	for i, text := range texts {
		e := remark(fmt.Sprint("edit ", i), text, annotate.Micros(i))
		e.Put[0].Event.Note = text
		e.Put[0].Event.Details.Extra = map[string]string{text: `{"a<b":[1.0,"\u00e9é"]}`}
		e.Put[0].Event.Extra = map[string]string{"x" + text: `"` + "é" + `"`}
		if _, err := l.Apply(t.Context(), id, e, nil); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
	}
	bad := remark("bad", "bad", 0)
	bad.Put[0].Event.Note = "\xff"
	if _, err := l.Apply(t.Context(), id, bad, nil); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("a note that isn't UTF-8: %v, want ErrInvalid", err)
	}
	before, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = start(t, dir, &prober{})
	after, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before, after); diff != "" {
		t.Errorf("after a restart (-before +after):\n%s", diff)
	}
	for i, text := range texts {
		if after.Events[i].Note != text || after.Events[i].ID != text {
			t.Errorf("text %d came back as %q, want %q", i, after.Events[i].Note, text)
		}
	}
	well(t, l)
}
