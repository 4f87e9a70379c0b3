package chart

import (
	"fmt"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/internal/browser"
)

// layoutProblems returns, of the figure in the page, the texts that leave the figure
// and the pairs that lie on each other, and of the marks those that another
// element covers.
const layoutProblems = `(() => {
	const svg = document.documentElement, all = svg.getBoundingClientRect(), said = [];
	const texts = [...svg.querySelectorAll('text')].map(e => ({e, r: e.getBoundingClientRect()}));
	for (const {e, r} of texts) {
		if (r.left < 0 || r.right > all.right || r.top < 0 || r.bottom > all.bottom) said.push('cut: ' + e.textContent);
	}
	texts.forEach((a, i) => texts.slice(i + 1).forEach(b => {
		// A box is taller than its letters; a touch of boxes hides nothing.
		const x = Math.min(a.r.right, b.r.right) - Math.max(a.r.left, b.r.left);
		const y = Math.min(a.r.bottom, b.r.bottom) - Math.max(a.r.top, b.r.top);
		if (x > 0.5 && y > 4) said.push('overlap: ' + a.e.textContent + ' / ' + b.e.textContent);
	}));
	if (all.width >= 720) for (const g of svg.querySelectorAll('.af-mark')) {
		const r = g.querySelector('.af-hit').getBoundingClientRect();
		const top = document.elementFromPoint((r.left + r.right) / 2, (r.top + r.bottom) / 2);
		if (!g.contains(top)) said.push('covered: ' + g.querySelector('title').textContent);
	}
	return said.join('\n');
})()`

// Letters of a real browser, wider than those measured here, must not run into
// each other or out of the figure, and every mark must take the pointer (but 80
// on the width of a phone, where the table has to do).
func TestLayoutInBrowser(t *testing.T) {
	ctx := browser.ForTest(t)
	figures := map[string]Figure{}
	for name, f := range samples {
		for _, width := range []int{320, 720, 1200} {
			f.Width = width
			figures[fmt.Sprintf("%s at %d", name, width)] = f
		}
	}
	for _, n := range []int{2, 3, 6, 9, 14, 25, 50} {
		f := samples["year"]
		f.Points = f.Points[:n]
		figures[fmt.Sprintf("%d points", n)] = f
	}
	for name, f := range figures {
		page := "data:image/svg+xml," + url.PathEscape(svgOf(t, f))
		if err := chromedp.Do(ctx, chromedp.Navigate(page)); err != nil {
			t.Fatal(err)
		}
		said, err := chromedp.Run(ctx, chromedp.Evaluate[string](layoutProblems))
		if err != nil {
			t.Fatal(err)
		}
		if said != "" {
			t.Errorf("%s:\n%s", name, said)
		}
	}
}

// A point leads to its clip by keyboard alone, and its name says what it is.
func TestPointLeads(t *testing.T) {
	f := Figure{Title: "Breaks in stays", Points: []Point{
		{At: on(time.May, 2), Value: num(1), Label: "1", Href: "/sessions/1"},
		{At: on(time.May, 9), Value: num(2), Label: "2", Href: "/sessions/2?clip=b&at=3"},
	}}
	figure := svgOf(t, f)
	site := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if r.URL.Path == "/" {
			fmt.Fprint(w, "<!doctype html><title>dog</title>", figure)
			return
		}
		fmt.Fprintf(w, "<!doctype html><title>session</title><p id=arrived>%s", html.EscapeString(r.URL.String()))
	}))
	defer site.Close()
	ctx := browser.ForTest(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(site.URL), chromedp.KeyEvent(kb.Tab+kb.Tab)); err != nil {
		t.Fatal(err)
	}
	focused, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.activeElement.querySelector('title').textContent`))
	if err != nil {
		t.Fatal(err)
	}
	if want := "9 May 2026, 09:30: 2"; focused != want {
		t.Errorf("after two tabs the focus is on %q, want %q", focused, want)
	}
	if err := chromedp.Do(ctx, chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible("#arrived")); err != nil {
		t.Fatal(err)
	}
	arrived, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.querySelector('#arrived').textContent`))
	if err != nil {
		t.Fatal(err)
	}
	if want := "/sessions/2?clip=b&at=3"; arrived != want {
		t.Errorf("the point led to %q, want %q", arrived, want)
	}
}
