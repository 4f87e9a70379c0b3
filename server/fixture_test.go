package server

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"afterwalk/annotate"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
	"afterwalk/ui"
)

// facts is a prober that knows footage by name instead of reading it: ten
// seconds at 30 frames/s, recorded on 9 May 2026 or as the name's first part says.
type facts struct {
	hold chan struct{} // if not nil, frame tables wait for it
}

func (facts) Probe(_ context.Context, path string) (media.Probe, error) {
	name := filepath.Base(path)
	if strings.HasPrefix(name, "list") {
		return media.Probe{}, &media.Fault{Kind: "playlist", Message: name + " is a playlist, not a video.", Hint: "Add the videos themselves."}
	}
	p := media.Probe{
		Format: "mov,mp4,m4a,3gp,3g2,mj2", Video: "h264", VideoTag: "avc1", PixelFormat: "yuv420p", Width: 1280, Height: 720,
		Audio: "aac", Duration: 10 * annotate.Second, FrameRate: 30, Frames: 300,
	}
	if info, err := os.Stat(path); err == nil {
		p.Size = info.Size()
	}
	if strings.HasPrefix(name, "hevc") {
		p.Video, p.NeedsProxy = "hevc", "Browsers can't be relied on to show HEVC: this clip needs a proxy."
	}
	if !strings.HasPrefix(name, "undated") {
		at := time.Date(2026, 5, 9, 17, 5, 0, 0, time.UTC)
		if d, err := time.Parse("20060102", name[:min(8, len(name))]); err == nil {
			at = d.Add(9 * time.Hour)
		}
		p.RecordedAt, p.RecordedBy = &at, "creation_time"
	}
	return p, nil
}

func (f facts) Frames(ctx context.Context, path string, progress func(float64)) (media.FrameTable, error) {
	if f.hold != nil {
		select {
		case <-f.hold:
		case <-ctx.Done():
			return media.FrameTable{}, ctx.Err()
		}
	}
	t := media.FrameTable{End: 10 * annotate.Second}
	for i := range 300 {
		t.PTS = append(t.PTS, annotate.Micros(i)*annotate.Second/30)
	}
	return t, nil
}

// fixture is a server on a real library in a folder of its own.
type fixture struct {
	*Server
	lib  *library.Library
	home string // where the clips lie; the chooser's only place
}

func newFixture(t testing.TB, prober library.Prober) fixture {
	t.Helper()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	f := fixture{home: t.TempDir()}
	var err error
	f.lib, err = library.Open(context.Background(), library.Config{Dir: t.TempDir(), Prober: prober, Now: time.Now, Log: log, DefaultBook: exchange.DefaultBook()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := f.lib.Close(); err != nil {
			t.Error(err)
		}
	})
	f.Server, err = New(Config{
		Library: f.lib, UI: ui.Files(), Log: log, Addr: testAddr, Token: testToken,
		Places: []Place{{Name: "Home", Path: f.home}}, Beat: time.Hour,
	})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// clipFile writes a file of its own content and returns its path.
func (f fixture) clipFile(t testing.TB, name string, size int) string {
	t.Helper()
	path := filepath.Join(f.home, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	line := []byte(name + "\n")
	if err := os.WriteFile(path, bytes.Repeat(line, size/len(line)+1)[:size], 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// add adds a clip for a dog and returns it.
func (f fixture) add(t testing.TB, dog, name string, size int) store.Clip {
	t.Helper()
	report, err := f.lib.Add(t.Context(), library.AddRequest{Dog: dog, Paths: []string{f.clipFile(t, name, size)}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(report.Files) != 1 || report.Files[0].ClipID == "" {
		t.Fatalf("adding %s: %+v", name, report)
	}
	clip, err := f.lib.Clip(t.Context(), report.Files[0].ClipID)
	if err != nil {
		t.Fatal(err)
	}
	return clip
}

// read starts a reading of a clip and returns its id.
func (f fixture) read(t testing.TB, clip store.Clip) string {
	t.Helper()
	id, err := f.lib.NewReading(t.Context(), clip.ID, "I. Varga")
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// put is the body of an edit that puts one event; was is 0 for a new one.
func put(id, code string, start, end annotate.Micros, was int64) string {
	return fmt.Sprintf(`{"id":%q,"base":0,"put":[{"event":{"id":%q,"code":%q,"start_us":%d,"end_us":%d,"details":{},"note":""},"was":%d}],"remove":[]}`,
		newID(), id, code, start, end, was)
}

func newID() string { return uuid.Must(uuid.NewV7()).String() }

// edit sends an edit and returns what it led to.
func (f fixture) edit(t testing.TB, reading, body string) map[string]any {
	t.Helper()
	w := f.send("POST", "/api/readings/"+reading+"/edits", body)
	if w.Code != 200 {
		t.Fatalf("edit %s = %d: %s", body, w.Code, w.Body)
	}
	return decoded(t, w)
}

// finish says that a reading is finished.
func (f fixture) finish(t testing.TB, reading string) {
	t.Helper()
	f.edit(t, reading, fmt.Sprintf(`{"id":%q,"base":0,"set":{"window":{"start_us":0,"end_us":10000000},"finished":true}}`, newID()))
}

// decoded returns an answer's JSON.
func decoded(t testing.TB, w *httptest.ResponseRecorder) map[string]any {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil {
		t.Fatalf("%v in %s", err, w.Body)
	}
	return v
}
