package proof

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/chromedp/chromedp"

	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// added is what is said of a file.
type added struct {
	Path, Clip, Problem string
}

// addByCommand adds by the command, and reads what it prints.
func addByCommand(t *testing.T, p *process, w *wildFootage) []added {
	out, errs, code := p.call(append([]string{"add", "--dog", "Tansy"}, w.chosen()...)...)
	if code != 3 {
		t.Errorf("add ended with %d, want 3: some could not be added\n%s", code, errs)
	}
	if strings.Contains(out+errs, secret) {
		t.Error("the secret is printed")
	}
	if want := fmt.Sprintf("%d of %d files could not be added; the others were", len(w.wants)-len(w.good), len(w.wants)); !strings.Contains(errs, want) {
		t.Errorf("add says %q, want %q", errs, want)
	}
	var list []added
	for path := range w.wants {
		at := strings.Index(out, path+": ")
		if at < 0 {
			t.Errorf("nothing is said of %q", path)
			continue
		}
		said, _, _ := strings.Cut(out[at+len(path)+2:], "\n")
		what, problem, _ := strings.Cut(said, ". ")
		a := added{Path: path, Problem: problem}
		switch what {
		case "added":
			a.Clip = "?"
		case "not added":
		default:
			t.Errorf("of %q is said %q", path, said)
		}
		list = append(list, a)
	}
	p.serve()
	return list
}

// addByPage adds as the page for adding does, and waits until that is done.
func addByPage(t *testing.T, p *process, w *wildFootage) []added {
	p.serve()
	c := newClient(t, p.startURL)
	status, reply, err := c.ask(t.Context(), http.MethodPost, "/api/add", map[string]any{"dog": "Tansy", "paths": w.chosen()})
	if err != nil || status != http.StatusOK && status != http.StatusAccepted {
		t.Fatalf("add: %d %v\n%s", status, err, reply)
	}
	var list []added
	p.quiet(c, func(kind string, report []added) {
		if kind == "add" {
			list = report
		}
	})
	return list
}

// quiet waits until no job is under way, and tells of each.
func (p *process) quiet(c *client, tell func(kind string, files []added)) {
	p.t.Helper()
	for {
		text := c.get("/api/jobs")
		if bytes.Contains(text, []byte(secret)) {
			p.t.Error("the secret is told")
		}
		var all struct {
			Jobs []struct {
				Kind, State string
				Report      struct{ Files []added }
			}
		}
		if err := json.Unmarshal(text, &all); err != nil {
			p.t.Fatal(err)
		}
		busy := false
		for _, j := range all.Jobs {
			busy = busy || j.State == "waiting" || j.State == "running"
		}
		if busy {
			continue
		}
		for _, j := range all.Jobs {
			tell(j.Kind, j.Report.Files)
		}
		return
	}
}

// Footage as it comes: what can't be added is named with what is wrong, the rest
// goes on, and nothing but the chosen files is read.
func TestWildFootage(t *testing.T) {
	for name, add := range map[string]func(*testing.T, *process, *wildFootage) []added{"by the command": addByCommand, "by the page": addByPage} {
		t.Run(name, func(t *testing.T) {
			p := newProcess(t)
			w := wildIn(t, p.home)
			opens := watchOpens(t, w.secret)
			said := map[string]added{}
			for _, a := range add(t, p, w) {
				said[a.Path] = a
			}
			for path, says := range w.wants {
				a, ok := said[jsonText(path)]
				if !ok {
					a, ok = said[path]
				}
				switch {
				case !ok:
					t.Errorf("%q: nothing is said of it", filepath.Base(path))
				case (a.Clip != "") != w.good[path]:
					t.Errorf("%q: added is %v, want %v (%s)", filepath.Base(path), a.Clip != "", w.good[path], a.Problem)
				case !strings.Contains(a.Problem, says) || says == "" && a.Problem != "":
					t.Errorf("%q: of it is said %q, want %q", filepath.Base(path), a.Problem, says)
				}
			}
			c := newClient(t, p.startURL)
			p.quiet(c, func(string, []added) {})
			clips := p.footage()
			if len(clips) != len(w.good) {
				t.Errorf("%d clips in the library, want %d", len(clips), len(w.good))
			}
			p.serves(t, c, w, clips)
			p.checks(0)
			p.stop()
			holds(t, p.dir, secret)
			if opens != nil {
				if n := opens(); n != 0 {
					t.Errorf("the file that nobody chose was opened or read %d times", n)
				}
				if _, err := os.ReadFile(w.secret); err != nil || opens() == 0 {
					t.Errorf("opening it isn't noticed: this test shows nothing (%v)", err)
				}
			}
		})
	}
}

// jsonText is a text as it comes out of JSON: what is no UTF-8 is replaced.
func jsonText(s string) (out string) {
	b, err := json.Marshal(s)
	if err == nil {
		err = json.Unmarshal(b, &out)
	}
	if err != nil {
		panic(err) // a string is always JSON
	}
	return out
}

// footage returns all clips.
func (p *process) footage() (list []store.Clip) {
	p.t.Helper()
	ids := p.clips()
	p.look(func(ctx context.Context, l *library.Library) {
		for _, id := range ids {
			c, err := l.Clip(ctx, id)
			if err != nil {
				p.t.Fatal(err)
			}
			list = append(list, c)
		}
	})
	return list
}

// serves checks that every clip is there with its own bytes, under its own name,
// and can be coded, exported and captioned; and that names stay text in pages.
func (p *process) serves(t *testing.T, c *client, w *wildFootage, clips []store.Clip) {
	t.Helper()
	desks := map[string]string{} // by the clip's name
	names := map[string]bool{}
	for _, clip := range clips {
		path := filepath.Join(clip.Footage.Root, clip.Footage.Path)
		names[path] = true
		content, err := os.ReadFile(path)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		copied := clip.Footage.Proxy == store.ProxyReady
		if copied != (clip.Footage.NeedsProxy != "") {
			t.Errorf("%q: a copy is there: %t; needed: %q", clip.Footage.Path, copied, clip.Footage.NeedsProxy)
		}
		if got := c.get("/media/" + clip.ID); bytes.Equal(got, content) == copied {
			t.Errorf("%q: %d bytes are served, the file has %d; a copy is there: %t", clip.Footage.Path, len(got), len(content), copied)
		}
		reading := c.reading(clip.ID, "I. Varga")
		status, reply, err := c.ask(t.Context(), http.MethodPost, "/api/readings/"+reading+"/edits", edit{ID: newID(), Put: []put{{momentAt("marker", 0), 0}}})
		if err != nil || status != http.StatusOK {
			t.Errorf("%q: an edit is answered %d %v: %s", clip.Footage.Path, status, err, reply)
		}
		for _, way := range []string{"/export", "/captions.vtt?download=1", "/captions.srt?download=1"} {
			c.names(t, "/api/readings/"+reading+way)
		}
		desks[clip.Footage.Path] = reading
		if strings.HasPrefix(clip.Footage.Path, "half.") && clip.Footage.Warning == "" {
			t.Errorf("%s: nothing warns of the missing end", clip.Footage.Path)
		}
		page := html.UnescapeString(string(c.get("/sessions/" + clip.SessionID)))
		silent := clip.Footage.Silent
		if copied {
			silent = ""
		}
		for _, says := range []string{silent, clip.Footage.Warning, strings.TrimSuffix(clip.Footage.Path, ".mp4")} {
			if !strings.Contains(page, says) && utf8.ValidString(says) {
				t.Errorf("%q: its session's page doesn't say %q", clip.Footage.Path, says)
			}
		}
	}
	for path := range w.good {
		if !names[path] && utf8.ValidString(path) {
			t.Errorf("%q is not in the library under its name", path)
		}
	}
	hostile := strangeNames[1]
	tab := p.desk(newBrowser(t), desks[hostile])
	if title := eval[string](tab, "document.title"); !strings.Contains(title, strings.TrimSuffix(hostile, ".mp4")) {
		t.Errorf("the desk's title is %q, want the clip's name in it", title)
	}
	tab.at(5, "m")
	eval[bool](tab, "saved()")
	for _, path := range []string{"/desk/" + desks[hostile], "/sessions/" + clips[0].SessionID, "/sessions/" + clips[len(clips)-1].SessionID} {
		tab.do(chromedp.Navigate(p.base + path))
		if eval[bool](tab, `document.querySelector("img, #gotcha") !== null || document.title === "gotcha"`) {
			t.Errorf("%s: a name has become a part of the page", path)
		}
	}
	// What the browser can't play is shown by a copy that it can.
	for _, name := range []string{"new phone.mp4", "silent.mp4", "old.avi"} {
		tab.visit(p.base + "/desk/" + desks[name])
		tab.until(`document.querySelector("#video").videoWidth > 0 && desk.player.frames && desk.player.frame === 0`)
		tab.press(".")
		tab.until(`desk.player.frame === 1 && !desk.player.aim && !document.querySelector("[data-about=film]")`)
	}
}

// names checks that a download has a name that every system can keep.
func (c *client) names(t *testing.T, path string) {
	t.Helper()
	reply, err := c.http.Get(c.base + path)
	if err != nil {
		t.Fatal(err)
	}
	defer reply.Body.Close()
	_, _ = io.Copy(io.Discard, reply.Body)
	kind, params, err := mime.ParseMediaType(reply.Header.Get("Content-Disposition"))
	name := params["filename"]
	if reply.StatusCode != http.StatusOK || err != nil || kind != "attachment" || name == "" || len(name) > 255 || strings.ContainsAny(name, "/\\:*?\"<>|\n\t\x00") {
		t.Errorf("%s: %s, to be saved as %q (%v)", path, reply.Status, name, err)
	}
}

// holds fails the test if a file below dir holds a text.
func holds(t *testing.T, dir, text string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(path)
		if bytes.Contains(b, []byte(text)) {
			t.Errorf("%s holds what stands in a file that nobody chose", filepath.Base(path))
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}
