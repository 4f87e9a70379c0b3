package demo

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
	"afterwalk/internal/store"
	"afterwalk/internal/wire"
)

func events(t *testing.T, list []wire.Event) (out []annotate.Event) {
	t.Helper()
	for _, e := range list {
		event, err := e.Event()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, event)
	}
	return out
}

// The films are small enough to be built in.
func TestSize(t *testing.T) {
	total := int64(0)
	for _, f := range facts() {
		total += f.Probe.Size
	}
	if total > 6_000_000 {
		t.Errorf("the films take %d bytes, want at most 6,000,000", total)
	}
}

// What is stored as truth is what the outings, played again, come to. Processors
// differ in the last digit of what they compute, so a tick is allowed.
func TestTruthIsWhatWasPlayed(t *testing.T) {
	for i, o := range outing.Outings() {
		s, run := Stories()[i], outing.Play(o)
		if s.Name != o.Name || s.File != o.File() || s.Venue != o.Venue {
			t.Fatalf("story %d is of %s, %s, %s", i, s.Name, s.File, s.Venue)
		}
		truth := events(t, s.Truth)
		if len(truth) != len(run.Truth) {
			t.Fatalf("%s: %d true events are stored, %d were played; go run ./internal/demo/render makes them again", s.Name, len(truth), len(run.Truth))
		}
		near := cmp.Comparer(func(a, b annotate.Micros) bool { return a-b < 20_000 && b-a < 20_000 })
		if diff := cmp.Diff(run.Truth, truth, near); diff != "" {
			t.Errorf("%s (-played +stored):\n%s", s.Name, diff)
		}
		if f := facts()[i]; len(f.Frames.PTS) != len(run.Frames) {
			t.Errorf("%s: the film has %d frames, %d were played", s.Name, len(f.Frames.PTS), len(run.Frames))
		}
	}
}

// The coding is a valid reading made with the default book; each true event is in
// it within the slip that was logged, or logged as missed; nothing else is.
func TestCodingIsTruthWithinItsSlips(t *testing.T) {
	for i, s := range Stories() {
		reading, err := s.Reading(exchange.DefaultBook())
		if err != nil {
			t.Fatal(err)
		}
		if problems := reading.Validate(); problems != nil {
			t.Errorf("%s: %v", s.Name, problems)
		}
		coded := map[string]annotate.Event{}
		for _, e := range reading.Events {
			coded[e.ID] = e
			for _, at := range []annotate.Micros{e.Start, e.End} {
				table := facts()[i].Frames
				if _, ok := slices.BinarySearch(table.PTS, at); !ok && at != table.End {
					t.Errorf("%s: %s at %d µs is at no frame", s.Name, e.Code, at)
				}
			}
		}
		truth := map[string]annotate.Event{}
		for _, e := range events(t, s.Truth) {
			truth[e.ID] = e
		}
		missed := 0
		for _, slip := range s.Slips {
			real, ok := truth[slip.Truth]
			if !ok {
				t.Fatalf("%s: a slip of %q, which is no true event", s.Name, slip.Truth)
			}
			delete(truth, slip.Truth)
			if slip.Missed {
				missed++
				continue
			}
			c, ok := coded[slip.Coded]
			if !ok {
				t.Fatalf("%s: %q is not in the coding", s.Name, slip.Coded)
			}
			delete(coded, slip.Coded)
			if c.Code != real.Code || !cmp.Equal(c.Details, real.Details) || c.Start-real.Start != slip.Start || c.End-real.End != slip.End {
				t.Errorf("%s: %+v is coded as %+v, logged is %+v", s.Name, real, c, slip)
			}
			if off := max(slip.Start, -slip.Start, slip.End, -slip.End); off > 300_000 {
				t.Errorf("%s: %s is off by %d µs", s.Name, real.Code, off)
			}
		}
		if len(truth) > 0 || len(coded) > 0 {
			t.Errorf("%s: %d true and %d coded events have no slip", s.Name, len(truth), len(coded))
		}
		if missed == 0 || missed > len(s.Truth)/6 {
			t.Errorf("%s: %d of %d events are missed", s.Name, missed, len(s.Truth))
		}
	}
}

// The stored facts are what ffprobe says of the films.
func TestFactsAreWhatFfprobeSays(t *testing.T) {
	tools := mediatest.Tools(t)
	films, err := unpack(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	for i, path := range films {
		got, err := Examine(t.Context(), tools, path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(facts()[i], got); diff != "" {
			t.Errorf("%s (-stored +now):\n%s", filepath.Base(path), diff)
		}
		if p := got.Probe; p.NeedsProxy != "" || p.Silent != "" || p.Audio != "aac" || p.Height != 720 || p.RecordedZone != "+01:00" {
			t.Errorf("%s is %+v", filepath.Base(path), p)
		}
	}
}

// without takes ffmpeg away.
func without(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	t.Setenv(media.FolderVar, t.TempDir())
}

func build(t *testing.T, dir string) *library.Library {
	t.Helper()
	lib, err := Build(t.Context(), library.Config{Dir: dir, Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { lib.Close() })
	return lib
}

// look returns the demo's dog, its sessions and what counts in them.
func look(t *testing.T, lib *library.Library) (store.DogSummary, []library.Counted) {
	t.Helper()
	dogs, err := lib.Dogs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(dogs) != 1 {
		t.Fatalf("%d dogs, want one", len(dogs))
	}
	counted, err := lib.Counting(t.Context(), dogs[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	return dogs[0], counted
}

func TestBuildNeedsNoFfmpeg(t *testing.T) {
	without(t)
	dir := filepath.Join(t.TempDir(), "demo")
	lib := build(t, dir)
	dog, sessions := look(t, lib)
	if dog.Name != "Tansy" || len(sessions) != 2 {
		t.Fatalf("%s has %d sessions", dog.Name, len(sessions))
	}
	for i, c := range sessions {
		s := Stories()[i]
		if c.Session.Venue != s.Venue || c.Session.Handler != "I. Varga" || c.Session.Plan == "" || c.Session.StartedAt == nil || !c.Session.StartedAt.Equal(outing.Outings()[i].At) {
			t.Errorf("session %d is %+v", i, c.Session)
		}
		if len(c.Clips) != 1 || len(c.Readings) != 1 || c.Readings[0] == nil {
			t.Fatalf("session %d has %d clips, readings %v", i, len(c.Clips), c.Readings)
		}
		r := c.Readings[0]
		if len(r.Events) != len(s.Coding) || !r.Finished || r.Reader != "I. Varga" || r.Window.End != r.Clip.Duration {
			t.Errorf("session %d: the reading has %d of %d events, finished %v, window %v of %d", i, len(r.Events), len(s.Coding), r.Finished, r.Window, r.Clip.Duration)
		}
		table, state, err := lib.Frames(t.Context(), c.Clips[0].ID)
		if err != nil || state != store.FramesReady || !cmp.Equal(table, facts()[i].Frames) {
			t.Errorf("session %d: the frame table is %s, %v", i, state, err)
		}
		footage, err := lib.OpenFootage(t.Context(), c.Clips[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		footage.Close()
	}
}

// What the user changed stays; what is gone comes back.
func TestBuildAgain(t *testing.T) {
	without(t)
	dir := t.TempDir()
	lib := build(t, dir)
	_, sessions := look(t, lib)
	changed := sessions[0].Session
	changed.Venue = "Quarry Car Park"
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
	_, sessions = look(t, lib)
	if got := sessions[0].Session.Venue; got != "Quarry Car Park" {
		t.Errorf("the venue is %q again", got)
	}
	if _, err := os.Stat(film); err != nil {
		t.Error(err)
	}
	if n := readings(t, lib, sessions); n != 2 {
		t.Errorf("%d readings, want 2", n)
	}
}

func readings(t *testing.T, lib *library.Library, sessions []library.Counted) (n int) {
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
	_, sessions := look(t, lib)
	if n := readings(t, lib, sessions); len(sessions) != 2 || n != 2 {
		t.Errorf("%d sessions with %d readings, want 2 and 2", len(sessions), n)
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
