package server

import (
	"encoding/csv"
	"mime"
	"net/url"
	"strings"
	"testing"

	"afterwalk/annotate"
)

// events fetches a table of events.
func (f fixture) events(t *testing.T, path string) (name string, rows []map[string]string) {
	t.Helper()
	w := f.send("GET", path, "")
	if w.Code != 200 {
		t.Fatalf("GET %s = %d: %s", path, w.Code, w.Body)
	}
	if got := w.Header().Get("Content-Type"); got != "text/csv; charset=utf-8; header=present" {
		t.Errorf("%s is of type %q", path, got)
	}
	kind, params, err := mime.ParseMediaType(w.Header().Get("Content-Disposition"))
	if err != nil || kind != "attachment" {
		t.Errorf("%s: disposition %q, %v", path, w.Header().Get("Content-Disposition"), err)
	}
	all, err := csv.NewReader(w.Body).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[all[0][i]] = v
		}
		rows = append(rows, m)
	}
	return params["filename"], rows
}

func TestEvents(t *testing.T) {
	f := newFixture(t, facts{})
	first := f.add(t, "Tansy", "20260502 walk.mp4", 100)
	second := f.add(t, "Tansy", "20260509 walk.mp4", 200)
	other := f.add(t, "Bramble", "20260509 other.mp4", 300)
	a, b, c, d := f.read(t, first), f.read(t, first), f.read(t, second), f.read(t, other)
	for i, id := range []string{a, b, c, d} {
		f.edit(t, id, put([]string{"a1", "b1", "c1", "d1"}[i], "did", annotate.Second, annotate.Second, 0))
	}
	f.finish(t, b)

	list := func(rows []map[string]string) string {
		var out []string
		for _, r := range rows {
			out = append(out, r["event"]+" "+r["session"]+" "+r["counts"])
		}
		return strings.Join(out, "; ")
	}
	for _, tt := range []struct{ path, name, want string }{
		{"/api/readings/" + a + "/events.csv", "20260502 walk.I. Varga.events.csv", "a1 session 1, Sat 2 May 2026 false"},
		{"/api/readings/" + b + "/events.csv", "20260502 walk.I. Varga.events.csv", "b1 session 1, Sat 2 May 2026 true"},
		{"/sessions/" + first.SessionID + "/events.csv", "Tansy.2026-05-02.events.csv", "b1 session 1, Sat 2 May 2026 true; a1 session 1, Sat 2 May 2026 false"},
		{"/dogs/" + first.DogID + "/events.csv", "Tansy.events.csv",
			"b1 session 1, Sat 2 May 2026 true; a1 session 1, Sat 2 May 2026 false; c1 session 2, Sat 9 May 2026 false"},
	} {
		name, rows := f.events(t, tt.path)
		if name != tt.name {
			t.Errorf("%s is saved as %q, want %q", tt.path, name, tt.name)
		}
		if got := list(rows); got != tt.want {
			t.Errorf("%s = %s, want %s", tt.path, got, tt.want)
		}
	}
	for _, path := range []string{"/api/readings/none/events.csv", "/sessions/none/events.csv", "/dogs/none/events.csv"} {
		if w := f.send("GET", path, ""); w.Code != 404 || w.Header().Get("Content-Disposition") != "" {
			t.Errorf("GET %s = %d, %v, want 404 and no file", path, w.Code, w.Header())
		}
	}
}

// Names that break out of headers and paths.
func TestEventsNames(t *testing.T) {
	for _, name := range []string{hostile, `../../etc/passwd`, "a\"; filename=\"b", "日本 🐕", "...", `C:\x`, "%2e%2e%2f"} {
		f := newFixture(t, facts{})
		clip := f.add(t, name, "walk.mp4", 100)
		id, err := f.lib.NewReading(t.Context(), clip.ID, name)
		if err != nil {
			t.Fatal(err)
		}
		f.edit(t, id, put("e1", "did", annotate.Second, annotate.Second, 0))
		for _, path := range []string{"/api/readings/" + id, "/sessions/" + clip.SessionID, "/dogs/" + clip.DogID} {
			file, rows := f.events(t, path+"/events.csv")
			if strings.ContainsAny(file, "/\\\"\r\n\x00<>|:*?%") || !strings.HasSuffix(file, "events.csv") || strings.HasPrefix(file, "..") {
				t.Errorf("%q: %s is saved as %q", name, path, file)
			}
			if len(rows) != 1 || rows[0]["dog"] != name || rows[0]["reader"] != name {
				t.Errorf("%q: %s has %v", name, path, rows)
			}
		}
		if _, rows := f.events(t, "/dogs/"+clip.DogID+"/events.csv?"+url.Values{"guarded": {"1"}}.Encode()); len(rows) != 1 {
			t.Errorf("%q: guarded rows %v", name, rows)
		}
	}
}
