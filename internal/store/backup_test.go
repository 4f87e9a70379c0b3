package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"afterwalk/annotate"
)

// A backup made while edits are being written is whole, holds at least what was
// written before it began, and can take the library's place.
func TestBackupUnderWrites(t *testing.T) {
	dir := t.TempDir()
	s := openTest(t, filepath.Join(dir, "library.db"))
	fill(t, s)
	stop := make(chan struct{})
	var mu sync.Mutex
	written := int64(0)
	var group sync.WaitGroup
	group.Go(func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
			}
			next := apply(t, s, "reading", put(fmt.Sprint("edit ", i), annotate.Event{ID: fmt.Sprint(i), Code: "remark", Start: annotate.Micros(i), End: annotate.Micros(i)}, 0))
			mu.Lock()
			written = next.Revision
			mu.Unlock()
		}
	})
	for i := range 5 {
		mu.Lock()
		before := written
		mu.Unlock()
		path := filepath.Join(dir, fmt.Sprintf("backup '%d' ?#%%.db", i))
		if err := s.Backup(t.Context(), path); err != nil {
			t.Errorf("backup %d: %v", i, err)
			break
		}
		mu.Lock()
		after := written
		mu.Unlock()
		back := openTest(t, path) // it may be written to: it is a library
		c, err := back.Check(t.Context())
		if err != nil || len(c.Problems) > 0 {
			t.Errorf("check of backup %d: %v, %v", i, c.Problems, err)
		}
		r, err := back.Reading(t.Context(), "reading")
		if err != nil {
			t.Fatal(err)
		}
		if r.Revision < before || r.Revision > after+1 {
			t.Errorf("backup %d holds revision %d; %d was written before it began and %d when it was done", i, r.Revision, before, after)
		}
		apply(t, back, "reading", put("in the backup", annotate.Event{ID: "z", Code: "remark", Start: 1, End: 1}, 0))
		if mode := pragma(t, back.write, "journal_mode"); mode != "wal" {
			t.Errorf("a backup that is written to has journal mode %s, want wal", mode)
		}
	}
	close(stop)
	group.Wait()
}

// A backup that can't be made, or that isn't whole, leaves nothing behind and
// replaces nothing.
func TestFailedBackupLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	s := openTest(t, filepath.Join(dir, "library.db"))
	fill(t, s)
	code(t, s, "reading")
	there := filepath.Join(dir, "there.db")
	if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(t.Context(), there); !errors.Is(err, fs.ErrExist) {
		t.Errorf("backup over a file: %v, want ErrExist", err)
	}
	if text, err := os.ReadFile(there); err != nil || string(text) != "mine" {
		t.Errorf("the file that was there is now %q, %v", text, err)
	}
	if err := s.Backup(t.Context(), filepath.Join(dir, "no folder", "b.db")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("backup into a folder that isn't there: %v, want ErrNotExist", err)
	}
	if _, err := s.write.Exec(`UPDATE events SET start_us = start_us + 1`); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(t.Context(), filepath.Join(dir, "b.db")); err == nil {
		t.Error("a backup of a damaged library was called whole")
	}
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil {
		t.Fatal(err)
	}
	hidden, err := filepath.Glob(filepath.Join(dir, ".*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range append(left, hidden...) {
		switch filepath.Base(path) {
		case "library.db", "library.db-wal", "library.db-shm", "there.db":
		default:
			t.Errorf("%s was left behind", filepath.Base(path))
		}
	}
}

// A file that came to a backup's place while it was being made is left alone.
func TestPlaceReplacesNothing(t *testing.T) {
	dir := t.TempDir()
	part, there := filepath.Join(dir, "part"), filepath.Join(dir, "there")
	for path, text := range map[string]string{part: "copy", there: "mine"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := place(part, there); !errors.Is(err, fs.ErrExist) {
		t.Errorf("place over a file: %v, want ErrExist", err)
	}
	if text, err := os.ReadFile(there); err != nil || string(text) != "mine" {
		t.Errorf("the file that was there is now %q, %v", text, err)
	}
	free := filepath.Join(dir, "free")
	if err := place(part, free); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(free); err != nil || string(text) != "copy" {
		t.Errorf("at a free place: %q, %v", text, err)
	}
	if err := place(filepath.Join(dir, "none"), filepath.Join(dir, "other")); err == nil {
		t.Error("nothing was moved, and no error")
	}
	if _, err := os.Stat(filepath.Join(dir, "other")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a name that was taken in vain is left: %v", err)
	}
}
