package server

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// hostile is a name that breaks out of anything that is put together by hand.
var hostile = `"><script>alert(1)</script><img src=x onerror=alert(2)> %3Cb%3E {{.}} ' ` + strings.Repeat("ü", 180) + "🐕"

// page fetches a page and parses it. What stands behind # stays in the browser.
func (f fixture) page(t *testing.T, path string) page {
	t.Helper()
	path, _, _ = strings.Cut(path, "#")
	w := f.send("GET", path, "")
	if w.Code != 200 {
		t.Fatalf("GET %s = %d: %s", path, w.Code, w.Body)
	}
	return parsePage(t, w.Body.String())
}

// sound checks what every page has to have.
func (p page) sound(t *testing.T) {
	t.Helper()
	if attr(p.one(t, "html"), "lang") == "" || text(p.one(t, "head title")) == "" {
		t.Error("no language or no title")
	}
	if len(p.all("h1")) != 1 {
		t.Errorf("%d first headings, want 1", len(p.all("h1")))
	}
	if got := attr(p.one(t, "a.skip"), "href"); got != "#main" {
		t.Errorf("the skip link leads to %q", got)
	}
	p.one(t, "main#main")
	ids := map[string]bool{}
	for _, n := range p.all("[id]") {
		if ids[attr(n, "id")] {
			t.Errorf("the id %q stands twice", attr(n, "id"))
		}
		ids[attr(n, "id")] = true
	}
	for _, name := range []string{"for", "aria-labelledby", "aria-describedby", "list"} {
		for _, n := range p.all("[" + name + "]") {
			if n.Data == "dialog" && n.FirstChild == nil {
				continue // its script fills it, the name included
			}
			for _, id := range strings.Fields(attr(n, name)) {
				if !ids[id] {
					t.Errorf("%s of <%s> names %q, which is not there", name, n.Data, id)
				}
			}
		}
	}
	labelled := map[string]bool{}
	for _, n := range p.all("label[for]") {
		labelled[attr(n, "for")] = true
	}
	for _, tag := range []string{"input", "textarea", "select"} {
		for _, n := range p.all(tag) {
			inside := n.Parent != nil && n.Parent.Data == "label"
			if attr(n, "type") != "hidden" && !inside && !labelled[attr(n, "id")] && attr(n, "aria-label") == "" {
				t.Errorf("<%s id=%q> has no label", n.Data, attr(n, "id"))
			}
		}
	}
	for _, n := range p.all("[style]") {
		t.Errorf("<%s> has an inline style", n.Data)
	}
	for _, n := range p.all("[onerror]") {
		t.Errorf("<%s> has a handler: a name got out of its place", n.Data)
	}
	for _, n := range p.all("script") {
		if attr(n, "src") == "" && attr(n, "type") != "application/json" {
			t.Errorf("inline script: %s", text(n))
		}
	}
}

func TestEmptyLibrary(t *testing.T) {
	f := newFixture(t, facts{})
	p := f.page(t, "/")
	p.sound(t)
	if got := text(p.one(t, "main")); !strings.Contains(got, "afterwalk add --dog NAME FOLDER") {
		t.Errorf("the empty page says %q, want both ways to begin", got)
	}
	if len(p.all("main a[href=/add]")) != 1 {
		t.Error("no way from the empty page to adding clips")
	}
}

func TestPages(t *testing.T) {
	for _, name := range []string{"Tansy", hostile} {
		t.Run(fmt.Sprintf("%.10s", name), func(t *testing.T) {
			f := newFixture(t, facts{})
			clip := f.add(t, name, "20260502 walk.mp4", 100)
			f.add(t, name, "20260509 hevc's \"walk\" <b>.mp4", 100)
			f.add(t, name, "undated.mp4", 100)
			id, err := f.lib.NewReading(t.Context(), clip.ID, name)
			if err != nil {
				t.Fatal(err)
			}
			f.edit(t, id, put("e1", "ex-sit", annotate.Second, 3*annotate.Second, 0))

			dogs := f.page(t, "/")
			dogs.sound(t)
			link := dogs.one(t, "main .rows a")
			if text(link) != strings.Join(strings.Fields(name), " ") {
				t.Errorf("the dog is shown as %q, want %q", text(link), name)
			}

			dog := f.page(t, attr(link, "href"))
			dog.sound(t)
			if text(dog.one(t, "h1")) != strings.Join(strings.Fields(name), " ") {
				t.Errorf("the dog's page is headed %q", text(dog.one(t, "h1")))
			}
			left := text(dog.one(t, "[aria-labelledby=left-title]"))
			if !strings.Contains(left, "20260502 walk.mp4") || !strings.Contains(left, "is not finished") || !strings.Contains(left, "not read yet") {
				t.Errorf("what isn't counted: %q, want the unfinished reading and the clips that nobody read", left)
			}
			sessions := dog.all("[aria-labelledby=sessions-title] li a")
			var titles []string
			for _, n := range sessions {
				titles = append(titles, text(n))
			}
			if got, want := strings.Join(titles, "; "), "session 2, Sat 9 May 2026; session 1, Sat 2 May 2026; session without a date"; got != want {
				t.Errorf("sessions = %q, want %q", got, want)
			}
			add := attr(dog.one(t, "[aria-labelledby=sessions-title] a.button"), "href")
			u, err := url.Parse(add)
			if err != nil || u.Query().Get("dog") != name {
				t.Errorf("adding leads to %q, want the dog's name to arrive", add)
			}

			session := f.page(t, "/sessions/"+clip.SessionID)
			session.sound(t)
			if got := attr(session.one(t, "table.readings th a[href=/desk/"+id+"]"), "href"); got == "" {
				t.Error("the reading does not lead to its desk")
			}
			if got := attr(session.one(t, "#clip-"+clip.ID+" input.reader"), "value"); got != name {
				t.Errorf("the next reader is %q, want the last one %q", got, name)
			}

			adding := f.page(t, add)
			adding.sound(t)
			if got := attr(adding.one(t, "#dog"), "value"); got != name {
				t.Errorf("the dog to add for is %q, want %q", got, name)
			}
			if got := attr(adding.one(t, "#dogs option"), "value"); got != name {
				t.Errorf("the dogs to choose from: %q, want %q", got, name)
			}

			desk := f.page(t, "/desk/"+id)
			desk.sound(t)
			if got := text(desk.one(t, "script#page-data")); !strings.Contains(got, id) {
				t.Errorf("the desk starts from %q, want its reading", got)
			}
		})
	}
}

func TestSessionFacts(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	path := "/sessions/" + clip.SessionID
	form := url.Values{"venue": {" Mill Meadow\x01 "}, "handler": {hostile}, "plan": {"Downs.\r\nThen heel."}, "notes": {"\xff"}}
	w := f.send("POST", path, form.Encode())
	if w.Code != 303 {
		t.Fatalf("POST = %d %s", w.Code, w.Body)
	}
	got, err := f.lib.Session(t.Context(), clip.SessionID)
	if err != nil {
		t.Fatal(err)
	}
	if got.Venue != "Mill Meadow" || got.Handler != strings.TrimSpace(hostile) || got.Plan != "Downs.\nThen heel." || got.Notes != "\uFFFD" {
		t.Errorf("stored %+v", got)
	}
	p := f.page(t, w.Header().Get("Location"))
	p.sound(t)
	if !strings.Contains(text(p.one(t, "[role=status].good-text")), "Saved.") || attr(p.one(t, "#handler"), "value") != strings.TrimSpace(hostile) {
		t.Error("the page does not show what was stored")
	}
	w = f.send("POST", path, url.Values{"venue": {strings.Repeat("x", maxName+1)}}.Encode())
	if w.Code != 422 || !strings.Contains(w.Body.String(), "too long") {
		t.Errorf("a venue that is too long = %d", w.Code)
	}
	if again, err := f.lib.Session(t.Context(), clip.SessionID); err != nil || cmp.Diff(got, again) != "" {
		t.Errorf("a refused form changed the session: %+v, %v", again, err)
	}
}

func TestNewReading(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	path := "/clips/" + clip.ID + "/readings"
	w := f.send("POST", path, url.Values{"reader": {"P. Quill"}}.Encode())
	if w.Code != 303 || !strings.HasPrefix(w.Header().Get("Location"), "/desk/") {
		t.Fatalf("POST = %d %s", w.Code, w.Header().Get("Location"))
	}
	f.page(t, w.Header().Get("Location"))
	for name, tt := range map[string]struct {
		path, body string
		want       int
	}{
		"no reader":   {path, "reader=+", 422},
		"long reader": {path, "reader=" + strings.Repeat("x", maxName+1), 422},
		"no clip":     {"/clips/" + newID() + "/readings", "reader=x", 404},
	} {
		if w := f.send("POST", tt.path, tt.body); w.Code != tt.want {
			t.Errorf("%s = %d, want %d", name, w.Code, tt.want)
		}
	}
	readings, err := f.lib.Readings(t.Context(), clip.ID)
	if err != nil || len(readings) != 1 {
		t.Errorf("readings = %v, %v, want the one that was started", readings, err)
	}
}

func TestMissingAndProxy(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "hevc.mp4", 100)
	p := f.page(t, "/sessions/"+clip.SessionID)
	if got := text(p.one(t, "#clip-"+clip.ID)); !strings.Contains(got, "needs a proxy") {
		t.Errorf("the clip says %q, want that it needs a proxy", got)
	}
}

func TestCounting(t *testing.T) {
	r := func(id string, finished, agreed bool) store.ReadingSummary {
		return store.ReadingSummary{ID: id, Finished: finished, Agreed: agreed}
	}
	for _, tt := range []struct {
		name string
		in   []store.ReadingSummary
		want string
	}{
		{"none", nil, ""},
		{"unfinished", []store.ReadingSummary{r("a", false, false)}, ""},
		{"first finished", []store.ReadingSummary{r("a", false, false), r("b", true, false), r("c", true, false)}, "b"},
		{"agreed goes before", []store.ReadingSummary{r("a", true, false), r("b", true, true)}, "b"},
	} {
		if got := library.CountingOf(tt.in); got != tt.want {
			t.Errorf("%s: CountingOf = %q, want %q", tt.name, got, tt.want)
		}
	}
}

func TestErrorPage(t *testing.T) {
	f := newFixture(t, facts{})
	w := httptest.NewRecorder()
	f.Handler().ServeHTTP(w, f.request("GET", "/dogs/none", ""))
	p := parsePage(t, w.Body.String())
	p.sound(t)
	if w.Code != 404 || text(p.one(t, "h1")) != "Nothing here" {
		t.Errorf("GET /dogs/none = %d, headed %q", w.Code, text(p.one(t, "h1")))
	}
}
