package store

import (
	"context"
	"database/sql"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
)

var update = flag.Bool("update", false, "write golden files anew")

// clock starts at a fixed time and goes on by a millisecond with each look.
func clock() func() time.Time {
	at := time.Date(2026, 5, 9, 17, 0, 0, 0, time.UTC)
	return func() time.Time {
		at = at.Add(time.Millisecond)
		return at
	}
}

func openTest(t *testing.T, path string) *Store {
	t.Helper()
	s, err := Open(t.Context(), path, Options{Now: clock()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

// book is the smallest book with a lane that is exclusive and one that isn't.
func book(version int) *annotate.Codebook {
	return &annotate.Codebook{
		ID: "test", Version: version, Name: "Test", HelpRank: 1,
		Ladder: []annotate.Rung{{Channel: "voice", Rank: 1}},
		Lanes: []annotate.Lane{
			{Name: "Position", Exclusive: true, Codes: []annotate.Code{
				{ID: "ahead", Name: "ahead", Key: "w", Role: annotate.RoleError, Shape: annotate.ShapeSpan, Details: annotate.Details{Kind: "ahead"}},
				{ID: "behind", Name: "behind", Key: "s", Role: annotate.RoleError, Shape: annotate.ShapeSpan, Details: annotate.Details{Kind: "behind"}},
			}},
			{Name: "Remarks", Codes: []annotate.Code{
				{ID: "remark", Name: "remark", Role: annotate.RoleRemark, Shape: annotate.ShapeEither},
			}},
		},
	}
}

// fill stores one dog with one session, one clip of 60 s, and one reading of it.
func fill(t *testing.T, s *Store) {
	t.Helper()
	at := time.Date(2026, 5, 9, 17, 5, 0, 0, time.FixedZone("", 2*3600))
	err := s.Add(t.Context(), Addition{
		Dog: Dog{ID: "dog", Name: "Tansy", Side: "left", Ceilings: map[string]float64{"collar": 30}}, NewDog: true,
		Folders:  []string{"/films"},
		Sessions: []Session{{ID: "session", DogID: "dog", Venue: "Alder Lane", Handler: "I. Varga"}},
		Footage: []Footage{{
			ID: "footage", Fingerprint: "v1-abc", Root: "/films", Path: "may/clip 1.mp4", Size: 1234, Format: "mov,mp4", Video: "h264", Audio: "aac",
			Width: 1280, Height: 720, Rotation: 90, FrameRate: 29.97, Variable: true, Duration: 60_000_000, Start: 20_000,
			RecordedAt: &at, RecordedBy: "quicktime", RecordedZone: "+02:00", Frames: FramesWanted, Silent: "The sound is AC-3.",
		}},
		Clips: []NewClip{{ID: "clip", SessionID: "session", FootageID: "footage"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.AddBook(t.Context(), book(1)); err != nil {
		t.Fatal(err)
	}
	addReading(t, s, "reading")
}

func addReading(t *testing.T, s *Store, id string) {
	t.Helper()
	b, err := s.NewestBook(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	r := &annotate.Reading{ID: id, Reader: "P. Quill", Window: annotate.Span{Start: 20_000, End: 20_001}, Book: b}
	if err := s.AddReading(t.Context(), "clip", r); err != nil {
		t.Fatal(err)
	}
}

// apply applies an edit to a reading as it is stored.
func apply(t *testing.T, s *Store, reading string, e annotate.Edit) *annotate.Reading {
	t.Helper()
	r, err := s.Reading(t.Context(), reading)
	if err != nil {
		t.Fatal(err)
	}
	next, row, err := r.Apply(e)
	if err != nil {
		t.Fatalf("apply %+v: %v", e, err)
	}
	if err := s.Append(t.Context(), next, row); err != nil {
		t.Fatal(err)
	}
	return next
}

// put is an edit that puts one event.
func put(id string, e annotate.Event, was int64) annotate.Edit {
	return annotate.Edit{ID: id, Put: []annotate.Put{{Event: e, Was: was}}}
}

// code writes a small history: puts, a change, a removal, an undo, facts.
func code(t *testing.T, s *Store, reading string) *annotate.Reading {
	t.Helper()
	level, taps := 0.0, 2
	id := func(n int) string { return fmt.Sprintf("%s-edit-%d", reading, n) }
	apply(t, s, reading, put(id(1), annotate.Event{ID: "a", Code: "ahead", Start: 1_000_000, Open: true}, 0))
	apply(t, s, reading, put(id(2), annotate.Event{ID: "a", Code: "ahead", Start: 1_000_000, End: 2_500_000, Note: "lead & <pull>"}, 1))
	apply(t, s, reading, put(id(3), annotate.Event{ID: "b", Code: "remark", Start: 3_000_000, End: 3_000_000,
		Details: annotate.Details{Level: &level, Taps: &taps, Extra: map[string]string{"wind": `{"from":"NW","a<b":1}`}},
		Extra:   map[string]string{"colour": `"grün 🐕"`}}, 0))
	apply(t, s, reading, put(id(4), annotate.Event{ID: "c", Code: "behind", Start: 4_000_000, Open: true}, 0))
	apply(t, s, reading, annotate.Edit{ID: id(5), Remove: []annotate.Ref{{ID: "c", Was: 4}}, Reach: new(annotate.Micros(5_000_000))})
	apply(t, s, reading, annotate.Edit{ID: id(6), Set: &annotate.Facts{Chosen: new("picked"), Coded: &[]string{"Position"}, Finished: new(true)}})
	apply(t, s, reading, annotate.Edit{ID: id(7), Undo: id(6)})
	return apply(t, s, reading, annotate.Edit{ID: id(8), Redo: id(7)})
}

// same fails the test where two readings differ.
func same(t *testing.T, what string, got, want *annotate.Reading) {
	t.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

// pragma asks one connection.
func pragma(t *testing.T, c interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}, name string) string {
	t.Helper()
	var v string
	if err := c.QueryRowContext(t.Context(), "PRAGMA "+name).Scan(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", path, diff)
	}
}
