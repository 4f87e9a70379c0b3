package store

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"afterwalk/annotate"
)

// Each kind, put into the bin: nothing of it is to be seen by any way in, it lies
// there by itself, and restoring it leaves every row as it was.
func TestBinAndRestore(t *testing.T) {
	ids := map[string]string{"dog": "dog", "session": "session", "clip": "clip", "reading": "reading"}
	order := []string{"dog", "session", "clip", "reading"}
	for depth, kind := range order {
		t.Run(kind, func(t *testing.T) {
			s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
			fill(t, s)
			code(t, s, "reading")
			before := dump(t, s)
			if err := s.Bin(t.Context(), Act{ID: "act", Kind: "bin", Title: "x"}, kind, ids[kind]); err != nil {
				t.Fatal(err)
			}
			for d, what := range order {
				_, err := map[string]func() (any, error){
					"dog":     func() (any, error) { return s.Dog(t.Context(), "dog") },
					"session": func() (any, error) { return s.Session(t.Context(), "session") },
					"clip":    func() (any, error) { return s.Clip(t.Context(), "clip") },
					"reading": func() (any, error) { return s.Reading(t.Context(), "reading") },
				}[what]()
				if hidden := d >= depth; errors.Is(err, annotate.ErrNotFound) != hidden {
					t.Errorf("with the %s in the bin, the %s: %v; want it hidden: %t", kind, what, err, hidden)
				}
			}
			if _, err := s.ReadingNow(t.Context(), "reading"); !errors.Is(err, ErrBinned) {
				t.Errorf("ReadingNow: %v, want ErrBinned", err)
			}
			if _, err := s.ReadingClip(t.Context(), "reading"); !errors.Is(err, annotate.ErrNotFound) {
				t.Errorf("ReadingClip: %v", err)
			}
			readings, err := s.Readings(t.Context(), "clip")
			if err != nil || len(readings) > 0 {
				t.Errorf("readings: %v, %v", readings, err)
			}
			if found, err := s.Search(t.Context(), "Quill", 10); err != nil || len(found) > 0 {
				t.Errorf("the reading is found by searching: %v, %v", found, err)
			}
			if depth <= 2 {
				for name, ask := range map[string]func() (int, error){
					"Clips":   func() (int, error) { l, err := s.Clips(t.Context(), "session"); return len(l), err },
					"ClipsOf": func() (int, error) { l, err := s.ClipsOf(t.Context(), "v1-abc"); return len(l), err },
					"ClipsNamed": func() (int, error) {
						l, err := s.ClipsNamed(t.Context(), "clip 1.mp4")
						return len(l), err
					},
					"ClipsWanting":   func() (int, error) { l, err := s.ClipsWanting(t.Context()); return len(l), err },
					"SessionExtents": func() (int, error) { l, err := s.SessionExtents(t.Context(), "dog"); return len(l), err },
				} {
					if n, err := ask(); err != nil || n > 0 {
						t.Errorf("%s gives %d, %v", name, n, err)
					}
				}
			}
			if err := s.Bin(t.Context(), Act{ID: "again", Kind: "bin", Title: "x"}, kind, ids[kind]); !errors.Is(err, annotate.ErrNotFound) {
				t.Errorf("into the bin twice: %v, want ErrNotFound", err)
			}
			list, err := s.Binned(t.Context())
			if err != nil || len(list) != 1 || list[0].Kind != kind || list[0].ID != ids[kind] || list[0].Dog != "Tansy" || list[0].Below != nil {
				t.Errorf("in the bin: %+v, %v", list, err)
			}
			whole(t, "with the "+kind+" in the bin", s)
			if err := s.Restore(t.Context(), kind, ids[kind]); err != nil {
				t.Fatal(err)
			}
			sameDump(t, "after restoring the "+kind, dump(t, s), before)
			if a, err := s.Act(t.Context(), "act"); err != nil || a.UndoneAt == nil {
				t.Errorf("the act after restoring: %+v, %v; want it taken back", a, err)
			}
			if err := s.Restore(t.Context(), kind, ids[kind]); !errors.Is(err, annotate.ErrNotFound) {
				t.Errorf("restored twice: %v, want ErrNotFound", err)
			}
		})
	}
}

func TestBinRefusesWhatIsNot(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	for _, c := range [][2]string{{"dog", "other"}, {"lead", "dog"}, {"", ""}, {"dogs", "dog"}} {
		if err := s.Bin(t.Context(), Act{ID: "act", Kind: "bin"}, c[0], c[1]); !errors.Is(err, annotate.ErrNotFound) {
			t.Errorf("Bin(%q, %q): %v, want ErrNotFound", c[0], c[1], err)
		}
		if err := s.Restore(t.Context(), c[0], c[1]); !errors.Is(err, annotate.ErrNotFound) {
			t.Errorf("Restore(%q, %q): %v, want ErrNotFound", c[0], c[1], err)
		}
	}
}

// A dog's name is free while it lies in the bin; it can't come back beside another
// of that name.
func TestBinnedNameIsFree(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	bin(t, s, "dog", "dog")
	if err := s.Add(t.Context(), Addition{Dog: Dog{ID: "second", Name: "TANSY", Side: "left"}, NewDog: true}); err != nil {
		t.Fatalf("the name of a dog in the bin: %v", err)
	}
	before := dump(t, s)
	if err := s.Restore(t.Context(), "dog", "dog"); !errors.Is(err, ErrTaken) {
		t.Errorf("restored beside another of its name: %v, want ErrTaken", err)
	}
	sameDump(t, "after the refusal", dump(t, s), before)
	bin(t, s, "dog", "second")
	if err := s.Restore(t.Context(), "dog", "dog"); err != nil {
		t.Errorf("restored when the name is free again: %v", err)
	}
}

// What lies below something in the bin can't come back alone.
func TestRestoreBelow(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	for _, kind := range []string{"reading", "clip", "session", "dog"} {
		bin(t, s, kind, kind)
	}
	for _, c := range []struct{ kind, below, name string }{{"reading", "dog", "Tansy"}, {"clip", "dog", "Tansy"}, {"session", "dog", "Tansy"}} {
		var b *Below
		if err := s.Restore(t.Context(), c.kind, c.kind); !errors.As(err, &b) || b.Kind != c.below || b.Name != c.name {
			t.Errorf("restore the %s: %v, want that it lies below the %s %s", c.kind, err, c.below, c.name)
		}
	}
	for _, kind := range []string{"dog", "session", "clip", "reading"} {
		if err := s.Restore(t.Context(), kind, kind); err != nil {
			t.Errorf("restore the %s from the outside inward: %v", kind, err)
		}
	}
	whole(t, "after that", s)
}

// Time in the bin counts from when each thing was put there. What is removed leaves
// no row anywhere; the others stay as they were.
func TestPurge(t *testing.T) {
	for _, kind := range []string{"dog", "session", "clip", "reading"} {
		t.Run(kind, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "library.db")
			s := openTest(t, path)
			empty := dump(t, s)
			fill(t, s)
			code(t, s, "reading")
			if err := s.SetFrames(t.Context(), "footage", FrameTable{PTS: []annotate.Micros{20_000, 53_367}, End: 60_000_000}); err != nil {
				t.Fatal(err)
			}
			bin(t, s, kind, kind)
			at, err := s.Binned(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			kept := dump(t, s)
			if gone, err := s.Purge(t.Context(), at[0].At.Add(-time.Microsecond)); err != nil || len(gone) > 0 {
				t.Fatalf("a microsecond too early: %v, %v", gone, err)
			}
			sameDump(t, "a microsecond too early", dump(t, s), kept)
			gone, err := s.Purge(t.Context(), at[0].At)
			if err != nil {
				t.Fatal(err)
			}
			if wanted := kind != "reading"; (len(gone) == 1 && gone[0] == "footage") != wanted {
				t.Errorf("footage that went: %v", gone)
			}
			whole(t, "after the "+kind+" was removed", s)
			if list, err := s.Binned(t.Context()); err != nil || len(list) > 0 {
				t.Errorf("in the bin: %v, %v", list, err)
			}
			if acts, err := s.Acts(t.Context(), nil, time.Time{}); err != nil || len(acts) > 0 {
				t.Errorf("acts: %v, %v", acts, err)
			}
			if kind == "dog" { // all there is but the book and the folder
				for _, q := range []string{`DELETE FROM books`, `DELETE FROM folders`} {
					if _, err := s.write.Exec(q); err != nil {
						t.Fatal(err)
					}
				}
				sameDump(t, "of a library whose only dog was removed", dump(t, s), empty)
			}
		})
	}
}

// Footage that is still somebody's clip, or waits in the inbox, stays.
func TestPurgeKeepsFootageInUse(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	other := Addition{Dog: Dog{ID: "b", Name: "Bramble", Side: "left"}, NewDog: true, Sessions: []Session{{ID: "bs", DogID: "b"}}, Clips: []NewClip{{ID: "bc", SessionID: "bs", FootageID: "footage"}}}
	if err := s.Add(t.Context(), other); err != nil {
		t.Fatal(err)
	}
	bin(t, s, "dog", "dog")
	if gone, err := s.Purge(t.Context(), s.now()); err != nil || len(gone) > 0 {
		t.Errorf("footage that went while Bramble has it: %v, %v", gone, err)
	}
	if err := s.AddToInbox(t.Context(), InboxAddition{Put: []string{"footage"}}); err != nil {
		t.Fatal(err)
	}
	bin(t, s, "clip", "bc")
	if gone, err := s.Purge(t.Context(), s.now()); err != nil || len(gone) > 0 {
		t.Errorf("footage that went while it is in the inbox: %v, %v", gone, err)
	}
	if n, err := s.InboxWaiting(t.Context()); err != nil || n != 1 {
		t.Errorf("%d wait in the inbox, %v; want 1", n, err)
	}
	whole(t, "after that", s)
}

func bin(t *testing.T, s *Store, kind, id string) {
	t.Helper()
	if err := s.Bin(t.Context(), Act{ID: "bin " + kind + " " + id, Kind: "bin", Title: id + " is in the bin."}, kind, id); err != nil {
		t.Fatal(err)
	}
}
