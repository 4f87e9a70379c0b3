package library

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A walk finds each video once, follows no link, and stays in the chosen folder.
func TestWalk(t *testing.T) {
	dir := t.TempDir()
	outside := write(t, filepath.Join(t.TempDir(), "outside.mp4"), "outside")
	films := filepath.Join(dir, "films")
	lib := filepath.Join(films, "library")
	l := start(t, lib, &prober{})
	for _, name := range []string{
		"b.mp4", "a.MOV", "below/c.webm", "below/deeper/d.mkv", ".hidden.mp4", "._a.MOV", ".trash/e.mp4", "notes.txt", "library/media/proxy.mp4",
	} {
		write(t, filepath.Join(films, name), name)
	}
	for link, to := range map[string]string{
		"loop": films, "below/up": "..", "out.mp4": outside, "out": filepath.Dir(outside), "dangling.mp4": "nowhere", "dangling": "nowhere", "notes": "notes.txt",
	} {
		if err := os.Symlink(to, filepath.Join(films, filepath.FromSlash(link))); err != nil {
			t.Fatal(err)
		}
	}
	chosen := filepath.Join(dir, "chosen")
	if err := os.Symlink(films, chosen); err != nil {
		t.Fatal(err)
	}
	names := func(paths ...string) (files, problems []string) {
		t.Helper()
		list, err := l.walk(t.Context(), paths)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			if f.problem != "" {
				problems = append(problems, filepath.Base(f.path))
				continue
			}
			if strings.Contains(f.below, `\`) || filepath.IsAbs(f.below) || strings.HasPrefix(f.below, "..") {
				t.Errorf("%q is no path below a folder", f.below)
			}
			files = append(files, f.below)
		}
		return files, problems
	}
	files, problems := names(films)
	if diff := cmp.Diff([]string{"a.MOV", "b.mp4", "below/c.webm", "below/deeper/d.mkv"}, files); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]string{"up", "dangling.mp4", "loop", "out", "out.mp4"}, problems); diff != "" {
		t.Errorf("links named (-want +got):\n%s", diff)
	}
	if files, _ = names(films, chosen, filepath.Join(films, "b.mp4")); len(files) != 4 {
		t.Errorf("the same folder three times, once by a link: %v, want each file once", files)
	}
	if files, _ = names(filepath.Join(films, ".hidden.mp4"), filepath.Join(films, "notes.txt")); len(files) != 2 {
		t.Errorf("files named by themselves: %v, want both, whatever their names", files)
	}
	if files, _ = names(filepath.Join(films, ".trash")); len(files) != 1 {
		t.Errorf("a hidden folder named by itself: %v, want its file", files)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := l.walk(ctx, []string{films}); !errors.Is(err, context.Canceled) {
		t.Errorf("a walk that was stopped: %v", err)
	}
}
