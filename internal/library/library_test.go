package library

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	_ "github.com/mattn/go-sqlite3" // for damage done by hand

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// day is when test footage was recorded unless a test says otherwise.
var day = time.Date(2026, 5, 9, 10, 0, 0, 0, time.UTC)

// prober answers for ffprobe, by the name of the file. A file without an answer
// is a clip of a minute without a date. It fails the test where it is asked for a
// file twice at the same time.
type prober struct {
	mu     sync.Mutex
	probes map[string]media.Probe
	faults map[string]error
	frames map[string]media.FrameTable
	broken map[string]error         // of Frames
	hold   map[string]chan struct{} // Frames waits for it
	stuck  chan struct{}            // Probe says so here and waits for the end of ctx
	asked  []string                 // names probed
}

func (p *prober) Probe(ctx context.Context, path string) (media.Probe, error) {
	if p.stuck != nil {
		close(p.stuck)
		<-ctx.Done()
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	name := filepath.Base(path)
	p.asked = append(p.asked, name)
	if err := ctx.Err(); err != nil {
		return media.Probe{}, err
	}
	if err := p.faults[name]; err != nil {
		return media.Probe{}, err
	}
	if probe, ok := p.probes[name]; ok {
		return probe, nil
	}
	return minute, nil
}

// minute is what a plain clip is like.
var minute = media.Probe{Format: "mov,mp4", Video: "h264", Audio: "aac", Width: 1280, Height: 720, Duration: 60 * annotate.Second, FrameRate: 30}

// tenths are the frames of a plain clip, as the prober tells them.
func tenths() media.FrameTable {
	t := media.FrameTable{End: 59_900_000}
	for i := range annotate.Micros(599) {
		t.PTS = append(t.PTS, i*100_000)
	}
	return t
}

func (p *prober) Frames(ctx context.Context, path string, progress func(float64)) (media.FrameTable, error) {
	name := filepath.Base(path)
	p.mu.Lock()
	hold, broken := p.hold[name], p.broken[name]
	table, ok := p.frames[name]
	p.mu.Unlock()
	progress(0.5)
	if hold != nil {
		select {
		case <-hold:
		case <-ctx.Done():
			return media.FrameTable{}, ctx.Err()
		}
	}
	if broken != nil {
		return media.FrameTable{}, broken
	}
	if !ok {
		table = tenths()
	}
	progress(1)
	return table, nil
}

// recorded is a plain clip recorded some minutes into the day.
func recorded(minutes float64) media.Probe {
	p := minute
	p.RecordedAt = new(day.Add(time.Duration(minutes * float64(time.Minute))))
	p.RecordedBy = "creation_time"
	return p
}

// testBook is a book with an exclusive lane of two codes and a lane of remarks.
func testBook() *annotate.Codebook {
	return &annotate.Codebook{
		ID: "test", Version: 1, Name: "Test", HelpRank: 1,
		Ladder: []annotate.Rung{{Channel: "voice", Rank: 1}},
		Lanes: []annotate.Lane{
			{Name: "Position", Exclusive: true, Codes: []annotate.Code{
				{ID: "ahead", Name: "ahead", Key: "w", Role: annotate.RoleError, Shape: annotate.ShapeSpan, Details: annotate.Details{Kind: "ahead"}},
				{ID: "behind", Name: "behind", Key: "s", Role: annotate.RoleError, Shape: annotate.ShapeSpan, Details: annotate.Details{Kind: "behind"}},
			}},
			{Name: "Remarks", Codes: []annotate.Code{
				{ID: "remark", Name: "remark", Key: "k", Role: annotate.RoleRemark, Shape: annotate.ShapeEither},
			}},
		},
	}
}

// start opens a library in dir, and closes it when the test ends.
func start(t testing.TB, dir string, p Prober) *Library {
	t.Helper()
	l, err := Open(t.Context(), Config{Dir: dir, Prober: p, DefaultBook: testBook()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = l.Close() })
	return l
}

// write makes a file, and the folders that it needs.
func write(t testing.TB, path, content string) string {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// add adds paths for Tansy.
func add(t testing.TB, l *Library, paths ...string) []AddedFile {
	t.Helper()
	r, err := l.Add(t.Context(), AddRequest{Dog: "Tansy", Paths: paths}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r.Files
}

// oneClip adds one plain clip and returns its id once its frames are there.
func oneClip(t testing.TB, l *Library) string {
	t.Helper()
	files := add(t, l, write(t, filepath.Join(t.TempDir(), "clip.mp4"), "a clip"))
	if err := l.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	return files[0].ClipID
}

// oneReading begins a reading of a plain clip.
func oneReading(t testing.TB, l *Library) string {
	t.Helper()
	id, err := l.NewReading(t.Context(), oneClip(t, l), "I. Varga")
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// remark is an edit that puts a remark.
func remark(edit, event string, at annotate.Micros) annotate.Edit {
	return annotate.Edit{ID: edit, Put: []annotate.Put{{Event: annotate.Event{ID: event, Code: "remark", Start: at, End: at}}}}
}

// byHand opens a library's database past the program.
func byHand(t testing.TB, dir string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+url.PathEscape(filepath.Join(dir, databaseName))+"?_busy_timeout=5000")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	return db
}

// well fails the test where the library's check finds something.
func well(t testing.TB, l *Library) CheckReport {
	t.Helper()
	c, err := l.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range c.Problems {
		t.Errorf("check: %s", p)
	}
	return c
}

func TestOpenAgain(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "library")
	l := start(t, dir, &prober{})
	id := l.ID()
	if id == "" {
		t.Error("a library without an id")
	}
	if addr, err := l.Addr(t.Context()); err != nil || addr != "" {
		t.Errorf("address of a new library: %q, %v; want none", addr, err)
	}
	if err := l.SetAddr(t.Context(), "127.0.0.1:7171"); err != nil {
		t.Fatal(err)
	}
	reading := oneReading(t, l)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Errorf("closing it twice: %v", err)
	}
	if _, err := l.Apply(t.Context(), reading, remark("e", "a", 0), nil); !errors.Is(err, errClosed) {
		t.Errorf("an edit after closing: %v, want errClosed", err)
	}
	l = start(t, dir, &prober{})
	if l.ID() != id {
		t.Errorf("the id was %s and is %s", id, l.ID())
	}
	if addr, err := l.Addr(t.Context()); err != nil || addr != "127.0.0.1:7171" {
		t.Errorf("address: %q, %v", addr, err)
	}
	if l.Dir() != dir {
		t.Errorf("Dir() = %s, want %s", l.Dir(), dir)
	}
	if b, err := l.Book(t.Context()); err != nil || b.Name != "Test" {
		t.Errorf("book: %v, %v", b, err)
	}
}

func TestSecondWriterIsRefused(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	open := func() error {
		second, err := Open(t.Context(), Config{Dir: dir})
		if err == nil {
			_ = second.Close()
			t.Error("a second writer was let in")
		}
		return err
	}
	var in *InUse
	if err := open(); !errors.As(err, &in) || in.Addr != "" || in.PID != os.Getpid() {
		t.Errorf("before it is served: %v", err)
	}
	if err := l.SetAddr(t.Context(), "127.0.0.1:7171"); err != nil {
		t.Fatal(err)
	}
	if err := open(); !errors.As(err, &in) || in.Addr != "127.0.0.1:7171" {
		t.Errorf("while it is served: %v, want the address in it", err)
	} else if !strings.Contains(err.Error(), "http://127.0.0.1:7171") {
		t.Errorf("the message is %q, want the address in it", err)
	}
	if _, err := l.Dogs(t.Context()); err != nil {
		t.Errorf("the first one, after the second was refused: %v", err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	start(t, dir, &prober{})
}

// Reading goes on beside a writer and sees what it writes.
func TestReadOnlyBeside(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	reading := oneReading(t, l)
	ro, err := Open(t.Context(), Config{Dir: dir, ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer ro.Close()
	for i := range 3 {
		if _, err := l.Apply(t.Context(), reading, remark(fmt.Sprint(i), fmt.Sprint(i), 0), nil); err != nil {
			t.Fatal(err)
		}
		r, err := ro.Reading(t.Context(), reading)
		if err != nil || len(r.Events) != i+1 {
			t.Fatalf("after %d edits the reader beside sees %+v, %v", i+1, r, err)
		}
	}
	well(t, ro)
	if err := ro.Backup(t.Context(), filepath.Join(t.TempDir(), "b.db")); err != nil {
		t.Errorf("backup beside a writer: %v", err)
	}
	if ro.ID() != l.ID() {
		t.Errorf("ids %s and %s", ro.ID(), l.ID())
	}
	for name, err := range map[string]error{
		"Apply":      second(ro.Apply(t.Context(), reading, remark("x", "x", 0), nil)),
		"SetAddr":    ro.SetAddr(t.Context(), "x"),
		"SetSession": ro.SetSession(t.Context(), store.Session{ID: "x"}),
		"NewReading": second(ro.NewReading(t.Context(), second0(ro.ReadingClip(t.Context(), reading)), "P. Quill")),
		"StartAdd":   second(ro.StartAdd(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{"x"}})),
	} {
		if !errors.Is(err, store.ErrReadOnly) {
			t.Errorf("%s on a library open for reading: %v, want ErrReadOnly", name, err)
		}
	}
}

func second[A any](_ A, err error) error { return err }
func second0[A any](a A, _ error) A      { return a }

func TestReadOnlyNeedsLibrary(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "none")
	if _, err := Open(t.Context(), Config{Dir: dir, ReadOnly: true}); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "there is no library yet") {
		t.Errorf("open nothing for reading: %v", err)
	}
	if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		t.Error("opening for reading made a folder")
	}
}

func TestNewerLibraryIsRefused(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := byHand(t, dir).Exec(`PRAGMA user_version = 99`); err != nil {
		t.Fatal(err)
	}
	for _, ro := range []bool{false, true} {
		if _, err := Open(t.Context(), Config{Dir: dir, ReadOnly: ro}); !errors.Is(err, store.ErrNewer) {
			t.Errorf("ReadOnly %t: %v, want ErrNewer", ro, err)
		}
	}
	// The refusal let go of the lock.
	if _, err := byHand(t, dir).Exec(`PRAGMA user_version = 1`); err != nil {
		t.Fatal(err)
	}
	start(t, dir, &prober{})
}

func TestHostileFolders(t *testing.T) {
	for _, name := range []string{`quo"te's`, "100% sure?", "a#b&c", "%2e%2e", "🐕 läuft", strings.Repeat("ü", 120)} {
		dir := filepath.Join(t.TempDir(), name)
		l := start(t, dir, &prober{})
		reading := oneReading(t, l)
		if _, err := l.Apply(t.Context(), reading, remark("e", "a", 0), nil); err != nil {
			t.Errorf("in %q: %v", name, err)
		}
		if err := l.Backup(t.Context(), filepath.Join(dir, name+".db")); len(name) < 200 && err != nil {
			t.Errorf("backup in %q: %v", name, err)
		}
		well(t, l)
		if err := l.Close(); err != nil {
			t.Errorf("in %q: %v", name, err)
		}
	}
}

func TestHostileDogNames(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	dir := t.TempDir()
	names := []string{`O'Hara "x"`, "100 %?", "#1", "🐕", strings.Repeat("ß", 300), "'; DROP TABLE dogs; --", "<b>"}
	for i, name := range names {
		path := write(t, filepath.Join(dir, fmt.Sprint(i)+".mp4"), name)
		r, err := l.Add(t.Context(), AddRequest{Dog: name, Paths: []string{path}}, nil)
		if err != nil || r.Files[0].ClipID == "" {
			t.Errorf("add for %q: %+v, %v", name, r, err)
		}
	}
	dogs, err := l.Dogs(t.Context())
	if err != nil || len(dogs) != len(names) {
		t.Errorf("%d dogs, %v; want %d", len(dogs), err, len(names))
	}
	for _, name := range []string{strings.Repeat("x", 301), "a\x00b", "line\nbreak", "\xff"} {
		if _, err := l.Add(t.Context(), AddRequest{Dog: name, Paths: []string{dir}}, nil); !errors.Is(err, annotate.ErrInvalid) {
			t.Errorf("add for %q: %v, want ErrInvalid", name, err)
		}
	}
}
