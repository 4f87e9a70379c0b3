package demo

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/library"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

func build(t *testing.T, dir string) *library.Library {
	t.Helper()
	lib, err := Build(t.Context(), library.Config{Dir: dir, Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { lib.Close() })
	return lib
}

func TestBuildNeedsNoFfmpeg(t *testing.T) {
	without(t)
	lib := build(t, filepath.Join(t.TempDir(), "demo"))
	k := 0
	for _, h := range sessionsOf(t, lib) {
		s, o := h.Session, h.Outing
		got := outing.Outing{Venue: s.Venue, Handler: s.Handler, Line: s.Line, Device: s.Device, Plan: s.Plan, Notes: s.Notes}
		want := outing.Outing{Venue: o.Venue, Handler: o.Handler, Line: o.Line, Device: o.Device, Plan: o.Plan, Notes: o.Notes}
		if diff := cmp.Diff(want, got, cmp.AllowUnexported(outing.Outing{})); diff != "" {
			t.Errorf("the session of %s (-want +got):\n%s", o.Clips[0].Name, diff)
		}
		if s.StartedAt == nil || !s.StartedAt.Equal(o.Clips[0].At) {
			t.Errorf("%s starts at %v, want %v", o.Clips[0].Name, s.StartedAt, o.Clips[0].At)
		}
		for i, clip := range h.Counted.Clips {
			table, state, err := lib.Frames(t.Context(), clip.ID)
			if err != nil || state != store.FramesReady || !cmp.Equal(table, facts()[k].Frames) {
				t.Errorf("%s: the frame table is %s, %v", o.Clips[i].Name, state, err)
			}
			footage, err := lib.OpenFootage(t.Context(), clip.ID)
			if err != nil {
				t.Fatal(err)
			}
			footage.Close()
			k++
			r := h.Readings[i]
			if want := len(h.stories[i].Codings) > 0 && h.stories[i].Codings[0].Finished; (r != nil) != want {
				t.Errorf("%s: a reading counts: %v, want %v", o.Clips[i].Name, r != nil, want)
			}
			if r != nil && (r.Side != outing.Side(o.Dog) || r.Handler != o.Handler || r.Venue != o.Venue || r.Window.End != r.Clip.Duration) {
				t.Errorf("%s is read as %s, %s, %s, up to %d of %d µs", o.Clips[i].Name, r.Side, r.Handler, r.Venue, r.Window.End, r.Clip.Duration)
			}
		}
	}
	if report, err := lib.Check(t.Context()); err != nil || len(report.Problems) > 0 {
		t.Errorf("the library's check: %v, %v", report.Problems, err)
	}
}

// One film waits to be sorted, and is a clip of no dog.
func TestUnsorted(t *testing.T) {
	without(t)
	lib := build(t, t.TempDir())
	sessionsOf(t, lib) // fails if a session has a clip too many
	items, err := lib.Inbox(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want := Stories()[len(Stories())-1].File
	if len(items) != 1 || filepath.Base(items[0].Footage.Path) != want || items[0].State != store.InboxWaiting {
		t.Errorf("the inbox holds %+v, want %s alone, waiting", items, want)
	}
}

// The bin holds what was begun by mistake, once.
func TestDiscarded(t *testing.T) {
	without(t)
	dir := t.TempDir()
	for range 2 {
		lib := build(t, dir)
		there, err := lib.BinContents(t.Context())
		if err != nil || len(there) != 1 || there[0].Kind != "reading" {
			t.Errorf("the bin holds %+v, %v, want one reading", there, err)
		}
		if err := lib.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// What is known of the dogs is in the library and holds for its readings.
func TestDogs(t *testing.T) {
	without(t)
	lib := build(t, t.TempDir())
	list, err := lib.Dogs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != len(dogs) {
		t.Errorf("%d dogs, want %d", len(list), len(dogs))
	}
	for _, d := range list {
		want := dogs[d.Name]
		if d.Side != outing.Side(d.Name) || d.Notes != want.Notes || !cmp.Equal(d.Devices, want.Devices) ||
			!cmp.Equal(d.Ceilings, want.Ceilings, cmpopts.EquateEmpty()) || !cmp.Equal(d.WearLimitS, want.WearLimitS) {
			t.Errorf("%s is %+v", d.Name, d.Dog)
		}
	}
	for _, h := range sessionsOf(t, lib) {
		for _, r := range h.Readings {
			if r != nil && !cmp.Equal(r.Dog.Ceilings, dogs[h.Dog].Ceilings, cmpopts.EquateEmpty()) {
				t.Errorf("a reading of %s has the ceilings %v", h.Dog, r.Dog.Ceilings)
			}
		}
	}
}

// Of every kind of work there is some: a clip nobody has read, one that somebody
// is at, one that two have read.
func TestStatesOfReadings(t *testing.T) {
	got := map[string]int{}
	for _, s := range Stories() {
		switch {
		case len(s.Codings) == 0:
			got["unread"]++
		case len(s.Codings) == 2:
			got["two readers"]++
		case !s.Codings[0].Finished:
			got["unfinished"]++
		default:
			got["finished"]++
		}
	}
	want := map[string]int{"unread": 2, "two readers": 1, "unfinished": 1, "finished": 8} // one of the unread is the film in no session
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("clips by state (-want +got):\n%s", diff)
	}
}

// What the user changed stays; what is gone comes back.
func TestBuildAgain(t *testing.T) {
	without(t)
	dir := t.TempDir()
	lib := build(t, dir)
	changed := sessionsOf(t, lib)[0].Session
	changed.Venue = "Elsewhere"
	if err := lib.SetSession(t.Context(), changed); err != nil {
		t.Fatal(err)
	}
	if err := lib.Close(); err != nil {
		t.Fatal(err)
	}
	film := filepath.Join(dir, "footage", Stories()[1].File)
	if err := os.Remove(film); err != nil {
		t.Fatal(err)
	}
	lib = build(t, dir)
	sessions := sessionsOf(t, lib)
	if got := sessions[0].Session.Venue; got != "Elsewhere" {
		t.Errorf("the venue is %q again", got)
	}
	if _, err := os.Stat(film); err != nil {
		t.Error(err)
	}
	if n := readings(t, lib, sessions); n != 11 {
		t.Errorf("%d readings, want 11", n)
	}
}

func readings(t *testing.T, lib *library.Library, sessions []held) (n int) {
	t.Helper()
	for _, c := range sessions {
		for _, clip := range c.Clips {
			list, err := lib.Readings(t.Context(), clip.ID)
			if err != nil {
				t.Fatal(err)
			}
			n += len(list)
		}
	}
	return n
}

// A build that was cut short is finished by the next one.
func TestBuildGoesOn(t *testing.T) {
	without(t)
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Build(ctx, library.Config{Dir: dir}); err == nil {
		t.Fatal("a build that was stopped says that it is done")
	}
	lib := build(t, dir)
	if err := lib.Close(); err != nil {
		t.Fatal(err)
	}
	// As if the program had ended just before the last step.
	if err := os.WriteFile(filepath.Join(dir, mark), []byte(building), 0o600); err != nil {
		t.Fatal(err)
	}
	lib = build(t, dir)
	sessions := sessionsOf(t, lib)
	if n := readings(t, lib, sessions); n != 11 {
		t.Errorf("%d readings, want 11", n)
	}
}

func TestBuildRefusesOtherFolders(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "library.db"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Build(t.Context(), library.Config{Dir: dir})
	if err == nil || !strings.Contains(err.Error(), dir) {
		t.Errorf("Build in a folder of others = %v, want an error that names it", err)
	}
	if text, _ := os.ReadFile(filepath.Join(dir, "library.db")); string(text) != "mine" {
		t.Error("the other file was touched")
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("the folder holds %v now", entries)
	}
}

// Files that aren't the demo's are left to ffprobe, or need one.
func TestProberOfOtherFiles(t *testing.T) {
	without(t)
	path := filepath.Join(t.TempDir(), "other.mp4")
	if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Prober().Probe(t.Context(), path)
	var fault *media.Fault
	if !errors.As(err, &fault) || fault.Kind != "no-tools" {
		t.Errorf("Probe of another file = %v, want a no-tools fault", err)
	}
}
