package server

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/exchange"
)

func TestReading(t *testing.T) {
	f := newFixture(t, facts{})
	first := f.add(t, "Tansy", "walk.mp4", 100)
	second := f.add(t, "Tansy", "walk2.mp4", 100)
	id := f.read(t, second)
	w := f.send("GET", "/api/readings/"+id, "")
	if w.Code != 200 {
		t.Fatalf("GET reading = %d: %s", w.Code, w.Body)
	}
	got := decoded(t, w)
	if got["revision"] != 0.0 || got["undo"] != nil || got["redo"] != nil {
		t.Errorf("a new reading has revision %v, undo %v, redo %v, want 0, null, null", got["revision"], got["undo"], got["redo"])
	}
	reading := got["reading"].(map[string]any)
	if reading["afterwalk"] != "reading/1" || reading["reader"] != "I. Varga" || len(reading["events"].([]any)) != 0 {
		t.Errorf("reading = %.300v, want an empty one by I. Varga", reading)
	}
	clip := got["clip"].(map[string]any)
	session := clip["session"].(map[string]any)
	dog := clip["dog"].(map[string]any)
	for k, want := range map[string]any{
		"id": second.ID, "name": "walk2.mp4", "media": "/media/" + second.ID, "frames": "/api/clips/" + second.ID + "/frames",
		"duration_us": 1e7, "start_us": 0.0, "frame_rate": 30.0, "variable": false, "needs_proxy": "", "has_audio": true, "of": 2.0,
	} {
		if diff := cmp.Diff(want, clip[k]); diff != "" {
			t.Errorf("clip.%s (-want +got)\n%s", k, diff)
		}
	}
	if first.SessionID != second.SessionID || session["id"] != second.SessionID || session["title"] != "session 1, Sat 9 May 2026" {
		t.Errorf("session = %v, want the one of both clips, with its date", session)
	}
	if dog["name"] != "Tansy" || dog["id"] != second.DogID {
		t.Errorf("dog = %v, want Tansy", dog)
	}
}

func TestEdit(t *testing.T) {
	f := newFixture(t, facts{})
	id := f.read(t, f.add(t, "Tansy", "walk.mp4", 100))
	url := "/api/readings/" + id + "/edits"

	body := put("e1", "ex-sit", 1*annotate.Second, 3*annotate.Second, 0)
	got := f.edit(t, id, body)
	changed := got["changed"].([]any)
	if got["revision"] != 1.0 || got["repeated"] != false || len(changed) != 1 || changed[0].(map[string]any)["rev"] != 1.0 {
		t.Errorf("first edit = %v, want revision 1 with one event of rev 1", got)
	}
	if got["measures"] == nil || got["undo"] == nil || got["redo"] != nil {
		t.Errorf("first edit: measures %v, undo %v, redo %v, want measures and something to undo", got["measures"], got["undo"], got["redo"])
	}
	undo := got["undo"].(string)

	again := f.edit(t, id, body)
	if again["repeated"] != true || again["revision"] != 1.0 || again["measures"] == nil {
		t.Errorf("the same edit again = %v, want repeated, revision 1, with measures", again)
	}

	w := f.send("POST", url, put("e1", "ex-sit", 1*annotate.Second, 4*annotate.Second, 7))
	conflict := decoded(t, w)
	if w.Code != 409 || conflict["revision"] != 1.0 || conflict["gone"] != false {
		t.Fatalf("edit of a version that is not there = %d %s, want 409", w.Code, w.Body)
	}
	c := conflict["conflicts"].([]any)[0].(map[string]any)
	if c["id"] != "e1" || c["yours"].(map[string]any)["end_us"] != 4e6 || c["now"].(map[string]any)["end_us"] != 3e6 {
		t.Errorf("conflict = %v, want both versions of e1", c)
	}

	w = f.send("POST", url, put("e2", "no such code", 0, 0, 0))
	wrong := decoded(t, w)
	if w.Code != 422 || len(wrong["problems"].([]any)) == 0 {
		t.Errorf("unknown code = %d %s, want 422 with problems", w.Code, w.Body)
	}
	w = f.send("POST", url, `{"base":0}`)
	if w.Code != 422 {
		t.Errorf("edit without id = %d %s, want 422", w.Code, w.Body)
	}

	undone := f.edit(t, id, fmt.Sprintf(`{"id":%q,"base":1,"undo":%q}`, newID(), undo))
	if cmp.Diff([]any{"e1"}, undone["removed"]) != "" || undone["redo"] == nil || undone["undo"] != nil {
		t.Errorf("undo = %v, want e1 removed and something to redo", undone)
	}
	redone := f.edit(t, id, fmt.Sprintf(`{"id":%q,"base":2,"redo":%q}`, newID(), undone["redo"]))
	if len(redone["changed"].([]any)) != 1 || redone["redo"] != nil || redone["undo"] == nil {
		t.Errorf("redo = %v, want e1 back", redone)
	}

	// The first edit again, now that others followed: its event as it is now.
	f.edit(t, id, put("e1", "ex-sit", 1*annotate.Second, 5*annotate.Second, 1))
	again = f.edit(t, id, body)
	if changed := again["changed"].([]any); again["repeated"] != true || again["revision"] != 4.0 || len(changed) != 1 || changed[0].(map[string]any)["end_us"] != 5e6 {
		t.Errorf("the first edit again = %v, want repeated at revision 4 with e1 until 5 s", again)
	}
	f.edit(t, id, fmt.Sprintf(`{"id":%q,"base":4,"remove":[{"id":"e1","was":4}]}`, newID()))
	again = f.edit(t, id, body)
	if cmp.Diff([]any{"e1"}, again["removed"]) != "" || len(again["changed"].([]any)) != 0 {
		t.Errorf("the first edit again = %v, want e1 removed", again)
	}

	done := f.edit(t, id, fmt.Sprintf(`{"id":%q,"base":3,"set":{"window":{"start_us":0,"end_us":10000000},"finished":true,"coded":null}}`, newID()))
	if done["finished"] != true || done["window"].(map[string]any)["end_us"] != 1e7 || done["coded"] != nil {
		t.Errorf("finishing = %v, want finished, the whole clip, all lanes", done)
	}

	if w := f.send("POST", "/api/readings/"+newID()+"/edits", body); w.Code != 404 {
		t.Errorf("edit of no reading = %d, want 404", w.Code)
	}
}

func TestReadingFiles(t *testing.T) {
	f := newFixture(t, facts{})
	id := f.read(t, f.add(t, "Tansy", `walk "1" <%41> 🐕.mp4`, 100))
	f.edit(t, id, put("e1", "ex-sit", 1*annotate.Second, 3*annotate.Second, 0))

	w := f.send("GET", "/api/readings/"+id+"/export", "")
	r, err := exchange.ReadReading(strings.NewReader(w.Body.String()))
	if err != nil {
		t.Fatalf("the exported reading can't be read: %v", err)
	}
	if len(r.Events) != 1 || r.Events[0].ID != "e1" {
		t.Errorf("exported events = %v, want e1", r.Events)
	}
	if got, want := w.Header().Get("Content-Disposition"), "attachment; filename*=utf-8''walk%20-1-%20--41-%20%F0%9F%90%95.I.%20Varga.reading.json"; got != want {
		t.Errorf("Content-Disposition = %s, want %s", got, want)
	}

	for _, tt := range []struct{ path, kind, begins, disposition string }{
		{"captions.vtt", "text/vtt; charset=utf-8", "WEBVTT", ""},
		{"captions.vtt?track=coder&download=1", "text/vtt; charset=utf-8", "WEBVTT", "attachment"},
		{"captions.srt?download=1", "application/x-subrip; charset=utf-8", "\ufeff1\n00:00:01,000 --> ", "attachment"},
	} {
		w := f.send("GET", "/api/readings/"+id+"/"+tt.path, "")
		if w.Code != 200 || w.Header().Get("Content-Type") != tt.kind || !strings.HasPrefix(w.Body.String(), tt.begins) {
			t.Errorf("GET %s = %d %s %.60q, want %s that begins with %q", tt.path, w.Code, w.Header().Get("Content-Type"), w.Body, tt.kind, tt.begins)
		}
		if got := w.Header().Get("Content-Disposition"); !strings.HasPrefix(got, tt.disposition) || got != "" && tt.disposition == "" {
			t.Errorf("GET %s: Content-Disposition = %q, want %q", tt.path, got, tt.disposition)
		}
	}
	if w := f.send("GET", "/api/readings/"+id+"/captions.vtt?track=../x", ""); w.Code != 404 {
		t.Errorf("unknown track = %d, want 404", w.Code)
	}
	if w := f.send("GET", "/api/readings/"+id+"/captions.ttml", ""); w.Code != 404 {
		t.Errorf("unknown format = %d, want 404", w.Code)
	}
}

func TestFileName(t *testing.T) {
	long := strings.Repeat("é", 300)
	for _, tt := range []struct{ clip, reader, want string }{
		{"walk.mp4", "I. Varga", "walk.I. Varga.x"},
		{"walk.2.mov", "", "walk.2.x"},
		{`..\..\etc/passwd.mp4`, `a/b:c*"d"`, "etc-passwd.a-b-c--d.x"},
		{".mp4", "..", "x"},
		{long + ".mp4", long, strings.Repeat("é", 60) + "." + strings.Repeat("é", 30) + ".x"},
		{"a\nb\x00.mp4", "\xff", "a-b.x"},
	} {
		got := fileName(&annotate.Reading{Clip: annotate.Clip{File: tt.clip}, Reader: tt.reader}, "x")
		if got != tt.want {
			t.Errorf("fileName(%.30q, %.30q) = %q, want %q", tt.clip, tt.reader, got, tt.want)
		}
	}
}

func TestUnknownIDs(t *testing.T) {
	f := newFixture(t, facts{})
	f.add(t, "Tansy", "walk.mp4", 100)
	for _, id := range []string{newID(), "x", "..", "%2e%2e", "..%2f..%2fetc%2fpasswd", "%00", "'%20OR%201=1--", strings.Repeat("a", 5000)} {
		for _, path := range []string{"/dogs/%s", "/sessions/%s", "/clips/%s", "/desk/%s", "/api/readings/%s", "/api/readings/%s/export", "/api/readings/%s/captions.vtt", "/api/clips/%s/frames", "/media/%s", "/charts/%s/escalation.svg"} {
			w := httptest.NewRecorder()
			f.Handler().ServeHTTP(w, f.request("GET", fmt.Sprintf(path, id), ""))
			if w.Code != 404 {
				t.Errorf("GET %s with id %.30s = %d, want 404: %.200s", path, id, w.Code, w.Body)
			}
		}
	}
}
