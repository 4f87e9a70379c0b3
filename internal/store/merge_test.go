package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// twoDogs stores Tansy as fill does, and Bramble with a session of two clips: one of
// the same footage, with a reading, and one of its own.
func twoDogs(t *testing.T, s *Store) {
	t.Helper()
	fill(t, s)
	level := 80.0
	a := Addition{
		Dog: Dog{ID: "bramble", Name: "Bramble", Side: "right", Notes: "pulls to water", Ceilings: map[string]float64{"collar": 20, "leash": 3},
			WearLimitS: new(1800.0), Devices: []Device{{Name: "old collar", Channel: "collar", LevelMax: &level}}},
		NewDog:   true,
		Sessions: []Session{{ID: "bs", DogID: "bramble", Venue: "Mill Meadow", Device: "old collar"}},
		Footage:  []Footage{{ID: "own", Fingerprint: "own", Root: "/films", Path: "own.mp4", Duration: 9_000_000, Frames: FramesWanted}},
		Clips: []NewClip{
			{ID: "shared", SessionID: "bs", FootageID: "footage", Window: &annotate.Span{Start: 30_000_000, End: 50_000_000}},
			{ID: "own", SessionID: "bs", FootageID: "own"},
		},
	}
	if err := s.Add(t.Context(), a); err != nil {
		t.Fatal(err)
	}
	b, err := s.NewestBook(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for id, clip := range map[string]string{"r-shared": "shared", "r-own": "own"} {
		r := &annotate.Reading{ID: id, Reader: "I. Varga", Window: annotate.Span{Start: 1, End: 2}, Book: b}
		if err := s.AddReading(t.Context(), clip, r); err != nil {
			t.Fatal(err)
		}
	}
}

func merge(t *testing.T, s *Store, from, into string) Act {
	t.Helper()
	if err := s.Merge(t.Context(), Act{ID: "merge " + from, Kind: "merge", Title: from + " was merged into " + into + "."}, from, into); err != nil {
		t.Fatal(err)
	}
	a, err := s.Act(t.Context(), "merge "+from)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestMerge(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	twoDogs(t, s)
	before := dump(t, s)
	a := merge(t, s, "bramble", "dog")
	whole(t, "after the merge", s)
	d, err := s.Dog(t.Context(), "dog")
	if err != nil {
		t.Fatal(err)
	}
	// By hand: of collar 30 and 20 the lower one counts, leash is Bramble's alone;
	// name and side stay, what Tansy lacks is added.
	if diff := cmp.Diff(map[string]float64{"collar": 20, "leash": 3}, d.Ceilings); diff != "" {
		t.Errorf("ceilings (-want +got):\n%s", diff)
	}
	if d.Name != "Tansy" || d.Side != "left" || d.WearLimitS == nil || *d.WearLimitS != 1800 || len(d.Devices) != 1 || d.Notes != "pulls to water" {
		t.Errorf("the dog that stays: %+v", d)
	}
	if _, err := s.Dog(t.Context(), "bramble"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("the other dog: %v, want ErrNotFound", err)
	}
	var got []string
	sessions, err := s.Sessions(t.Context(), "dog")
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range sessions {
		clips, err := s.Clips(t.Context(), v.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range clips {
			readings, err := s.Readings(t.Context(), c.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range readings {
				now, err := s.Reading(t.Context(), r.ID)
				if err != nil {
					t.Fatal(err)
				}
				got = append(got, fmt.Sprintf("%s/%s/%s of %s", v.ID, c.ID, r.ID, now.Dog.Name))
			}
		}
	}
	// r-shared was made after reading.
	want := []string{"session/clip/reading of Tansy", "session/clip/r-shared of Tansy", "bs/own/r-own of Tansy"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("sessions, clips, readings (-want +got):\n%s", diff)
	}
	if c, err := s.Clip(t.Context(), "clip"); err != nil || c.Window != nil {
		t.Errorf("the window of the clip that was kept: %v, %v; want all of it, as before", c.Window, err)
	}
	if dogs, err := s.UndoMerge(t.Context(), a); err != nil || len(dogs) != 2 {
		t.Fatalf("undo: %v, %v", dogs, err)
	}
	sameDump(t, "after the undo", dump(t, s), before)
	if _, err := s.UndoMerge(t.Context(), a); !errors.Is(err, ErrUndone) {
		t.Errorf("undone twice: %v, want ErrUndone", err)
	}
	sameDump(t, "after undoing twice", dump(t, s), before)
}

// What happened since a merge decides whether and how it can be taken back.
func TestUndoMergeLater(t *testing.T) {
	for _, c := range []struct {
		name string
		then func(t *testing.T, s *Store)
		want error
	}{
		{"the name is taken", func(t *testing.T, s *Store) {
			if err := s.Add(t.Context(), Addition{Dog: Dog{ID: "new", Name: "bramble", Side: "left"}, NewDog: true}); err != nil {
				t.Fatal(err)
			}
		}, ErrTaken},
		{"the name was taken by one in the bin", func(t *testing.T, s *Store) {
			if err := s.Add(t.Context(), Addition{Dog: Dog{ID: "new", Name: "bramble", Side: "left"}, NewDog: true}); err != nil {
				t.Fatal(err)
			}
			bin(t, s, "dog", "new")
		}, nil},
		{"merged on", func(t *testing.T, s *Store) {
			if err := s.Add(t.Context(), Addition{Dog: Dog{ID: "third", Name: "Third", Side: "left"}, NewDog: true}); err != nil {
				t.Fatal(err)
			}
			merge(t, s, "dog", "third")
		}, annotate.ErrNotFound},
		{"the other is in the bin", func(t *testing.T, s *Store) { bin(t, s, "dog", "dog") }, annotate.ErrNotFound},
		{"the clip that took the readings is in the bin", func(t *testing.T, s *Store) { bin(t, s, "clip", "clip") }, nil},
		{"a session that moved is in the bin", func(t *testing.T, s *Store) { bin(t, s, "session", "bs") }, nil},
		{"a reading that moved was coded", func(t *testing.T, s *Store) {
			apply(t, s, "r-shared", put("late", annotate.Event{ID: "late", Code: "remark", Start: 58_000_000, End: 58_000_000}, 0))
		}, nil},
		{"facts were set", func(t *testing.T, s *Store) {
			d, err := s.Dog(t.Context(), "dog")
			if err != nil {
				t.Fatal(err)
			}
			d.Ceilings["collar"] = 10
			if err := s.SetDog(t.Context(), d, Act{}); err != nil {
				t.Fatal(err)
			}
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
			twoDogs(t, s)
			a := merge(t, s, "bramble", "dog")
			c.then(t, s)
			before := dump(t, s)
			_, err := s.UndoMerge(t.Context(), a)
			if !errors.Is(err, c.want) {
				t.Fatalf("undo: %v, want %v", err, c.want)
			}
			whole(t, "after that", s)
			if c.want != nil {
				sameDump(t, "after the refusal", dump(t, s), before)
				return
			}
			if clip, err := s.Clip(t.Context(), "shared"); err == nil && clip.DogID != "bramble" {
				t.Errorf("Bramble's clip is now of %s", clip.DogID)
			}
			if c.name == "facts were set" {
				d, err := s.Dog(t.Context(), "dog")
				if err != nil || d.Ceilings["collar"] != 10 || d.Notes != "" || d.WearLimitS != nil {
					t.Errorf("facts after the undo: %+v, %v; want the ceiling that was set since, and nothing of Bramble's", d, err)
				}
			}
		})
	}
}

// Whatever two dogs have and whatever of it lies in the bin: a merge leaves a whole
// library and its undo every row as it was; so do binning and restoring, in any
// order that nests.
func TestMergeAndBinAtRandom(t *testing.T) {
	dir := t.TempDir()
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		path := filepath.Join(dir, fmt.Sprint(n, ".db"))
		s := openTest(t, path)
		defer func() {
			_ = s.Close()
			for _, end := range []string{"", "-wal", "-shm"} {
				_ = os.Remove(path + end)
			}
		}()
		things := randomLibrary(t, rt, s)
		for _, th := range some(rt, things, 4, "bin first") {
			if err := s.Bin(t.Context(), Act{ID: strings.Join(th[:], " "), Kind: "bin", Title: "x"}, th[0], th[1]); err != nil && !errors.Is(err, annotate.ErrNotFound) {
				rt.Fatal(err)
			}
		}
		before := dump(t, s)
		if err := s.Merge(t.Context(), Act{ID: "merge", Kind: "merge", Title: "x"}, "d0", "d1"); err != nil {
			if !errors.Is(err, annotate.ErrNotFound) {
				rt.Fatalf("merge: %v", err)
			}
			return
		}
		sound(t, rt, "after the merge", s)
		// Something is put into the bin and comes back in between.
		var put [][2]string
		for _, th := range some(rt, things, 3, "bin between") {
			if err := s.Bin(t.Context(), Act{ID: "between " + strings.Join(th[:], " "), Kind: "bin", Title: "x"}, th[0], th[1]); err == nil {
				put = append(put, th)
			}
		}
		sound(t, rt, "with things in the bin", s)
		for i := len(put) - 1; i >= 0; i-- {
			if err := s.Restore(t.Context(), put[i][0], put[i][1]); err != nil {
				rt.Fatalf("restore %v: %v", put[i], err)
			}
		}
		a, err := s.Act(t.Context(), "merge")
		if err != nil {
			rt.Fatal(err)
		}
		if _, err := s.UndoMerge(t.Context(), a); err != nil {
			rt.Fatalf("undo: %v", err)
		}
		sameDump(rt, "after the undo", dump(t, s), before)
		sound(t, rt, "after the undo", s)
	})
}

// What lies in the bin stays hidden by a merge, and hides nothing that isn't there:
// where one of two clips of the same footage is in the bin, the other keeps its
// place and only its own readings.
func TestMergeWithTheBin(t *testing.T) {
	for _, c := range []struct {
		name string
		bin  [][2]string
		want string // clips of the footage that are to be seen, with their readings
	}{
		{"nothing", nil, "clip: r-shared reading"},
		{"the clip of the dog that goes", [][2]string{{"clip", "shared"}}, "clip: reading"},
		{"its session", [][2]string{{"session", "bs"}}, "clip: reading"},
		{"the clip of the dog that stays", [][2]string{{"clip", "clip"}}, "shared: r-shared"},
		{"its session", [][2]string{{"session", "session"}}, "shared: r-shared"},
		{"both sessions", [][2]string{{"session", "session"}, {"session", "bs"}}, ""},
		{"both clips", [][2]string{{"clip", "clip"}, {"clip", "shared"}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
			twoDogs(t, s)
			for _, th := range c.bin {
				bin(t, s, th[0], th[1])
			}
			before := dump(t, s)
			a := merge(t, s, "bramble", "dog")
			whole(t, "after the merge", s)
			clips, err := s.ClipsOf(t.Context(), "v1-abc")
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, clip := range clips {
				line := clip.ID + ":"
				readings, err := s.Readings(t.Context(), clip.ID)
				if err != nil {
					t.Fatal(err)
				}
				var ids []string
				for _, r := range readings {
					ids = append(ids, r.ID)
				}
				slices.Sort(ids)
				got = append(got, line+" "+strings.Join(ids, " "))
			}
			if diff := cmp.Diff(c.want, strings.Join(got, "\n")); diff != "" {
				t.Errorf("to be seen (-want +got):\n%s", diff)
			}
			merged := dump(t, s)
			for _, th := range c.bin { // what was put there by itself can come back, unless its place is taken
				err := s.Restore(t.Context(), th[0], th[1])
				if err != nil && !errors.Is(err, ErrTaken) {
					t.Errorf("restore %v: %v", th, err)
				}
				whole(t, "after restoring", s)
				if err == nil {
					if _, err := s.write.Exec(`UPDATE `+th[0]+`s SET binned_at = (SELECT at FROM acts WHERE id = ?) WHERE id = ?`, "bin "+th[0]+" "+th[1], th[1]); err != nil {
						t.Fatal(err)
					}
				}
			}
			sameDump(t, "after putting it back into the bin", dump(t, s), merged)
			if _, err := s.UndoMerge(t.Context(), a); err != nil {
				t.Fatal(err)
			}
			sameDump(t, "after the undo", dump(t, s), before)
		})
	}
}
