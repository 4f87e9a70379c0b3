package library

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// A desk that is still open on a reading in the bin is refused, and after the
// reading is back the same edit is taken; measures pass over it meanwhile.
func TestEditInTheBin(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	if _, err := l.Apply(t.Context(), id, remark("before", "a", 1), nil); err != nil {
		t.Fatal(err)
	}
	if _, err := l.Apply(t.Context(), id, annotate.Edit{ID: "done", Set: &annotate.Facts{Finished: new(true)}}, nil); err != nil {
		t.Fatal(err)
	}
	clip, err := l.ReadingClip(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	c, err := l.Clip(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	for kind, what := range map[string]string{"reading": id, "clip": clip, "session": c.SessionID, "dog": c.DogID} {
		if _, err := l.Reading(t.Context(), id); err != nil { // it is in memory
			t.Fatal(err)
		}
		act, err := l.Bin(t.Context(), kind, what)
		if err != nil {
			t.Fatal(err)
		}
		late := remark("late "+kind, kind, 2)
		if _, err := l.Apply(t.Context(), id, late, nil); !errors.Is(err, store.ErrBinned) || !errors.Is(err, annotate.ErrNotFound) {
			t.Errorf("%s in the bin: edit: %v, want ErrBinned", kind, err)
		}
		if _, err := l.Apply(t.Context(), id, remark("before", "a", 1), nil); !errors.Is(err, store.ErrBinned) {
			t.Errorf("%s in the bin: an edit sent again: %v, want ErrBinned", kind, err)
		}
		if _, err := l.Reading(t.Context(), id); !errors.Is(err, store.ErrBinned) {
			t.Errorf("%s in the bin: reading: %v, want ErrBinned", kind, err)
		}
		counted, err := l.Counting(t.Context(), c.DogID)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range counted {
			for _, r := range s.Readings {
				if r != nil {
					t.Errorf("%s in the bin: its reading counts", kind)
				}
			}
		}
		if kind != "reading" {
			if _, err := l.NewReading(t.Context(), clip, "P. Quill"); !errors.Is(err, annotate.ErrNotFound) {
				t.Errorf("%s in the bin: a new reading: %v, want ErrNotFound", kind, err)
			}
		}
		if err := l.Undo(t.Context(), act); err != nil {
			t.Fatal(err)
		}
		if out, err := l.Apply(t.Context(), id, late, nil); err != nil || out.Repeated {
			t.Errorf("%s back: edit: %+v, %v", kind, out, err)
		}
		var p annotate.Problems
		if err := l.Undo(t.Context(), act); !errors.As(err, &p) || !strings.Contains(p[0].Message, "taken back already") {
			t.Errorf("taken back twice: %v", err)
		}
	}
	if err := l.Undo(t.Context(), "none"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("an act that isn't there: %v", err)
	}
	well(t, l)
}

// Titles say what lies in the bin and where it belongs, and refusals what to do.
func TestBinContents(t *testing.T) {
	at := day
	dir := t.TempDir()
	film := write(t, filepath.Join(t.TempDir(), "walk.mp4"), "walk")
	l, err := Open(t.Context(), Config{Dir: dir, Prober: &prober{probes: map[string]media.Probe{"walk.mp4": recorded(0)}}, DefaultBook: testBook(), Now: func() time.Time { return at }})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	clip := add(t, l, film)[0].ClipID
	id, err := l.NewReading(t.Context(), clip, "P. Quill")
	if err != nil {
		t.Fatal(err)
	}
	c, err := l.Clip(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	dog, err := l.Dog(t.Context(), c.DogID)
	if err != nil {
		t.Fatal(err)
	}
	for _, th := range [][2]string{{"reading", id}, {"clip", clip}, {"session", c.SessionID}, {"dog", c.DogID}} {
		at = at.Add(time.Minute)
		act, err := l.Bin(t.Context(), th[0], th[1])
		if err != nil {
			t.Fatal(err)
		}
		if a, err := l.Act(t.Context(), act); err != nil || !strings.HasSuffix(a.Title, " is in the bin.") {
			t.Errorf("act: %+v, %v", a, err)
		}
	}
	list, err := l.BinContents(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, b := range list {
		got = append(got, b.Kind+": "+b.Title+" | "+b.Where)
		if !b.Until.Equal(b.At.Add(30 * 24 * time.Hour)) {
			t.Errorf("%s stays from %v to %v, want 30 days", b.Kind, b.At, b.Until)
		}
	}
	want := []string{
		"dog: " + dog.Name + " | ",
		"session: The session of 9 May 2026 | " + dog.Name,
		"clip: walk.mp4 | " + dog.Name + ", session of 9 May 2026",
		"reading: P. Quill's reading | walk.mp4, " + dog.Name + ", session of 9 May 2026",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("in the bin:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	var p annotate.Problems
	if err := l.Restore(t.Context(), "clip", clip); !errors.As(err, &p) || !strings.Contains(p[0].Message, "The dog that it belongs to lies in the bin as well") {
		t.Errorf("restore below: %v", err)
	}
	if _, err := l.NewDog(t.Context(), dog.Name); err != nil {
		t.Fatal(err)
	}
	if err := l.Restore(t.Context(), "dog", c.DogID); !errors.As(err, &p) || !strings.Contains(p[0].Message, "Another dog has this name") || p[0].Hint == "" {
		t.Errorf("restore beside another of its name: %v", err)
	}
}

// A clip in the bin comes back when its film is added again, with its readings: into
// its own session, or where that is in the bin, into another.
func TestAddAgainFromTheBin(t *testing.T) {
	for _, kind := range []string{"clip", "session"} {
		t.Run(kind, func(t *testing.T) {
			l := start(t, t.TempDir(), &prober{probes: map[string]media.Probe{"walk.mp4": recorded(0), "other.mp4": recorded(2)}})
			folder := t.TempDir()
			film := write(t, filepath.Join(folder, "walk.mp4"), "walk")
			other := write(t, filepath.Join(folder, "other.mp4"), "other")
			clip := add(t, l, film, other)[0].ClipID
			id, err := l.NewReading(t.Context(), clip, "P. Quill")
			if err != nil {
				t.Fatal(err)
			}
			c, err := l.Clip(t.Context(), clip)
			if err != nil {
				t.Fatal(err)
			}
			what := map[string]string{"clip": clip, "session": c.SessionID}[kind]
			act, err := l.Bin(t.Context(), kind, what)
			if err != nil {
				t.Fatal(err)
			}
			again := add(t, l, film)
			if again[0].ClipID != clip || !again[0].Back || again[0].Problem != "" {
				t.Errorf("added again: %+v, want the same clip back", again[0])
			}
			now, err := l.Clip(t.Context(), clip)
			if err != nil {
				t.Fatal(err)
			}
			if (now.SessionID == c.SessionID) != (kind == "clip") {
				t.Errorf("its session was %s and is %s", c.SessionID, now.SessionID)
			}
			if readings, err := l.Readings(t.Context(), clip); err != nil || len(readings) != 1 || readings[0].ID != id {
				t.Errorf("readings: %v, %v", readings, err)
			}
			if once := add(t, l, film); !once[0].Again || once[0].Back {
				t.Errorf("added a third time: %+v", once[0])
			}
			err = l.Undo(t.Context(), act)
			var p annotate.Problems
			if kind == "clip" && (!errors.As(err, &p) || !strings.Contains(p[0].Message, "taken back already")) {
				t.Errorf("undo of what came back by itself: %v", err)
			}
			if kind == "session" {
				if err != nil {
					t.Errorf("undo: %v", err)
				}
				if clips, err := l.Clips(t.Context(), c.SessionID); err != nil || len(clips) != 1 {
					t.Errorf("the session that came back has %d clips, %v; want the other one", len(clips), err)
				}
			}
			well(t, l)
		})
	}
}

// After 30 days what lies in the bin is gone at the next start, with what was made
// from its footage, but never the footage.
func TestBinIsEmptied(t *testing.T) {
	at := day
	dir := t.TempDir()
	film := write(t, filepath.Join(t.TempDir(), "walk.mp4"), "walk")
	open := func() *Library {
		t.Helper()
		l, err := Open(t.Context(), Config{Dir: dir, Prober: &prober{}, DefaultBook: testBook(), Now: func() time.Time { return at }})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = l.Close() })
		return l
	}
	l := open()
	clip := add(t, l, film)[0].ClipID
	id, err := l.NewReading(t.Context(), clip, "P. Quill")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Apply(t.Context(), id, remark("e", "a", 1), nil); err != nil {
		t.Fatal(err)
	}
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	c, err := l.Clip(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	copied := write(t, l.proxyPath(c.Footage.ID), "copy")
	mine := write(t, filepath.Join(dir, "media", "mine.mp4"), "not the program's")
	if _, err := l.Bin(t.Context(), "dog", c.DogID); err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct {
		after time.Duration
		left  int
	}{{30*24*time.Hour - time.Microsecond, 1}, {time.Microsecond, 0}, {time.Hour, 0}} {
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
		at = at.Add(step.after)
		l = open()
		if list, err := l.BinContents(t.Context()); err != nil || len(list) != step.left {
			t.Errorf("at %v: %d in the bin, %v; want %d", at, len(list), err, step.left)
		}
		if _, err := os.Stat(copied); (err == nil) != (step.left > 0) {
			t.Errorf("at %v: the copy for browsers: %v", at, err)
		}
		well(t, l)
	}
	for _, path := range []string{film, mine} {
		if _, err := os.Stat(path); err != nil {
			t.Errorf("%s is gone: %v", filepath.Base(path), err)
		}
	}
	if list, err := l.Search(t.Context(), "walk", 0); err != nil || len(list) > 0 {
		t.Errorf("found after that: %v, %v", list, err)
	}
}
