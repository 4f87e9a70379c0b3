package media_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"afterwalk/internal/media"
)

// standIn, if set, makes this test program play ffprobe: it holds what to do.
const standIn = "AFTERWALK_TEST_STAND_IN"

func TestMain(m *testing.M) {
	switch os.Getenv(standIn) {
	case "":
		os.Exit(m.Run())
	case "hang": // says something, then nothing any more
		fmt.Println("packet,0,40,1,K_")
		select {}
	case "complain":
		fmt.Fprintln(os.Stderr, "first words")
		fmt.Fprintln(os.Stderr, strings.Repeat("x", 1<<20))
		fmt.Fprintln(os.Stderr, "last words")
		os.Exit(3)
	case "talk": // until it is ended
		for i := 0; ; i++ {
			fmt.Printf("packet,%d,40,1,K_\n", 40*i)
		}
	case "babble":
		fmt.Println("this is no JSON")
	}
}

// pretend returns tools whose ffprobe does what is told, and an MP4 file.
func pretend(t *testing.T, what string) (tools *media.Tools, path string) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv(standIn, what)
	path = filepath.Join(t.TempDir(), "clip.mp4")
	if err := os.WriteFile(path, []byte("\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00mp42isom"), 0o600); err != nil {
		t.Fatal(err)
	}
	return media.WithLimits(media.Tools{FFprobe: self}, time.Minute, time.Minute), path
}

func TestStopsWithItsContext(t *testing.T) {
	for _, what := range []string{"hang", "talk"} {
		tools, path := pretend(t, what)
		ctx, cancel := context.WithCancel(t.Context())
		time.AfterFunc(50*time.Millisecond, cancel)
		if _, err := tools.Frames(ctx, path, nil); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: Frames = %v, want context.Canceled", what, err)
		}
		if _, err := tools.Probe(ctx, path); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: Probe = %v, want context.Canceled", what, err)
		}
		var fault *media.Fault
		if _, err := tools.Probe(ctx, path); errors.As(err, &fault) {
			t.Errorf("%s: a stopped probe blames the file: %v", what, err)
		}
	}
}

func TestGivesUpOnSilence(t *testing.T) {
	tools, path := pretend(t, "hang")
	tools = media.WithLimits(*tools, 200*time.Millisecond, 200*time.Millisecond)
	for name, read := range map[string]func() error{
		"Probe":  func() error { _, err := tools.Probe(t.Context(), path); return err },
		"Frames": func() error { _, err := tools.Frames(t.Context(), path, nil); return err },
	} {
		err := read()
		var fault *media.Fault
		if !errors.As(err, &fault) || fault.Kind != "unreadable" || !strings.Contains(fault.Message, "too long") {
			t.Errorf("%s = %v, want a fault that says it took too long", name, err)
		}
	}
}

// The log gets the program's words, but no megabyte of them; the person gets none.
func TestKeepsMessages(t *testing.T) {
	tools, path := pretend(t, "complain")
	_, err := tools.Probe(t.Context(), path)
	var fault *media.Fault
	if !errors.As(err, &fault) || fault.Kind != "damaged" {
		t.Fatalf("got %v, want a damaged fault", err)
	}
	cause := fmt.Sprint(fault.Cause)
	if !strings.Contains(cause, "first words") || !strings.Contains(cause, "last words") || !strings.Contains(cause, "exit status 3") || len(cause) > 10_000 {
		t.Errorf("the cause is %d bytes long: %.100s", len(cause), cause)
	}
	if strings.Contains(fault.Error(), "words") {
		t.Errorf("the person is told %q", fault)
	}
}

func TestAnswerWithoutSense(t *testing.T) {
	tools, path := pretend(t, "babble")
	_, err := tools.Probe(t.Context(), path)
	var fault *media.Fault
	if !errors.As(err, &fault) || fault.Kind != "unreadable" {
		t.Errorf("got %v, want an unreadable fault", err)
	}
}

func TestFind(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"ffmpeg", "ffprobe"} {
		for _, ending := range []string{"", ".exe"} {
			if err := os.WriteFile(filepath.Join(dir, name+ending), []byte("#!/bin/sh\n"), 0o700); err != nil {
				t.Fatal(err)
			}
		}
	}
	tools, err := media.FindIn(dir, "linux")
	if err != nil || filepath.Dir(tools.FFprobe) != dir || filepath.Dir(tools.FFmpeg) != dir {
		t.Errorf("find(folder) = %+v, %v", tools, err)
	}
	t.Setenv("PATH", dir)
	if tools, err = media.FindIn("", "linux"); err != nil || filepath.Dir(tools.FFmpeg) != dir {
		t.Errorf("find on the search path = %+v, %v", tools, err)
	}
	t.Setenv("PATH", t.TempDir())
	for system, hint := range map[string]string{"linux": "apt install ffmpeg", "darwin": "brew install ffmpeg", "windows": "winget install ffmpeg"} {
		_, err := media.FindIn("", system)
		var fault *media.Fault
		if !errors.As(err, &fault) || fault.Kind != "no-tools" || !strings.Contains(fault.Hint, hint) {
			t.Errorf("find on %s = %v, want a hint with %q", system, err, hint)
		}
	}
	if _, err := media.FindIn(t.TempDir(), "linux"); err == nil || !strings.Contains(err.Error(), media.FolderVar) {
		t.Errorf("find in an empty folder = %v, want a message that names %s", err, media.FolderVar)
	}
}
