package library

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

func job(t *testing.T, l *Library, clip string) Job {
	t.Helper()
	for _, j := range l.Jobs() {
		if j.Kind == kindFrames && j.ClipID == clip {
			return j
		}
	}
	t.Fatalf("no job for clip %s", clip)
	return Job{}
}

// A clip can be coded before its frames are known; a reading that nobody has
// coded in follows the table when it comes, in memory too.
func TestFramesArrive(t *testing.T) {
	hold := make(chan struct{})
	probe := minute
	probe.Start = 20_000
	table := media.FrameTable{PTS: []annotate.Micros{33_000, 133_000, 233_000}, End: 59_500_000, Warning: "The file is cut off."}
	l := start(t, t.TempDir(), &prober{
		probes: map[string]media.Probe{"a.mp4": probe}, frames: map[string]media.FrameTable{"a.mp4": table}, hold: map[string]chan struct{}{"a.mp4": hold},
	})
	clip := add(t, l, write(t, filepath.Join(t.TempDir(), "a.mp4"), "a"))[0].ClipID
	if _, state, err := l.Frames(t.Context(), clip); err != nil || state != store.FramesWanted {
		t.Errorf("before: %v, %v", state, err)
	}
	untouched, err := l.NewReading(t.Context(), clip, "I. Varga")
	if err != nil {
		t.Fatal(err)
	}
	coded, err := l.NewReading(t.Context(), clip, "P. Quill")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Apply(t.Context(), coded, remark("e", "late", 59_900_000), nil); err != nil {
		t.Fatal(err)
	}
	want := annotate.Span{Start: 20_000, End: 20_001}
	for _, id := range []string{untouched, coded} {
		if r, err := l.Reading(t.Context(), id); err != nil || r.Window != want || r.Clip.Duration != 60_000_000 || len(r.Validate()) > 0 {
			t.Errorf("before: window %v, clip %d µs, %v", r.Window, r.Clip.Duration, r.Validate())
		}
	}
	notices, cancel := l.Watch()
	defer cancel()
	close(hold)
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	got, state, err := l.Frames(t.Context(), clip)
	if err != nil || state != store.FramesReady {
		t.Fatalf("after: %v, %v", state, err)
	}
	if diff := cmp.Diff(table, got); diff != "" {
		t.Errorf("frames (-want +got):\n%s", diff)
	}
	r, err := l.Reading(t.Context(), untouched)
	if err != nil || r.Window != (annotate.Span{Start: 33_000, End: 133_000}) || r.Clip.Duration != 59_500_000 {
		t.Errorf("untouched: window %v, clip %d µs, %v", r.Window, r.Clip.Duration, err)
	}
	r, err = l.Reading(t.Context(), coded)
	if err != nil || r.Window != want || r.Clip.Duration != 59_900_000 || len(r.Validate()) > 0 || len(r.History.Done) != 1 {
		t.Errorf("coded: window %v, clip %d µs, history %v, %v, %v", r.Window, r.Clip.Duration, r.History.Done, r.Validate(), err)
	}
	// The untouched one goes on from its new window.
	if out, err := l.Apply(t.Context(), untouched, annotate.Edit{ID: "reach", Reach: new(annotate.Micros(2_000_000))}, nil); err != nil || out.Reading.Window != (annotate.Span{Start: 33_000, End: 2_000_000}) {
		t.Errorf("an edit afterwards: %+v, %v", out.Reading, err)
	}
	if j := job(t, l, clip); j.State != jobDone || j.Done != 1 || j.Message != "3 frames. The file is cut off." || j.Title != "Reading the frames of a.mp4" {
		t.Errorf("job: %+v", j)
	}
	done := false
	for len(notices) > 0 {
		if n := <-notices; n.Job != nil && n.Job.ClipID == clip && n.Job.State == jobDone {
			done = true
		}
	}
	if !done {
		t.Error("nobody was told that the frames are there")
	}
	again, err := l.NewReading(t.Context(), clip, "I. Varga")
	if err != nil {
		t.Fatal(err)
	}
	if r, err := l.Reading(t.Context(), again); err != nil || r.Window != (annotate.Span{Start: 33_000, End: 133_000}) {
		t.Errorf("a reading begun afterwards: window %v, %v; want the first frame", r.Window, err)
	}
	well(t, l)
}

func TestFramesFail(t *testing.T) {
	fault := func(kind string) error {
		return &media.Fault{Kind: kind, Message: "Something is wrong.", Hint: "Do this."}
	}
	l := start(t, t.TempDir(), &prober{
		broken: map[string]error{"damaged.mp4": fault("damaged"), "away.mp4": fault("unreadable"), "bug.mp4": errors.New("out of order")},
		frames: map[string]media.FrameTable{"none.mp4": {}},
	})
	dir := t.TempDir()
	for _, c := range []struct {
		name, message string
		state         store.FrameState
	}{
		{"damaged.mp4", "Something is wrong. Do this.", store.FramesFailed},
		{"none.mp4", "No frame of the picture can be read.", store.FramesFailed},
		{"away.mp4", "Something is wrong. Do this.", store.FramesWanted}, // it may be there again at the next start
		{"bug.mp4", "Something went wrong inside afterwalk.", store.FramesWanted},
	} {
		clip := add(t, l, write(t, filepath.Join(dir, c.name), c.name))[0].ClipID
		if err := l.WaitFrames(t.Context()); err != nil {
			t.Fatal(err)
		}
		_, state, err := l.Frames(t.Context(), clip)
		if err != nil || state != c.state {
			t.Errorf("%s: state %s, %v; want %s", c.name, state, err, c.state)
		}
		if j := job(t, l, clip); j.State != jobFailed || !strings.HasPrefix(j.Message, c.message) {
			t.Errorf("%s: job %+v, want it failed: %s", c.name, j, c.message)
		}
		if got, err := l.Clip(t.Context(), clip); err != nil || (c.state == store.FramesFailed) != strings.HasPrefix(got.Footage.Warning, c.message) {
			t.Errorf("%s: the clip's warning is %q, %v", c.name, got.Footage.Warning, err)
		}
		if _, err := l.NewReading(t.Context(), clip, "I. Varga"); err != nil {
			t.Errorf("%s: it can't be coded: %v", c.name, err)
		}
	}
}

// What was stopped, by a person or by the end of the program, goes on at the next
// start; so does what waited behind it. A file that was moved meanwhile is found.
func TestFramesGoOn(t *testing.T) {
	dir, films := t.TempDir(), t.TempDir()
	p := &prober{hold: map[string]chan struct{}{"a.mp4": make(chan struct{})}}
	l := start(t, dir, p)
	a := write(t, filepath.Join(films, "a.mp4"), "a")
	write(t, filepath.Join(films, "b.mp4"), "b")
	files := add(t, l, films)
	first, second := files[0].ClipID, files[1].ClipID
	if err := l.StopJob(job(t, l, second).ID); err != nil {
		t.Fatal(err)
	}
	if j := job(t, l, second); j.State != jobStopped || j.Message == "" {
		t.Errorf("a job that waited and was stopped: %+v", j)
	}
	if err := l.Close(); err != nil { // while the first is being read
		t.Fatal(err)
	}
	if err := os.Rename(a, filepath.Join(films, "c.mp4")); err != nil {
		t.Fatal(err)
	}

	none := start(t, dir, nil) // without ffmpeg nothing is read, and nothing waits for it
	if err := none.WaitFrames(t.Context()); err != nil {
		t.Error(err)
	}
	if len(none.Jobs()) > 0 {
		t.Errorf("jobs without ffmpeg: %+v", none.Jobs())
	}
	if err := none.Close(); err != nil {
		t.Fatal(err)
	}

	l = start(t, dir, p)
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, clip := range []string{first, second} {
		if _, state, err := l.Frames(t.Context(), clip); err != nil || state != store.FramesReady {
			t.Errorf("after the next start: %s, %v", state, err)
		}
	}
	if err := l.StopJob(job(t, l, first).ID); err != nil {
		t.Errorf("stopping what is done: %v", err)
	}
	if err := l.StopJob("none"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("stopping what isn't there: %v, want ErrNotFound", err)
	}
}

// Footage of unknown length can't be coded before its frames are known.
func TestNoLength(t *testing.T) {
	hold := make(chan struct{})
	probe := minute
	probe.Duration = 0
	p := &prober{
		probes: map[string]media.Probe{"a.webm": probe, "b.webm": probe},
		hold:   map[string]chan struct{}{"a.webm": hold},
		broken: map[string]error{"b.webm": &media.Fault{Kind: "damaged", Message: "Damaged."}},
	}
	l := start(t, t.TempDir(), p)
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a.webm"), "a")
	write(t, filepath.Join(dir, "b.webm"), "b")
	files := add(t, l, dir)
	var fault *media.Fault
	if _, err := l.NewReading(t.Context(), files[0].ClipID, "I. Varga"); !errors.As(err, &fault) || !strings.Contains(fault.Hint, "try again") {
		t.Errorf("before: %v, want a fault that says to try again", err)
	}
	close(hold)
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := l.NewReading(t.Context(), files[0].ClipID, "I. Varga"); err != nil {
		t.Errorf("after: %v", err)
	}
	if _, err := l.NewReading(t.Context(), files[1].ClipID, "I. Varga"); !errors.As(err, &fault) || !strings.Contains(fault.Message, "can't be coded:") {
		t.Errorf("of one that failed: %v", err)
	}
}

// Footage that was gone when its frames were to be read, and is found again, has
// them read then and not only after the next start.
func TestFramesOfFootageFoundAgain(t *testing.T) {
	for name, find := range map[string]func(t *testing.T, l *Library, clip, file string){
		"added at a new place": func(t *testing.T, l *Library, clip, file string) {
			if got := add(t, l, filepath.Dir(write(t, filepath.Join(t.TempDir(), "new.mp4"), "b")))[0]; got.ClipID != clip || !got.Moved {
				t.Errorf("added again: %+v, want clip %s, moved", got, clip)
			}
		},
		"added at the old place": func(t *testing.T, l *Library, clip, file string) {
			add(t, l, write(t, file, "b"))
		},
		"played": func(t *testing.T, l *Library, clip, file string) {
			write(t, file, "b")
			mustContent(t, l, clip, "b")
		},
	} {
		t.Run(name, func(t *testing.T) {
			hold := make(chan struct{})
			l := start(t, t.TempDir(), &prober{hold: map[string]chan struct{}{"a.mp4": hold}})
			films := t.TempDir()
			add(t, l, write(t, filepath.Join(films, "a.mp4"), "a")) // the next one waits for it
			file := write(t, filepath.Join(films, "b.mp4"), "b")
			clip := add(t, l, file)[0].ClipID
			if err := os.Remove(file); err != nil {
				t.Fatal(err)
			}
			close(hold)
			if err := l.WaitFrames(t.Context()); err != nil {
				t.Fatal(err)
			}
			if j := job(t, l, clip); j.State != jobFailed {
				t.Fatalf("the job of footage that is gone: %+v, want failed", j)
			}
			find(t, l, clip, file)
			if err := l.WaitFrames(t.Context()); err != nil {
				t.Fatal(err)
			}
			if _, state, err := l.Frames(t.Context(), clip); err != nil || state != store.FramesReady {
				t.Errorf("frames of footage found again: %s, %v; want ready", state, err)
			}
		})
	}
}
