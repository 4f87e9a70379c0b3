package proof

import (
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"context"

	"afterwalk/internal/browser"
	"afterwalk/internal/browser/axe"
)

// windows are those that pages are made for.
var windows = []struct {
	width, height int
	dark          bool
}{{1280, 720, false}, {1280, 720, true}, {820, 1180, false}, {820, 1180, true}}

// visit opens a page and waits until it is there, a desk until it can be worked.
func (p *page) visit(url string) {
	p.t.Helper()
	p.do(chromedp.Navigate(url))
	p.until(`document.readyState === "complete" && (!document.querySelector("#video") || window.desk?.clip && desk.player.media_us >= 0 && !desk.asked.all)`)
}

// accessible holds the page in the state that it is in to axe's rules, at both
// sizes, light and dark.
func (p *page) accessible() {
	p.t.Helper()
	for _, w := range windows {
		p.do(browser.Window(w.width, w.height, w.dark))
		p.do(run(`new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))`))
		all, err := axe.Check(p.ctx)
		if err != nil {
			p.t.Fatal(err)
		}
		for _, v := range all {
			p.t.Errorf("at %d×%d, dark %t: %s", w.width, w.height, w.dark, v)
		}
		if wide := eval[int](p, `document.documentElement.scrollWidth`); wide > w.width {
			p.t.Errorf("the page is %d wide in a window of %d", wide, w.width)
		}
	}
}

// Every page keeps the rules of WCAG 2.2 AA and good practice, as far as a program
// can tell, with something to show and in a library that has nothing yet.
func TestPagesAreAccessible(t *testing.T) {
	p := startDemo(t)
	tab := &page{t, newBrowser(t)}
	tab.do(chromedp.Navigate(p.server.StartURL()))
	at := p.places(p.counting())
	each := func(t *testing.T, p *program, paths []string) {
		for _, path := range paths {
			t.Run(strings.Trim(path, "/"), func(t *testing.T) {
				tab := &page{t, tab.ctx}
				tab.visit(p.url(path))
				tab.accessible()
			})
		}
	}
	paths := p.pages(at)
	t.Run("demo", func(t *testing.T) { each(t, p, append(paths, "/search?q=stay", "/search?q=nowhere+to+be+found")) })

	states := []struct {
		name, path string
		do         func(*page)
	}{
		{"the keys", "/desk/" + at.reading, func(p *page) {
			p.press("?")
			p.until(`document.getElementById("help").open`)
		}},
		{"an event open for changes, with a refusal", "/desk/" + at.reading, func(p *page) {
			p.press(kb.PageDown, kb.Enter)
			p.until(`document.activeElement.id === "edit-code"`)
			p.do(run(`(() => { const f = document.getElementById("edit-start"); f.value = "noon"; f.dispatchEvent(new Event("change")); })()`))
			p.until(`document.getElementById("said").textContent.startsWith("A time is written")`)
		}},
		{"notices on the desk", "/desk/" + at.reading, func(p *page) {
			p.do(run(`desk.notices.film("The film can't be read."); desk.notices.elsewhere(["a", "b"]); desk.notices.letters(false)`))
		}},
		{"two versions to choose from", "/desk/" + at.reading, func(p *page) {
			p.do(run(`desk.clashes.show({ edit: { label: "behind, end moved" }, conflicts: desk.reading.events.slice(0, 2).map((e) => ({ id: e.id, yours: e, now: null })) }, desk.book)`))
		}},
		{"settings that are refused", "/settings", func(p *page) {
			p.fill("#gap", "soon")
			p.leave(`document.querySelector("form.settings").requestSubmit() ?? true`)
			p.until(`document.querySelector("#gap[aria-invalid]")`)
		}},
		{"facts that are refused", "/dogs/" + at.dog, func(p *page) {
			p.fill("#name", " ")
			p.leave(`document.querySelector("form.facts-form").requestSubmit() ?? true`)
			p.until(`document.querySelector("#name[aria-invalid]")`)
		}},
		{"a dog without a name", "/", func(p *page) {
			p.leave(`document.querySelector("form.add-dog").requestSubmit() ?? true`)
			p.until(`document.querySelector("#new-dog[aria-invalid]")`)
		}},
		{"a page that isn't there", "/dogs/nobody", nil},
		{"an address that isn't there", "/nowhere", nil},
	}
	for _, s := range states {
		t.Run(s.name, func(t *testing.T) {
			tab := &page{t, tab.ctx}
			tab.visit(p.url(s.path))
			if s.do != nil {
				s.do(tab)
			}
			tab.accessible()
		})
	}
	t.Run("not let in", func(t *testing.T) {
		tab := &page{t, tab.ctx}
		tab.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, network.ClearBrowserCookies, cdp.Empty{})
			return err
		}))
		tab.visit(p.url("/"))
		if got := eval[string](tab, "document.title"); !strings.Contains(got, "Not let in") {
			t.Errorf("the page is called %q", got)
		}
		tab.accessible()
	})
	t.Run("empty", func(t *testing.T) {
		empty := start(t)
		tab.do(chromedp.Navigate(empty.server.StartURL()))
		var paths []string
		for _, r := range routesOf(t, empty.server.Handler()) {
			if r.method == http.MethodGet && !strings.ContainsAny(r.path, ":*") && !strings.HasPrefix(r.path, "/api/") {
				paths = append(paths, r.path)
			}
		}
		each(t, empty, append(paths, "/search?q=stay"))
	})
}
