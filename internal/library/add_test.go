package library

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// sessionsOf lists a dog's sessions as the names of their clips.
func sessionsOf(t *testing.T, l *Library, dog string) string {
	t.Helper()
	dogs, err := l.Dogs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, d := range dogs {
		if d.Name != dog {
			continue
		}
		sessions, err := l.Sessions(t.Context(), d.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sessions {
			clips, err := l.Clips(t.Context(), s.ID)
			if err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, c := range clips {
				names = append(names, strings.TrimSuffix(nameOf(c.Footage), ".mp4"))
			}
			out = append(out, strings.Join(names, "+"))
		}
	}
	return strings.Join(out, " ")
}

// Clips are added in waves, one call each.
func TestAddGroups(t *testing.T) {
	for _, c := range []struct {
		name  string
		at    map[string]float64 // minutes of the day; each clip lasts 1
		waves []string
		want  string
	}{
		{"one outing", map[string]float64{"a": 0, "b": 20, "c": 40}, []string{"a b c"}, "a+b+c"},
		{"two outings", map[string]float64{"a": 0, "b": 20, "c": 60}, []string{"c b a"}, "a+b c"},
		{"joins later", map[string]float64{"a": 0, "b": 20, "c": 60}, []string{"a c", "b"}, "a+b c"},
		{"never merges", map[string]float64{"a": 0, "b": 15, "c": 32}, []string{"a", "c", "b"}, "a+b c"},
		{"undated by themselves", map[string]float64{"a": 0}, []string{"a x y"}, "a x+y"},
		{"undated of each call", map[string]float64{"a": 0}, []string{"a x", "y"}, "a x y"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := &prober{probes: map[string]media.Probe{}}
			for name, at := range c.at {
				p.probes[name+".mp4"] = recorded(at)
			}
			l := start(t, t.TempDir(), p)
			dir := t.TempDir()
			for _, wave := range c.waves {
				var paths []string
				for _, name := range strings.Fields(wave) {
					paths = append(paths, write(t, filepath.Join(dir, name+".mp4"), name))
				}
				add(t, l, paths...)
			}
			if got := sessionsOf(t, l, "Tansy"); got != c.want {
				t.Errorf("sessions: %s, want %s", got, c.want)
			}
		})
	}
}

// A session that was made with one gap stays as it is with another.
func TestAddGap(t *testing.T) {
	p := &prober{probes: map[string]media.Probe{"a.mp4": recorded(0), "b.mp4": recorded(10), "c.mp4": recorded(20)}}
	l := start(t, t.TempDir(), p)
	dir := t.TempDir()
	for _, name := range []string{"a", "b"} {
		write(t, filepath.Join(dir, name+".mp4"), name)
	}
	if _, err := l.Add(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{dir}, Gap: 5 * time.Minute}, nil); err != nil {
		t.Fatal(err)
	}
	if got := sessionsOf(t, l, "Tansy"); got != "a b" {
		t.Fatalf("with a gap of 5 minutes: %s, want two sessions", got)
	}
	write(t, filepath.Join(dir, "c.mp4"), "c")
	add(t, l, dir)
	if got := sessionsOf(t, l, "Tansy"); got != "a b+c" {
		t.Errorf("with the usual gap: %s, want the two sessions kept and the clip at the nearer", got)
	}
	if _, err := l.Add(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{dir}, Gap: -1}, nil); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("a negative gap: %v, want ErrInvalid", err)
	}
}

// Adding again changes nothing, reads nothing anew, and says so.
func TestAddAgain(t *testing.T) {
	p := &prober{}
	l := start(t, t.TempDir(), p)
	dir := t.TempDir()
	a := write(t, filepath.Join(dir, "a.mp4"), "a")
	write(t, filepath.Join(dir, "below", "b.MOV"), "b")
	first := add(t, l, dir)
	if len(first) != 2 || first[0].ClipID == "" || first[0].Again || first[0].Moved {
		t.Fatalf("first time: %+v", first)
	}
	for _, paths := range [][]string{{dir}, {a}, {filepath.Join(dir, "below", "..", "a.mp4")}, {a, dir, a}} {
		for _, f := range add(t, l, paths...) {
			if !f.Again || f.Moved || f.Problem != "" || f.ClipID == "" {
				t.Errorf("adding %v again: %+v", paths, f)
			}
		}
	}
	if got := sessionsOf(t, l, "Tansy"); got != "a+b.MOV" {
		t.Errorf("sessions: %s", got)
	}
	if diff := cmp.Diff([]string{"a.mp4", "b.MOV"}, p.asked); diff != "" {
		t.Errorf("files probed (-want +got):\n%s", diff)
	}
	// The same name, written otherwise, is the same dog.
	if _, err := l.Add(t.Context(), AddRequest{Dog: "  TANSY ", Paths: []string{dir}}, nil); err != nil {
		t.Fatal(err)
	}
	if dogs, _ := l.Dogs(t.Context()); len(dogs) != 1 {
		t.Errorf("%d dogs, want 1", len(dogs))
	}
}

func TestAddKnownFootage(t *testing.T) {
	p := &prober{}
	l := start(t, t.TempDir(), p)
	dir := t.TempDir()
	old := write(t, filepath.Join(dir, "card", "a.mp4"), "a")
	clip := add(t, l, old)[0].ClipID
	place := func() string {
		t.Helper()
		c, err := l.Clip(t.Context(), clip)
		if err != nil {
			t.Fatal(err)
		}
		return filepath.Join(c.Footage.Root, filepath.FromSlash(c.Footage.Path))
	}

	second := write(t, filepath.Join(dir, "copy", "a2.mp4"), "a")
	if f := add(t, l, second)[0]; f.ClipID != clip || !f.Again || f.Moved {
		t.Errorf("a second copy: %+v, want it simply known", f)
	}
	if place() != old {
		t.Errorf("after a second copy the clip is at %s, want %s still", place(), old)
	}

	if err := os.Remove(old); err != nil {
		t.Fatal(err)
	}
	if f := add(t, l, filepath.Dir(second))[0]; f.ClipID != clip || !f.Moved || f.Again {
		t.Errorf("a moved file: %+v, want Moved", f)
	}
	if place() != second {
		t.Errorf("after the move the clip is at %s, want %s", place(), second)
	}

	// Cameras use names again: the old place now holds another clip.
	write(t, second, "b")
	third := write(t, filepath.Join(dir, "archive", "a.mp4"), "a")
	files := add(t, l, second, third)
	if files[0].ClipID == clip || files[0].ClipID == "" || files[0].Again {
		t.Errorf("another clip at a known place: %+v, want a new clip", files[0])
	}
	if files[1].ClipID != clip || !files[1].Moved {
		t.Errorf("the clip that lay there: %+v, want it moved", files[1])
	}

	// A file can serve two dogs; it is read once.
	asked := len(p.asked)
	r, err := l.Add(t.Context(), AddRequest{Dog: "Bramble", Paths: []string{third}}, nil)
	if err != nil || r.Files[0].ClipID == "" || r.Files[0].ClipID == clip || r.Files[0].Again {
		t.Errorf("for a second dog: %+v, %v; want a clip of its own", r, err)
	}
	if len(p.asked) != asked {
		t.Error("for a second dog the file was probed again")
	}
	if clips, err := l.FindClips(t.Context(), mustPrint(t, third), ""); err != nil || len(clips) != 2 {
		t.Errorf("clips of the file: %+v, %v; want one of each dog", clips, err)
	}
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	well(t, l)
}

func mustPrint(t *testing.T, path string) string {
	t.Helper()
	print, _, err := printOf(found{root: filepath.Dir(path), below: filepath.Base(path)})
	if err != nil {
		t.Fatal(err)
	}
	return print
}

// What is wrong is named file by file; the rest goes on.
func TestAddNamesWhatIsWrong(t *testing.T) {
	hevc := minute
	hevc.NeedsProxy = "The picture is coded as HEVC."
	quiet := minute
	quiet.Silent = "The picture will run in silence."
	p := &prober{
		probes: map[string]media.Probe{"hevc.mp4": hevc, "quiet.mp4": quiet},
		faults: map[string]error{
			"text.mp4":  &media.Fault{Kind: "not-video", Message: "This is not a video file.", Hint: "Choose a video."},
			"crash.mp4": errors.New("exit status 11"),
		},
	}
	l := start(t, t.TempDir(), p)
	dir := t.TempDir()
	for _, name := range []string{"a.mp4", "hevc.mp4", "quiet.mp4", "text.mp4", "crash.mp4"} {
		write(t, filepath.Join(dir, name), name)
	}
	write(t, filepath.Join(dir, "notes.txt"), "not a video, and not named as one")
	files := add(t, l, filepath.Join(dir, "gone.mp4"), dir, filepath.Join(dir, "notes.txt"))
	type line struct {
		Name, Problem string
		Added         bool
	}
	var got []line
	for _, f := range files {
		got = append(got, line{filepath.Base(f.Path), f.Problem, f.ClipID != ""})
	}
	want := []line{
		{"gone.mp4", "There is no such file or folder. It may have been moved or renamed, or its drive is not connected.", false},
		{"a.mp4", "", true},
		{"crash.mp4", "Something went wrong inside afterwalk. What was there before is kept; the program's own output says more.", false},
		{"hevc.mp4", "The picture is coded as HEVC.", true},
		{"quiet.mp4", "The picture will run in silence.", true},
		{"text.mp4", "This is not a video file. Choose a video.", false},
		{"notes.txt", "", true}, // named, so it was tried; the prober took it
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("report (-want +got):\n%s", diff)
	}
}

// Where nothing can be added, there is no dog afterwards.
func TestAddNothing(t *testing.T) {
	l := start(t, t.TempDir(), &prober{faults: map[string]error{"a.mp4": &media.Fault{Message: "Empty."}}})
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a.mp4"), "")
	if f := add(t, l, dir); len(f) != 1 || f[0].Problem != "Empty." {
		t.Errorf("report: %+v", f)
	}
	if f := add(t, l, t.TempDir()); len(f) != 0 {
		t.Errorf("an empty folder: %+v", f)
	}
	if dogs, err := l.Dogs(t.Context()); err != nil || len(dogs) != 0 {
		t.Errorf("dogs: %+v, %v; want none", dogs, err)
	}
	if _, err := l.Add(t.Context(), AddRequest{Dog: "Tansy"}, nil); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("without paths: %v, want ErrInvalid", err)
	}
	none := start(t, t.TempDir(), nil)
	var fault *media.Fault
	if _, err := none.Add(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{dir}}, nil); !errors.As(err, &fault) || fault.Kind != "no-tools" {
		t.Errorf("without ffmpeg: %v, want the fault no-tools", err)
	}
}

// Stopping keeps what was read; progress counts files and ends at the total.
func TestAddStopped(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	dir := t.TempDir()
	for i := range 6 {
		write(t, filepath.Join(dir, fmt.Sprintf("%d.mp4", i)), fmt.Sprint(i))
	}
	ctx, cancel := context.WithCancel(t.Context())
	r, err := l.Add(ctx, AddRequest{Dog: "Tansy", Paths: []string{dir}}, func(done, total int, name string) {
		if total != 6 {
			t.Errorf("progress of %d files, want 6", total)
		}
		if done == 3 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) || len(r.Files) != 3 {
		t.Fatalf("stopped: %d files, %v; want 3 and Canceled", len(r.Files), err)
	}
	if got := sessionsOf(t, l, "Tansy"); got != "0+1+2" {
		t.Errorf("kept: %s, want the first three", got)
	}
	var steps []int
	if _, err := l.Add(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{dir}}, func(done, _ int, _ string) { steps = append(steps, done) }); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(steps, []int{0, 1, 2, 3, 4, 5, 6}) {
		t.Errorf("progress: %v", steps)
	}
	if got := sessionsOf(t, l, "Tansy"); got != "0+1+2 3+4+5" {
		t.Errorf("sessions: %s", got)
	}
}

func TestStartAdd(t *testing.T) {
	l := start(t, t.TempDir(), &prober{faults: map[string]error{"bad.mp4": &media.Fault{Message: "Damaged."}}})
	if _, err := l.StartAdd(t.Context(), AddRequest{}); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("an empty request: %v, want ErrInvalid", err)
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a.mp4"), "a")
	write(t, filepath.Join(dir, "bad.mp4"), "bad")
	id, err := l.StartAdd(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{dir}})
	if err != nil {
		t.Fatal(err)
	}
	if err := l.jobs.idle(t.Context(), kindAdd); err != nil {
		t.Fatal(err)
	}
	for _, j := range l.Jobs() {
		if j.ID != id {
			continue
		}
		if j.State != "done" || j.Done != 1 || j.Report == nil || len(j.Report.Files) != 2 || j.Message != "1 added, 1 not added." {
			t.Errorf("job: %+v", j)
		}
		return
	}
	t.Error("the job isn't in the list")
}

// Footage keeps what the prober said of it.
func TestAddKeepsFacts(t *testing.T) {
	probe := media.Probe{
		Format: "matroska,webm", Video: "vp9", Audio: "opus", Width: 720, Height: 1280, Rotation: 90, Duration: 5_005_000, Start: 21_000,
		FrameRate: 29.97, Variable: true, RecordedAt: new(time.Date(2026, 5, 9, 17, 5, 0, 0, time.FixedZone("", 7200))),
		RecordedBy: "quicktime", RecordedZone: "+02:00", NeedsProxy: "x", Silent: "y",
	}
	l := start(t, t.TempDir(), &prober{probes: map[string]media.Probe{"a.webm": probe}, hold: map[string]chan struct{}{"a.webm": make(chan struct{})}})
	path := write(t, filepath.Join(t.TempDir(), "a.webm"), "content")
	c, err := l.Clip(t.Context(), add(t, l, path)[0].ClipID)
	if err != nil {
		t.Fatal(err)
	}
	want := store.Footage{
		ID: c.Footage.ID, Fingerprint: mustPrint(t, path), Root: filepath.Dir(path), Path: "a.webm", Size: 7,
		Format: "matroska,webm", Video: "vp9", Audio: "opus", Width: 720, Height: 1280, Rotation: 90, Duration: 5_005_000, Start: 21_000,
		FrameRate: 29.97, Variable: true, RecordedAt: probe.RecordedAt, RecordedBy: "quicktime", RecordedZone: "+02:00",
		NeedsProxy: "x", Silent: "y", Frames: store.FramesWanted, Proxy: store.ProxyWanted,
	}
	if diff := cmp.Diff(want, c.Footage); diff != "" {
		t.Errorf("footage (-want +got):\n%s", diff)
	}
}

// Closing doesn't wait for the rest of what is being added.
func TestCloseWhileAdding(t *testing.T) {
	p := &prober{stuck: make(chan struct{})}
	l := start(t, t.TempDir(), p)
	path := write(t, filepath.Join(t.TempDir(), "a.mp4"), "a")
	ended := make(chan error)
	go func() {
		_, err := l.Add(context.Background(), AddRequest{Dog: "Tansy", Paths: []string{path}}, nil)
		ended <- err
	}()
	<-p.stuck
	if err := l.Close(); err != nil {
		t.Error(err)
	}
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("adding ended with %v, want Canceled", err)
	}
}
