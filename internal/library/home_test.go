package library

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterwalk/annotate"
)

func TestSizes(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	before, err := l.Sizes(t.Context())
	if err != nil || before.Database == 0 || before.Copies != 0 || before.Exports != 0 {
		t.Fatalf("of a new library: %+v, %v", before, err)
	}
	write(t, filepath.Join(l.Dir(), "media", "a.mp4"), strings.Repeat("x", 1000))
	write(t, filepath.Join(l.Dir(), "exports", "deep", "b.txt"), strings.Repeat("x", 300))
	write(t, filepath.Join(l.Dir(), "footage", "c.mp4"), strings.Repeat("x", 70))
	if err := os.Symlink("/", filepath.Join(l.Dir(), "media", "everything")); err != nil {
		t.Fatal(err)
	}
	got, err := l.Sizes(t.Context())
	if err != nil || got.Copies != 1000 || got.Exports != 300 || got.Others != before.Others+70 || got.Total() != got.Database+1300+got.Others {
		t.Errorf("sizes = %+v, %v, want 1000 of copies, 300 of exports, 70 of others more; a link isn't followed", got, err)
	}
}

func TestBackupHere(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	if list, err := l.BackupsHere(); err != nil || len(list) > 0 {
		t.Errorf("of a new library: %v, %v", list, err)
	}
	var names []string
	for range 2 { // within a second or not, none replaces another
		name, err := l.BackupHere(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	write(t, filepath.Join(l.Dir(), "exports", "notes.db"), "x")
	list, err := l.BackupsHere()
	if err != nil || len(list) == 0 || len(list) > 2 || list[0].Name != names[1] || list[0].Size == 0 {
		t.Errorf("backups %v: %v, %v", names, list, err)
	}
}

func TestForgetFolder(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	home := t.TempDir()
	add(t, l, write(t, filepath.Join(home, "a.mp4"), "a"))
	folders, err := l.Folders(t.Context())
	if err != nil || len(folders) != 1 || folders[0] != home {
		t.Fatalf("folders = %v, %v, want %s", folders, err, home)
	}
	if err := l.ForgetFolder(t.Context(), filepath.Join(home, "other")); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("forgetting one that isn't known: %v", err)
	}
	if err := l.ForgetFolder(t.Context(), home); err != nil {
		t.Fatal(err)
	}
	if folders, err := l.Folders(t.Context()); err != nil || len(folders) > 0 {
		t.Errorf("folders = %v, %v, want none", folders, err)
	}
	add(t, l, write(t, filepath.Join(home, "b.mp4"), "b"))
	if folders, err := l.Folders(t.Context()); err != nil || len(folders) != 1 {
		t.Errorf("after adding from it again: %v, %v", folders, err)
	}
}

func TestNewDog(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id, err := l.NewDog(t.Context(), " Bramble ")
	if err != nil {
		t.Fatal(err)
	}
	if d, err := l.Dog(t.Context(), id); err != nil || d.Name != "Bramble" || d.Side != "left" {
		t.Errorf("made %+v, %v", d, err)
	}
	for _, name := range []string{"", " ", "bramble", "BRAMBLE  ", strings.Repeat("x", 301), "a\x00b", "\xff"} {
		_, err := l.NewDog(t.Context(), name)
		var p annotate.Problems
		if !errors.As(err, &p) || p[0].Field != "name" {
			t.Errorf("NewDog(%.20q) = %v, want a problem of the name", name, err)
		}
	}
	// Clips of that name are this dog's.
	report, err := l.Add(t.Context(), AddRequest{Dog: "bramble", Paths: []string{write(t, filepath.Join(t.TempDir(), "a.mp4"), "a")}}, nil)
	if err != nil || report.Files[0].ClipID == "" {
		t.Fatalf("%+v, %v", report, err)
	}
	if c, err := l.Clip(t.Context(), report.Files[0].ClipID); err != nil || c.DogID != id {
		t.Errorf("the clip is of dog %s, %v, want %s", c.DogID, err, id)
	}
}
