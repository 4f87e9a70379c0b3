package mediatest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/media"
)

// Clip is a file for tests and what is known of it from its making.
type Clip struct {
	Name, Path string
	Frames     int // frames that are shown; 0 if none, or not known (truncated files)
	First      int // number on the first of them; the others follow by one
	// PTS is when each frame is shown, by the way it was made, not by what any
	// program says of it; nil if that isn't known.
	PTS []annotate.Micros
}

// Names returns the names of all clips, sorted.
func Names() []string { return slices.Sorted(maps.Keys(recipes)) }

// Playable returns the names of the clips that go through everything that makes
// counting frames hard and that a browser plays.
func Playable() []string {
	return []string{"cfr30", "vfr90k", "longgop", "rotated", "editlist", "start15", "mov", "webm"}
}

// Tools returns ffmpeg and ffprobe. Where they are missing it skips the test, or
// fails it if CI is set.
func Tools(t testing.TB) *media.Tools {
	t.Helper()
	tools, err := media.Find()
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	return tools
}

// making keeps one test at a time from making a clip.
var making sync.Mutex

// Make returns the clip with a name, and makes it if it was never made on this
// computer. An unknown name fails the test.
func Make(t testing.TB, name string) Clip {
	t.Helper()
	tools := Tools(t)
	making.Lock()
	defer making.Unlock()
	path, err := provide(tools, name)
	if err != nil {
		t.Fatalf("making clip %s: %v", name, err)
	}
	r := recipes[name]
	c := Clip{Name: name, Path: path, Frames: max(0, r.shown), First: r.first}
	if r.shown == 0 {
		c.Frames = r.frames
	}
	if r.pts != nil {
		for k := range c.Frames {
			c.PTS = append(c.PTS, r.pts(k))
		}
	}
	return c
}

// CopyTo writes a copy of the clip to path, for tests that move or change it.
func (c Clip) CopyTo(t testing.TB, path string) {
	t.Helper()
	b, err := os.ReadFile(c.Path)
	if err == nil {
		err = os.WriteFile(path, b, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// provide returns the path of a clip, which lies in a folder named after all
// that it is made by, so that a changed recipe makes it again.
func provide(tools *media.Tools, name string) (string, error) {
	r, ok := recipes[name]
	if !ok {
		return "", fmt.Errorf("no such clip; there are %s", strings.Join(Names(), ", "))
	}
	source := ""
	if r.from != "" {
		var err error
		if source, err = provide(tools, r.from); err != nil {
			return "", err
		}
	}
	cache, err := cacheFolder()
	if err != nil {
		return "", err
	}
	from := filepath.Base(filepath.Dir(source))
	key := sha256.Sum256(fmt.Appendf(nil, "%s %v %v %d %d %v %v %v %s", name, from, r.args, r.frames, r.version, r.before, r.turn != 0, r.sound, encoder(tools)))
	folder := filepath.Join(cache, hex.EncodeToString(key[:8]))
	path := filepath.Join(folder, name+"."+r.ext)
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", err
	}
	scratch, err := os.MkdirTemp(folder, "making-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(scratch)
	made := filepath.Join(scratch, filepath.Base(path))
	if !r.bare {
		if err := encode(tools, r, source, made); err != nil {
			return "", err
		}
	}
	if err := r.finish(made); err != nil {
		return "", err
	}
	if err := os.Chmod(made, 0o400); err != nil {
		return "", err
	}
	return path, os.Rename(made, path)
}

func encode(tools *media.Tools, r recipe, source, made string) error {
	args := slices.Concat([]string{"-v", "error", "-y"}, r.input(source), r.args, []string{"file:" + made})
	cmd := exec.Command(tools.FFmpeg, args...)
	if r.from == "" {
		cmd.Stdin = bytes.NewReader(r.pictures())
	}
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	return nil
}

// encoder returns the first line of ffmpeg's version.
var encoder = func() func(*media.Tools) string {
	var once sync.Once
	var line string
	return func(tools *media.Tools) string {
		once.Do(func() {
			out, _ := exec.Command(tools.FFmpeg, "-version").Output()
			line, _, _ = strings.Cut(string(out), "\n")
		})
		return line
	}
}()

// cacheFolder is the user's own cache; without one, a folder for temporary files.
func cacheFolder() (string, error) {
	base, err := os.UserCacheDir()
	if err != nil {
		base = os.TempDir()
	}
	folder := filepath.Join(base, "afterwalk", "test-clips")
	return folder, os.MkdirAll(folder, 0o700)
}
