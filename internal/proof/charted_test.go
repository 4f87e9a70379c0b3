package proof

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// chartShown is one figure of a dog's page.
type chartShown struct {
	Title, Alt string
	Row        []string // cells of its only row
	RowLeads   string
	Points     []struct {
		Leads, Says string
		Y           float64
	}
	Ticks []struct { // of the values, from the bottom up
		Says string
		Y    float64
	}
}

// compareCharts reads the three figures of the dog's page and follows a point to
// the desk, by the keyboard.
func compareCharts(t *testing.T, p *program, tab *page, id string, want m) {
	tab = &page{t, tab.ctx}
	dog := eval[string](tab, "desk.clip.dog.id")
	tab.do(chromedp.Navigate(p.url("/dogs/" + dog)))
	tab.until("document.querySelectorAll('section.figure').length === 3")
	figures := eval[[]chartShown](tab, `[...document.querySelectorAll("section.figure")].map((s) => ({
		title: s.querySelector("h2").textContent, alt: s.querySelector(".alt").textContent,
		row: [...s.querySelectorAll("tbody tr")].flatMap((r) => [...r.cells].map((c) => c.textContent)), rowLeads: s.querySelector("tbody a")?.getAttribute("href"),
		points: [...s.querySelectorAll("figure.chart svg a")].map((a) => ({ leads: a.getAttribute("href"), says: a.querySelector("title")?.textContent ?? "", y: Number(a.querySelector("circle.af-point").getAttribute("cy")) })),
		ticks: [...s.querySelectorAll('svg text.af-text[text-anchor="end"]')].map((x) => ({ says: x.textContent, y: Number(x.getAttribute("y")) })) }))`)
	rate := want["stays"].(m)["breaks_per_min"].(m)
	top := want["pressure"].(m)["escalation"].(m)
	desk := "/desk/" + id
	for i, w := range []struct {
		title     string
		value     float64 // of the cell's first number
		unit      string  // what stands after it
		low, high float64
	}{
		{"Out of position", 100 * want["heel"].(m)["error_share"].(float64), "%", 0, 0},
		{"Breaks per minute of stay", rate["value"].(float64), "per min", rate["low"].(float64), rate["high"].(float64)},
		{"Highest pressure", top["level"].(float64), "", 0, 0},
	} {
		got := figures[i]
		if got.Title != w.title || len(got.Row) != 5 || len(got.Points) != 1 {
			t.Errorf("figure %d: %+v, want one point in %q", i, got, w.title)
			continue
		}
		if want := "9 May 2026"; got.Row[0] != want {
			t.Errorf("%s: the session is dated %s, want %s", w.title, got.Row[0], want)
		}
		value := strings.TrimPrefix(got.Row[1], top["scale"].(string)+" ")
		checkRounded(t, w.title, value, w.value, w.unit)
		if w.high > 0 {
			low, high, _ := strings.Cut(got.Row[2], " to ")
			checkRounded(t, w.title+", from", low, w.low, "")
			checkRounded(t, w.title+", to", high, w.high, "")
		}
		if !strings.Contains(got.Alt, got.Row[1]) || !strings.Contains(got.Points[0].Says, got.Row[1]) {
			t.Errorf("%s: the table says %q, the figure in words %q, its point %q", w.title, got.Row[1], got.Alt, got.Points[0].Says)
		}
		got.checkPlace(t, w.value, top["scale"].(string))
		if got.RowLeads != desk || got.Points[0].Leads != desk {
			t.Errorf("%s: leads to %s and %s, want %s", w.title, got.RowLeads, got.Points[0].Leads, desk)
		}
	}
	for range 60 {
		if eval[bool](tab, fmt.Sprintf("document.activeElement?.closest('figure.chart a')?.getAttribute('href') === %q", desk)) {
			tab.press(kb.Enter)
			if path := tab.pathAfter("/dogs/" + dog); path != desk {
				t.Errorf("the point leads to %s, want %s", path, desk)
			}
			tab.until("window.desk && desk.reading.events.length > 0 && desk.player.media_us >= 0")
			return
		}
		tab.press(kb.Tab)
	}
	t.Error("no point of a figure is reached by 60 presses of Tab")
}

// checkPlace checks that the point is drawn as high as its value says by the
// labels of the axis: between numbers in proportion, on a ladder beside its rung.
// A label's foot lies 4 pixels below its line.
func (c chartShown) checkPlace(t *testing.T, value float64, rung string) {
	t.Helper()
	low, high := c.Ticks[0], c.Ticks[len(c.Ticks)-1]
	var from, to float64
	want := math.NaN()
	if n, _ := fmt.Sscan(low.Says, &from); n == 1 {
		fmt.Sscan(high.Says, &to)
		want = low.Y + (high.Y-low.Y)*(value-from)/(to-from) - 4
	}
	for _, tick := range c.Ticks {
		if tick.Says == rung {
			want = tick.Y - 4
		}
	}
	if got := c.Points[0].Y; !(math.Abs(got-want) < 1.5) {
		t.Errorf("%s: the point is drawn at %v, want %v by the labels %v", c.Title, got, want, c.Ticks)
	}
}

// pathAfter returns the path of the page that is open once another one is left.
func (p *page) pathAfter(left string) string {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 30*time.Second)
	defer cancel()
	for ctx.Err() == nil {
		path, err := chromedp.Run(ctx, chromedp.Evaluate[string]("new Promise((done) => setTimeout(() => done(location.pathname), 20))", chromedp.EvalAwaitPromise))
		if err == nil && path != left {
			return path
		}
	}
	p.t.Fatalf("%s was not left", left)
	return ""
}

// checkRounded checks a number as a page says it, rounded to the digits that it
// has there, and what stands after it.
func checkRounded(t *testing.T, what, said string, want float64, unit string) {
	t.Helper()
	number, after, _ := strings.Cut(said, " ")
	got, err := strconv.ParseFloat(number, 64)
	_, decimals, _ := strings.Cut(number, ".")
	if err != nil || math.Abs(got-want) > 0.5000001*math.Pow10(-len(decimals)) || after != unit {
		t.Errorf("%s: the page says %q, want %v %s", what, said, want, unit)
	}
}
