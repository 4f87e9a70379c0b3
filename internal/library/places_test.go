package library

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"afterwalk/internal/media"
)

// content opens a clip's footage and reads it.
func content(t *testing.T, l *Library, clip string) (string, error) {
	t.Helper()
	f, err := l.OpenFootage(t.Context(), clip)
	if err != nil {
		return "", err
	}
	defer f.Close()
	b, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(b), nil
}

func mustContent(t *testing.T, l *Library, clip, want string) {
	t.Helper()
	if got, err := content(t, l, clip); err != nil || got != want {
		t.Errorf("footage holds %q, %v; want %q", got, err, want)
	}
}

// missing expects the fault of footage that can't be found.
func missing(t *testing.T, l *Library, clip, name string) {
	t.Helper()
	_, err := content(t, l, clip)
	var fault *media.Fault
	if !errors.As(err, &fault) || fault.Kind != "unreadable" || !strings.Contains(fault.Message, name) || fault.Hint == "" {
		t.Errorf("missing footage: %v, want a fault that names %s and says what to do", err, name)
	}
	c, err := l.Clip(t.Context(), clip)
	if err != nil || !c.Footage.Missing {
		t.Errorf("the clip of missing footage: %+v, %v; want Missing", c.Footage, err)
	}
}

// settableClock is a clock that stands until it is set on.
type settableClock struct{ at time.Time }

func (c *settableClock) now() time.Time { return c.at }

func TestOpenFootageFindsMovedFiles(t *testing.T) {
	clock := &settableClock{at: day}
	l, err := Open(t.Context(), Config{Dir: t.TempDir(), Prober: &prober{}, Now: clock.now})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	dir := t.TempDir()
	card, disk := filepath.Join(dir, "card"), filepath.Join(dir, "disk")
	a := write(t, filepath.Join(card, "a.mp4"), "content of a")
	write(t, filepath.Join(disk, "old.mp4"), "an older clip")
	clip := add(t, l, card, disk)[0].ClipID
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	mustContent(t, l, clip, "content of a")

	// Moved and renamed into another known folder, beside files of the same size.
	write(t, filepath.Join(disk, "2026", "decoy.mp4"), "content of b")
	moved := filepath.Join(disk, "2026", "walk.mp4")
	if err := os.Rename(a, moved); err != nil {
		t.Fatal(err)
	}
	mustContent(t, l, clip, "content of a")
	c, err := l.Clip(t.Context(), clip)
	if err != nil || c.Footage.Root != disk || c.Footage.Path != "2026/walk.mp4" || c.Footage.Missing {
		t.Errorf("after the move: %+v, %v", c.Footage, err)
	}

	// Replaced by another file of the same size at the same place.
	write(t, moved, "content of c")
	missing(t, l, clip, "walk.mp4")

	// Back again: a search is not repeated at once, but the old place is looked at.
	write(t, moved, "content of a")
	mustContent(t, l, clip, "content of a")
	if c, _ := l.Clip(t.Context(), clip); c.Footage.Missing {
		t.Error("footage that is back still counts as missing")
	}

	// Gone, then found elsewhere when some time has passed.
	if err := os.Rename(moved, filepath.Join(dir, "away.mp4")); err != nil {
		t.Fatal(err)
	}
	missing(t, l, clip, "walk.mp4")
	if err := os.Rename(filepath.Join(dir, "away.mp4"), filepath.Join(card, "b.mp4")); err != nil {
		t.Fatal(err)
	}
	missing(t, l, clip, "walk.mp4")
	clock.at = clock.at.Add(searchAgain)
	mustContent(t, l, clip, "content of a")

	// Adding a folder that holds it doesn't wait for that.
	if err := os.Rename(filepath.Join(card, "b.mp4"), filepath.Join(dir, "away.mp4")); err != nil {
		t.Fatal(err)
	}
	missing(t, l, clip, "b.mp4")
	add(t, l, filepath.Join(dir, "away.mp4"))
	mustContent(t, l, clip, "content of a")
}

// Nothing outside the added folders is opened, whatever a link or a row says.
func TestOpenFootageStaysInside(t *testing.T) {
	lib := t.TempDir()
	l := start(t, lib, &prober{})
	dir := t.TempDir()
	secret := write(t, filepath.Join(t.TempDir(), "secret.mp4"), "content of a")
	a := write(t, filepath.Join(dir, "a.mp4"), "content of a")
	clip := add(t, l, a)[0].ClipID
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(a); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(secret, a); err != nil {
		t.Fatal(err)
	}
	missing(t, l, clip, "a.mp4")
	l.places.forget()
	if err := os.Remove(a); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(a, 0o700); err != nil {
		t.Fatal(err)
	}
	missing(t, l, clip, "a.mp4")
	for _, below := range []string{"../" + filepath.Base(filepath.Dir(secret)) + "/secret.mp4", secret, ""} {
		l.places.forget()
		if _, err := byHand(t, lib).Exec(`UPDATE footage SET path = ?`, below); err != nil {
			t.Fatal(err)
		}
		if got, err := content(t, l, clip); err == nil {
			t.Errorf("with the path %q, %q was read", below, got)
		}
	}
}

// A library open for reading finds moved footage too, though it can't note it.
func TestReadOnlyFindsMovedFiles(t *testing.T) {
	lib := t.TempDir()
	l := start(t, lib, &prober{})
	dir := t.TempDir()
	a := write(t, filepath.Join(dir, "a.mp4"), "content of a")
	clip := add(t, l, dir)[0].ClipID
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(a, filepath.Join(dir, "b.mp4")); err != nil {
		t.Fatal(err)
	}
	ro, err := Open(t.Context(), Config{Dir: lib, ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer ro.Close()
	mustContent(t, ro, clip, "content of a")
	if err := os.Remove(filepath.Join(dir, "b.mp4")); err != nil {
		t.Fatal(err)
	}
	var fault *media.Fault
	if _, err := content(t, ro, clip); !errors.As(err, &fault) {
		t.Errorf("gone: %v, want a fault", err)
	}
}

func TestSearchStops(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	dir := t.TempDir()
	a := write(t, filepath.Join(dir, "a.mp4"), "content of a")
	clip := add(t, l, dir)[0].ClipID
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	c, err := l.Clip(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(a, filepath.Join(dir, "b.mp4")); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := l.find(ctx, c.Footage); !errors.Is(err, context.Canceled) {
		t.Errorf("a search that was stopped: %v", err)
	}
	mustContent(t, l, clip, "content of a") // it wasn't noted as in vain
}
