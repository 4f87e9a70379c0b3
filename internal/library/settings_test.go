package library

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
)

func TestSettings(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	got, err := l.Settings(t.Context())
	if diff := cmp.Diff(Settings{Gap: 30 * time.Minute, MakeProxies: true, SearchKey: true}, got); err != nil || diff != "" {
		t.Errorf("of a new library: %v (-want +got)\n%s", err, diff)
	}
	want := Settings{Reader: "P. Quill", Gap: 90 * time.Second, Look: LookDark}
	given := want
	given.Reader = " P. Quill\t"
	if err := l.SetSettings(t.Context(), given); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = start(t, dir, &prober{})
	if got, err := l.Settings(t.Context()); err != nil || cmp.Diff(want, got) != "" {
		t.Errorf("opened again: %+v, %v, want %+v", got, err, want)
	}
	for field, wrong := range map[string]Settings{
		"reader": {Gap: time.Minute, Reader: strings.Repeat("é", 301)},
		"gap":    {Gap: 0},
		"gap ":   {Gap: 24*time.Hour + 1},
		"look":   {Gap: time.Minute, Look: "pink"},
	} {
		err := l.SetSettings(t.Context(), wrong)
		var p annotate.Problems
		if !errors.As(err, &p) || len(p) != 1 || p[0].Field != strings.TrimSpace(field) || p[0].Hint == "" {
			t.Errorf("SetSettings(%+v) = %v, want one problem of %s with a hint", wrong, err, field)
		}
	}
	if got, err := l.Settings(t.Context()); err != nil || cmp.Diff(want, got) != "" {
		t.Errorf("refused ones changed them to %+v, %v", got, err)
	}
	// As another version may have written it.
	if err := l.store.SetFact(t.Context(), factSettings, `{"reader":"I. Varga","gap_s":-1}`); err != nil {
		t.Fatal(err)
	}
	if got, err := l.Settings(t.Context()); err != nil || cmp.Diff(defaultSettings(), got) != "" {
		t.Errorf("what can't be right gives %+v, %v, want the defaults", got, err)
	}
	if err := l.store.SetFact(t.Context(), factSettings, `{"gap_s":60}`); err != nil {
		t.Fatal(err)
	}
	if got, err := l.Settings(t.Context()); err != nil || got.Gap != time.Minute || !got.MakeProxies || !got.SearchKey {
		t.Errorf("of which some are absent: %+v, %v", got, err)
	}
}

// The pause that is set decides what becomes one session, where adding names none.
func TestGapOfTheSettings(t *testing.T) {
	p := &prober{probes: map[string]media.Probe{"a.mp4": recorded(0), "b.mp4": recorded(10)}}
	l := start(t, t.TempDir(), p)
	if err := l.SetSettings(t.Context(), Settings{Gap: 5 * time.Minute}); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	add(t, l, write(t, filepath.Join(dir, "a.mp4"), "a"), write(t, filepath.Join(dir, "b.mp4"), "b"))
	if got := sessionsOf(t, l, "Tansy"); got != "a b" {
		t.Errorf("ten minutes apart: %s, want two sessions", got)
	}
}
