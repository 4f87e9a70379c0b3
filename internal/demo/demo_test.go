package demo

import (
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/demo/coder"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/exchange"
	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
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
	if total > 20_000_000 {
		t.Errorf("the films take %d bytes, want at most 20,000,000", total)
	}
}

// What is stored as truth is what the outings, played again, come to. Processors
// differ in the last digit of what they compute, so a tick is allowed.
func TestTruthIsWhatWasPlayed(t *testing.T) {
	for i, o := range outing.Clips() {
		s, run := Stories()[i], outing.Play(o)
		if s.Name != o.Name || s.File != o.File() {
			t.Fatalf("story %d is of %s, %s", i, s.Name, s.File)
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

// Each coding is a valid reading made with the default book; each true event that
// it came to is in it within the slip that was logged, or logged as missed; nothing
// else is.
func TestCodingIsTruthWithinItsSlips(t *testing.T) {
	missed, muddled := 0, 0
	for i, s := range Stories() {
		table := facts()[i].Frames
		for _, c := range s.Codings {
			reading, err := s.Reading(c, exchange.DefaultBook())
			if err != nil {
				t.Fatal(err)
			}
			reading.Dog.Name = "any"
			if problems := reading.Validate(); problems != nil {
				t.Errorf("%s by %s: %v", s.Name, c.Reader, problems)
			}
			m, k := slipsHold(t, s, c, reading, table)
			missed, muddled = missed+m, muddled+k
			if m > len(s.Truth)/6 {
				t.Errorf("%s: %d of %d events are missed", s.Name, m, len(s.Truth))
			}
		}
	}
	if missed == 0 || muddled == 0 {
		t.Errorf("%d events are missed and %d taken for others, want some", missed, muddled)
	}
}

// slipsHold checks the slips of a coding and returns how many events were missed
// and how many taken for others.
func slipsHold(t *testing.T, s Story, c Coding, reading *annotate.Reading, table media.FrameTable) (missed, muddled int) {
	t.Helper()
	coded := map[string]annotate.Event{}
	for _, e := range reading.Events {
		coded[e.ID] = e
		for _, at := range []annotate.Micros{e.Start, e.End} {
			if _, ok := slices.BinarySearch(table.PTS, at); !ok && at != table.End {
				t.Errorf("%s: %s at %d µs is at no frame", s.Name, e.Code, at)
			}
		}
	}
	truth := map[string]annotate.Event{}
	for _, e := range events(t, s.Truth) {
		truth[e.ID] = e
	}
	for _, slip := range c.Slips {
		real, ok := truth[slip.Truth]
		if !ok {
			t.Fatalf("%s: a slip of %q, which is no true event", s.Name, slip.Truth)
		}
		delete(truth, slip.Truth)
		if slip.Missed {
			missed++
			continue
		}
		if slip.Code != "" || slip.Kind != "" {
			muddled++
			real.Code, real.Details.Kind = or(slip.Code, real.Code), or(slip.Kind, real.Details.Kind)
		}
		got, ok := coded[slip.Coded]
		if !ok {
			t.Fatalf("%s: %q is not in the coding", s.Name, slip.Coded)
		}
		delete(coded, slip.Coded)
		end := got.End - real.End
		if got.Open { // runs on where an unfinished coding ends
			end = slip.End
		}
		if got.Code != real.Code || !cmp.Equal(got.Details, real.Details) || got.Start-real.Start != slip.Start || end != slip.End {
			t.Errorf("%s: %+v is coded as %+v, logged is %+v", s.Name, real, got, slip)
		}
		if off := max(slip.Start, -slip.Start, slip.End, -slip.End); off > coder.Most {
			t.Errorf("%s: %s is off by %d µs", s.Name, real.Code, off)
		}
	}
	for id, e := range truth { // what an unfinished coding didn't come to
		if !c.Finished && e.Start >= annotate.Micros(c.EndUS)-coder.Most {
			delete(truth, id)
		}
	}
	if len(truth) > 0 || len(coded) > 0 {
		t.Errorf("%s: %d true and %d coded events have no slip", s.Name, len(truth), len(coded))
	}
	return missed, muddled
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
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
