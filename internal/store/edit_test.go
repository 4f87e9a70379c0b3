package store

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
)

// What was applied in memory is what is read back, history and all, also by a
// program that was started anew.
func TestReadingReadsBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	s := openTest(t, path)
	fill(t, s)
	want := code(t, s, "reading")
	if want.Revision != 8 || len(want.Events) != 2 || len(want.History.Done) != 6 || !want.Finished {
		t.Fatalf("the history to store is not the one meant: %+v", want)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = openTest(t, path)
	got, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "read back", got, want)
	if got.Handler != "I. Varga" || got.Venue != "Alder Lane" || got.Side != "left" || got.Dog.Name != "Tansy" || got.Clip.File != "clip 1.mp4" {
		t.Errorf("session, dog or clip are not in the reading: %+v", got)
	}
	now, err := s.ReadingNow(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	want.History = annotate.History{}
	same(t, "read back without its history", now, want)
	if _, err := s.Reading(t.Context(), "none"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("a reading that isn't there: %v, want ErrNotFound", err)
	}
}

func TestAppendRefuses(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	addReading(t, s, "other")
	first := annotate.Event{ID: "a", Code: "remark", Start: 1_000_000, End: 1_000_000}
	apply(t, s, "reading", put("edit", first, 0))
	want, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, reading, edit string
		behind              bool // applied to the reading as it was before its first edit
		want                error
	}{
		{"the same id again", "reading", "edit", false, ErrTaken},
		{"the id of another reading's edit", "other", "edit", false, ErrTaken},
		{"a revision that is taken", "reading", "edit 2", true, ErrTaken},
	} {
		r, err := s.Reading(t.Context(), c.reading)
		if err != nil {
			t.Fatal(err)
		}
		if c.behind {
			r.Revision, r.Events, r.History = 0, nil, annotate.History{}
		}
		next, row, err := r.Apply(put(c.edit, annotate.Event{ID: "b", Code: "remark", Start: 2_000_000, End: 2_000_000}, 0))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Append(t.Context(), next, row); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	// A row far ahead: the journal has room for it, the reading's row doesn't follow.
	far := *want
	far.Revision = 7
	next, row, err := far.Apply(put("edit 3", annotate.Event{ID: "c", Code: "remark", Start: 2_000_000, End: 2_000_000}, 0))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(t.Context(), next, row); !errors.Is(err, annotate.ErrConflict) {
		t.Errorf("a revision that doesn't follow: %v, want ErrConflict", err)
	}
	got, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "after refusals", got, want)
}

// Moving a reading to another version of its book is an edit like others.
func TestBookMove(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	s := openTest(t, path)
	fill(t, s)
	if err := s.AddBook(t.Context(), book(2)); err != nil {
		t.Fatal(err)
	}
	if newest, err := s.NewestBook(t.Context()); err != nil || newest.Version != 2 {
		t.Fatalf("newest book: %v, %v; want version 2", newest, err)
	}
	apply(t, s, "reading", annotate.Edit{ID: "move", Set: &annotate.Facts{Book: book(2)}})
	version := func() int {
		t.Helper()
		_ = s.Close()
		s = openTest(t, path)
		r, err := s.Reading(t.Context(), "reading")
		if err != nil {
			t.Fatal(err)
		}
		list, err := s.Readings(t.Context(), "clip")
		if err != nil || len(list) != 1 || list[0].BookVersion != r.Book.Version {
			t.Errorf("the list of readings says %+v, %v; the reading has version %d", list, err, r.Book.Version)
		}
		return r.Book.Version
	}
	if got := version(); got != 2 {
		t.Errorf("after the move the book's version is %d, want 2", got)
	}
	apply(t, s, "reading", annotate.Edit{ID: "back", Undo: "move"})
	if got := version(); got != 1 {
		t.Errorf("after the undo the book's version is %d, want 1", got)
	}
	if c, err := s.Check(t.Context()); err != nil || len(c.Problems) > 0 {
		t.Errorf("check: %v, %v", c.Problems, err)
	}
}

func TestBookVersionsNeverChange(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	if err := s.AddBook(t.Context(), book(1)); err != nil {
		t.Errorf("the same version with the same content: %v", err)
	}
	other := book(1)
	other.Name = "Other"
	if err := s.AddBook(t.Context(), other); !errors.Is(err, ErrTaken) {
		t.Errorf("the same version with other content: %v, want ErrTaken", err)
	}
	for _, change := range []string{`UPDATE books SET content = '{}'`, `UPDATE journal SET payload = '{}'`} {
		apply(t, s, "reading", put("edit "+change, annotate.Event{ID: change, Code: "remark", Start: 1, End: 1}, 0))
		if _, err := s.write.Exec(change); err == nil {
			t.Errorf("%s: was done", change)
		}
	}
}

// An imported reading has events before its journal; a book that came with it
// doesn't become the library's.
func TestAddReadingWithEvents(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	foreign := book(9)
	foreign.ID, foreign.Name = "test", "Another house"
	in := &annotate.Reading{
		ID: "imported", Reader: "I. Varga", Handler: "P. Quill", Venue: "Mill Meadow", Side: "right", Mirrored: true, Finished: true,
		Window: annotate.Span{Start: 20_000, End: 9_000_000}, Chosen: "random", Coded: []string{}, Book: foreign, Revision: 1,
		Events: []annotate.Event{
			{ID: "x", Code: "ahead", Start: 1_000_000, End: 2_000_000, Rev: 1},
			{ID: "y", Code: "behind", Start: 3_000_000, End: 3_000_000, Open: true, Rev: 1},
		},
		Extra: map[string]string{"mood": `"good"`}, ClipExtra: map[string]string{"lens": `[1,2]`}, DogExtra: map[string]string{"chip": `7`}, WindowExtra: map[string]string{"why": `null`},
	}
	if err := s.AddReading(t.Context(), "clip", in); err != nil {
		t.Fatal(err)
	}
	if err := s.AddReading(t.Context(), "clip", in); !errors.Is(err, ErrTaken) {
		t.Errorf("the same id again: %v, want ErrTaken", err)
	}
	got, err := s.Reading(t.Context(), "imported")
	if err != nil {
		t.Fatal(err)
	}
	want := *in
	want.Clip, want.Dog = got.Clip, got.Dog // the library's
	same(t, "imported", got, &want)
	if b, err := s.NewestBook(t.Context()); err != nil || b.Version != 1 {
		t.Errorf("the library's book is %v, %v; want version 1 still", b, err)
	}
	next := apply(t, s, "imported", put("close", annotate.Event{ID: "y", Code: "behind", Start: 3_000_000, End: 4_000_000}, 1))
	if next.Revision != 2 {
		t.Errorf("the first edit leads to revision %d, want 2", next.Revision)
	}
	if c, err := s.Check(t.Context()); err != nil || len(c.Problems) > 0 {
		t.Errorf("check: %v, %v", c.Problems, err)
	}
}

// The first finished reading comes first; being finished a second time counts
// from then.
func TestReadingsOrder(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	for _, id := range []string{"b", "c", "d"} {
		addReading(t, s, id)
	}
	finish := func(edit, reading string, yes bool) {
		apply(t, s, reading, annotate.Edit{ID: edit, Set: &annotate.Facts{Finished: &yes}})
	}
	finish("1", "c", true)
	finish("2", "b", true)
	finish("3", "c", false)
	finish("4", "c", true)
	list, err := s.Readings(t.Context(), "clip")
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, r := range list {
		ids = append(ids, r.ID)
	}
	if diff := cmp.Diff([]string{"b", "c", "reading", "d"}, ids); diff != "" {
		t.Errorf("order of readings (-want +got):\n%s", diff)
	}
}

// A full disk is told from other failures, and what was there stays.
func TestFullDisk(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	want := code(t, s, "reading")
	var pages int
	if err := s.write.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec(fmt.Sprintf(`PRAGMA max_page_count = %d`, pages)); err != nil {
		t.Fatal(err)
	}
	r, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	next, row, err := r.Apply(put("large", annotate.Event{ID: "large", Code: "remark", Note: strings.Repeat("x", 100_000)}, 0))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(t.Context(), next, row); !errors.Is(err, ErrFull) {
		t.Errorf("an edit that the disk has no room for: %v, want ErrFull", err)
	}
	got, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "after that", got, want)
	if _, err := s.write.Exec(`PRAGMA max_page_count = 1000000`); err != nil {
		t.Fatal(err)
	}
	if err := s.Append(t.Context(), next, row); err != nil {
		t.Errorf("with room again: %v", err)
	}
}
