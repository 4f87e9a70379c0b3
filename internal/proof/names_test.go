package proof

import (
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/annotate"
	"afterwalk/internal/browser"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/media/mediatest"
	"afterwalk/internal/store"
)

// hostile are names that people, files and software have, or are given to see what
// happens. Whatever one of them brings into a page has the id gotcha, or calls it.
var hostile = []struct{ what, name string }{
	{"quotes and markup", `Tansy "O'Hara" <img id=gotcha src=x onerror=gotcha()> & 'x' <!--`},
	{"the end of a script", `</script><script id=gotcha>gotcha()</script>&lt;b&gt; javascript:gotcha()`},
	{"percent and template signs", `100 %s %d %2e%2e%2f %00 {{.Title}} ${gotcha()} \u003cb\u003e %`},
	{"emoji", "🐕‍🦺 Bramble 👩🏽‍🚒 e\u0301 ﷽ 🏴󠁧󠁢󠁳󠁣󠁴󠁿"},
	{"right to left", "كلب \u202eBramble\u202c כלב\u200f (טוב)"},
	{"300 characters without a gap", strings.Repeat("Wanderlust", 30)},
}

// fileName is the name as a file may have it.
func fileName(name string) string {
	name = strings.NewReplacer("/", "∕", "\x00", "").Replace(name)
	if len(name) > 240 {
		name = name[:240]
	}
	return name + ".mp4"
}

// hostileBook is the default book with a name in every text of some codes.
func hostileBook(name string) *annotate.Codebook {
	book := exchange.DefaultBook()
	book.ID, book.Version, book.Name = "", 0, name
	for i := range book.Lanes {
		for j := range book.Lanes[i].Codes {
			code := &book.Lanes[i].Codes[j]
			switch code.ID {
			case "behind", "tone", "remark", "ex-heel", "down":
				code.Name = name
				code.Definition.Starts, code.Definition.Ends, code.Definition.Not = name, name, name
				code.Texts.Coder, code.Texts.Handler, code.Texts.Owner = name, name, name
			}
		}
		if i == 0 {
			book.Lanes[i].Name = name
		}
	}
	return book
}

// typed puts a name wherever something can be typed, for a dog of its own.
func (p *program) typed(name, film string) places {
	p.t.Helper()
	ctx := p.t.Context()
	must := func(err error) {
		p.t.Helper()
		if err != nil {
			p.t.Fatalf("%q: %v", name, err)
		}
	}
	report, err := p.lib.Add(ctx, library.AddRequest{Dog: name, Paths: []string{film}}, nil)
	must(err)
	if len(report.Files) != 1 || report.Files[0].ClipID == "" {
		p.t.Fatalf("adding %q: %+v", film, report)
	}
	must(p.lib.WaitFrames(ctx))
	clip, err := p.lib.Clip(ctx, report.Files[0].ClipID)
	must(err)
	dog, err := p.lib.Dog(ctx, clip.DogID)
	must(err)
	dog.Notes, dog.Devices = name+"\n"+name, []store.Device{{Name: name, Channel: "tone"}}
	must(p.lib.SetDog(ctx, dog))
	session, err := p.lib.Session(ctx, clip.SessionID)
	must(err)
	session.Venue, session.Handler, session.Line, session.Device, session.Plan, session.Notes = name, name, name, name, name, name
	must(p.lib.SetSession(ctx, session))
	settings, err := p.lib.Settings(ctx)
	must(err)
	settings.Reader = name
	must(p.lib.SetSettings(ctx, settings))

	at := func(id, code string, from, to annotate.Micros) annotate.Event {
		return annotate.Event{ID: id, Code: code, Start: from, End: to, Note: name}
	}
	tone := at("t", "tone", 2_500_000, 2_500_000)
	tone.Details.Device = name
	distraction := at("d", "distraction", 1_000_000, 2_000_000)
	distraction.Details.Kind = name
	r := &annotate.Reading{
		ID: newID(), Reader: name, Handler: name, Venue: name, Book: hostileBook(name), Finished: true,
		Clip: annotate.Clip{Duration: clip.Footage.Duration}, Window: annotate.Span{End: clip.Footage.Duration},
		Events: []annotate.Event{at("h", "ex-heel", 500_000, 3_800_000), distraction, at("b", "behind", 2_000_000, 3_000_000), tone, at("r", "remark", 3_500_000, 3_500_000)},
	}
	reading, err := p.lib.ImportReading(ctx, clip.ID, r)
	must(err)
	return p.places(reading)
}

// A name stays a name on every page: nothing of it becomes a part of the page, none
// of it is lost, and the page is no wider for it.
func TestHostileNames(t *testing.T) {
	p := start(t)
	films := t.TempDir()
	tab := &page{t, newBrowser(t)}
	tab.do(browser.Window(820, 1180, false), chromedp.Navigate(p.server.StartURL()))
	var walked []places
	for i, h := range hostile {
		film := filepath.Join(films, fileName(h.name))
		mediatest.Make(t, mediatest.Playable()[i]).CopyTo(t, film)
		if _, err := os.Stat(film); err != nil {
			t.Skip(err) // a system whose files can't have such names
		}
		walked = append(walked, p.typed(h.name, film))
	}
	check := func(t *testing.T, tab *page, path, whole string) {
		t.Helper()
		tab.do(chromedp.Navigate("about:blank"))
		tab.visit(p.url(path))
		got := eval[struct {
			Injected bool
			Wide     int
			Text     string
		}](tab, `({
			Injected: document.querySelector("#gotcha, main img, main script:not([type='application/json'])") !== null || "gotcha" in window && typeof window.gotcha !== "undefined" || document.title === "gotcha",
			Wide: document.documentElement.scrollWidth,
			Text: [document.title, document.body.textContent, ...[...document.querySelectorAll("input, textarea")].map((f) => f.value)].join("\n"),
		})`)
		if got.Injected {
			t.Errorf("%s: a name has become a part of the page", path)
		}
		if got.Wide > 820 {
			t.Errorf("%s: the page is %d wide in a window of 820", path, got.Wide)
		}
		if whole != "" && !strings.Contains(got.Text, whole) {
			t.Errorf("%s: the page does not have %q whole; it has\n%.1500s", path, whole, got.Text)
		}
	}
	for i, h := range hostile {
		t.Run(h.what, func(t *testing.T) {
			tab := &page{t, tab.ctx}
			b, err := json.Marshal(h.name)
			if err != nil {
				t.Fatal(err)
			}
			quoted := string(b) // for JavaScript
			paths := p.pages(walked[i])
			for _, path := range paths {
				whole := ""
				for _, about := range []string{"/dogs/", "/sessions/", "/desk/"} {
					if strings.HasPrefix(path, about) {
						whole = h.name
					}
				}
				if whole == "" && i > 0 {
					continue // the same page for all names
				}
				check(t, tab, path, whole)
			}
			check(t, tab, "/", h.name)
			check(t, tab, "/search?q="+url.QueryEscape(h.name), h.name)
			check(t, tab, "/add?dog="+url.QueryEscape(h.name), h.name)
			check(t, tab, "/dogs/"+url.PathEscape(h.name), "")
			check(t, tab, "/?act="+url.QueryEscape(h.name), "")

			// The desk with everything open that shows a name.
			tab.visit(p.url("/desk/" + walked[i].reading))
			tab.until("desk.player.frames")
			tab.press("?")
			tab.until(`document.getElementById("help").open`)
			if got := eval[int](tab, fmt.Sprintf(`document.getElementById("help").textContent.split(%s).length - 1`, quoted)); got < 5 {
				t.Errorf("the keys name it %d times, want each code", got)
			}
			tab.press("?")
			tab.do(run("desk.select([desk.reading.events[0].id]); desk.openEditor('edit-note')"))
			tab.until(fmt.Sprintf(`document.getElementById("edit-note")?.value === %s`, quoted))
			if eval[bool](tab, `document.querySelector("#gotcha") !== null || document.documentElement.scrollWidth > 820`) {
				t.Error("on the desk a name has become a part of the page, or makes it wider")
			}
			// Captions carry it as text.
			tab.press(kb.Escape, "`")
			tab.until(`[...document.getElementById("video").textTracks].some((t) => t.mode === "showing" && t.cues?.length > 0)`)
			tab.press("`")
		})
	}
	t.Run("in the bin", func(t *testing.T) {
		tab := &page{t, tab.ctx}
		for i, h := range hostile {
			act, err := p.lib.Bin(t.Context(), "dog", walked[i].dog)
			if err != nil {
				t.Fatal(err)
			}
			check(t, tab, "/?act="+act, h.name)
			check(t, tab, "/bin", h.name)
		}
	})
}
