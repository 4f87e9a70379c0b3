package server

import (
	"net/url"
	"strings"
	"testing"
)

// A browser takes "//host", "/\host", and anything with control characters taken
// out of it for another site (WHATWG URL, "relative slash state" and the removal
// of tab and newline).
func TestLocalPath(t *testing.T) {
	for in, want := range map[string]string{
		"/dogs/x":                   "/dogs/x",
		"/dogs/x?saved=1#facts":     "/dogs/x?saved=1#facts",
		"/search?q=a%26b":           "/search?q=a%26b",
		"":                          "/",
		"dogs":                      "/",
		"//evil.example":            "/",
		"///evil.example":           "/",
		`/\evil.example`:            "/",
		`\/evil.example`:            "/",
		"/\t/evil.example":          "/",
		"/\n/evil.example":          "/",
		" //evil.example":           "/",
		"https://evil.example/":     "/",
		"javascript:alert(1)":       "/",
		"/%2f/evil.example":         "/",
		"/%5cevil.example":          "/",
		"/dogs/%zz":                 "/",
		"/x@evil.example":           "/x@evil.example",
		"/a\x00b":                   "/",
		"/..//evil.example":         "/..//evil.example",
		"/dogs/x?to=//evil.example": "/dogs/x?to=//evil.example",
	} {
		if got := localPath(in).String(); got != want {
			t.Errorf("localPath(%q) = %q, want %q", in, got, want)
		}
	}
}

// What is put into the bin says so on the page above, with a way back; an undo
// leads back to that page, which says that too, and never to another site.
func TestBinAndUndo(t *testing.T) {
	for _, kind := range []string{kindDog, kindSession, kindClip, kindReading} {
		t.Run(kind, func(t *testing.T) {
			f := newFixture(t, facts{})
			clip := f.add(t, hostile[:200], "walk.mp4", 100)
			reading := f.read(t, clip)
			is := map[string]struct{ path, own, above string }{
				kindDog:     {"/dogs/" + clip.DogID, "/dogs/" + clip.DogID, "/"},
				kindSession: {"/sessions/" + clip.SessionID, "/sessions/" + clip.SessionID, "/dogs/" + clip.DogID},
				kindClip:    {"/clips/" + clip.ID, "/clips/" + clip.ID, "/sessions/" + clip.SessionID},
				kindReading: {"/readings/" + reading, "/desk/" + reading, "/sessions/" + clip.SessionID},
			}[kind]
			if w := f.send("POST", is.path+"/bin", ""); w.Code != 303 {
				t.Fatalf("POST %s/bin = %d %s", is.path, w.Code, w.Body)
			} else if to, _, _ := strings.Cut(w.Header().Get("Location"), "?"); to != is.above {
				t.Fatalf("it leads to %q, want %q", to, is.above)
			} else {
				p := f.page(t, w.Header().Get("Location"))
				p.sound(t)
				form := p.one(t, ".done form")
				undo := attr(form, "action")
				back := attr(page{form}.one(t, "input"), "value")
				if !strings.Contains(text(p.one(t, ".done")), "bin") || !strings.HasPrefix(back, is.above) || strings.Contains(back, "act=") {
					t.Errorf("the line says %q and leads back to %q", text(p.one(t, ".done")), back)
				}
				gone := f.send("GET", is.own, "")
				if q := parsePage(t, gone.Body.String()); gone.Code != 404 || text(q.one(t, "h1")) != "In the bin" {
					t.Errorf("its own page = %d headed %q, want that it lies in the bin", gone.Code, text(q.one(t, "h1")))
				} else {
					q.sound(t)
				}
				bin := f.page(t, "/bin")
				bin.sound(t)
				if n := len(bin.all(".binned li")); n != 1 {
					t.Errorf("%d things in the bin, want 1", n)
				}
				w = f.send("POST", undo, url.Values{"back": {"//evil.example/"}}.Encode())
				if to := w.Header().Get("Location"); w.Code != 303 || !strings.HasPrefix(to, "/?act=") {
					t.Errorf("undo back to another site = %d %q, want the dogs", w.Code, to)
				}
				if w := f.send("GET", is.own, ""); w.Code != 200 && w.Code != 303 {
					t.Errorf("after the undo its page = %d", w.Code)
				}
				again := f.send("POST", undo, url.Values{"back": {back}}.Encode())
				if again.Code != 422 || !strings.Contains(again.Body.String(), "taken back already") {
					t.Errorf("an undo of what was undone = %d, want a refusal that says so", again.Code)
				}
				told := f.page(t, withQuery(localPath(back), "act", strings.Split(undo, "/")[2]))
				if got := text(told.one(t, ".done")); !strings.HasPrefix(got, "Taken back: ") || len(told.all(".done form")) > 0 {
					t.Errorf("after the undo the page says %q", got)
				}
			}
		})
	}
}

func TestRestore(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	reading := f.read(t, clip)
	for _, p := range []string{"/readings/" + reading, "/dogs/" + clip.DogID} {
		if w := f.send("POST", p+"/bin", ""); w.Code != 303 {
			t.Fatalf("POST %s/bin = %d %s", p, w.Code, w.Body)
		}
	}
	p := f.page(t, "/bin")
	var forms []string
	for _, n := range p.all(".binned form") {
		forms = append(forms, attr(n, "action"))
	}
	if len(forms) != 2 {
		t.Fatalf("the bin has %q, want the dog and the reading", forms)
	}
	// Anything below the dog is hidden by it, and says so.
	w := f.send("GET", "/sessions/"+clip.SessionID, "")
	q := parsePage(t, w.Body.String())
	if got := attr(q.one(t, "main form"), "action"); w.Code != 404 || got != "/bin/dog/"+clip.DogID+"/restore" {
		t.Errorf("a session below it = %d, offers %q, want to put the dog back", w.Code, got)
	}
	w = f.send("POST", "/bin/dog/"+clip.DogID+"/restore", "")
	if to := w.Header().Get("Location"); w.Code != 303 || !strings.HasPrefix(to, "/dogs/"+clip.DogID) {
		t.Fatalf("restore = %d %q", w.Code, to)
	}
	if got := text(f.page(t, w.Header().Get("Location")).one(t, ".done")); !strings.Contains(got, "back from the bin") {
		t.Errorf("the page says %q", got)
	}
	w = f.send("GET", "/desk/"+reading, "")
	if w.Code != 404 || !strings.Contains(w.Body.String(), "/bin/reading/"+reading+"/restore") {
		t.Errorf("the reading, in the bin by itself, = %d, want a way to put it back", w.Code)
	}
	for _, path := range []string{"/bin/dog/none/restore", "/bin/cat/x/restore", "/dogs/none/bin", "/acts/none/undo"} {
		if w := f.send("POST", path, ""); w.Code != 404 {
			t.Errorf("POST %s = %d, want 404", path, w.Code)
		}
	}
}

func TestEmptyBin(t *testing.T) {
	f := newFixture(t, facts{})
	p := f.page(t, "/bin")
	p.sound(t)
	if got := text(p.one(t, "main")); !strings.Contains(got, "The bin is empty") || !strings.Contains(got, "30 days") {
		t.Errorf("the empty bin says %q", got)
	}
}
