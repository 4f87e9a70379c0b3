package proof

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/media/mediatest"
)

// hold keeps everything that a page sends and asks for until release: what it does
// meanwhile, it does without knowing what other pages do.
func (p *page) hold() {
	p.t.Helper()
	p.do(run(`(() => {
		const ask = window.fetch;
		let open;
		const gate = new Promise((done) => (open = done));
		window.fetch = async (...how) => { await gate; return ask(...how); };
		window.release = () => { window.fetch = ask; open(); };
	})()`))
}

func (p *page) release() {
	p.t.Helper()
	p.do(run("release()"))
}

// notice returns the text of a notice, "" if it isn't there.
func (p *page) notice(about string) string {
	p.t.Helper()
	return eval[string](p, fmt.Sprintf(`document.querySelector("[data-about=%s] p")?.textContent ?? ""`, about))
}

// pair is two pages of one browser on the same reading.
type pair struct {
	*program
	t       testing.TB
	a, b    *page
	reading string
}

// pairs opens both pages on a new reading for each test that asks.
func pairs(t *testing.T) func(t *testing.T) *pair {
	p := start(t)
	first := p.add(mediatest.Make(t, "cfr30").Path)
	clip, err := p.lib.ReadingClip(t.Context(), first)
	if err != nil {
		t.Fatal(err)
	}
	browser := newBrowser(t)
	a, b := p.desk(browser, first), p.desk(newTab(t, browser), first)
	return func(t *testing.T) *pair {
		t.Helper()
		id, err := p.lib.NewReading(t.Context(), clip, "I. Varga")
		if err != nil {
			t.Fatal(err)
		}
		x := &pair{p, t, &page{t, a.ctx}, &page{t, b.ctx}, id}
		x.a.openDesk(p.url("/desk/" + id))
		x.b.openDesk(p.url("/desk/" + id))
		return x
	}
}

// events returns the events as the library has them.
func (x *pair) events() []coded {
	x.t.Helper()
	r, err := x.lib.Reading(x.t.Context(), x.reading)
	if err != nil {
		x.t.Fatal(err)
	}
	return codedOf(x.t, r.Events)
}

// agree waits until both pages have sent everything and show what the library
// has, and returns its events as lines.
func (x *pair) agree() []string {
	x.t.Helper()
	x.a.rest()
	x.b.rest()
	want := x.events()
	x.a.shows(want)
	x.b.shows(want)
	return linesOf(want)
}

// shows waits until a page shows these events, all of them stored.
func (p *page) shows(want []coded) {
	p.t.Helper()
	p.rest()
	var got []coded
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); {
		if got = p.events(); cmp.Equal(want, got) {
			return
		}
	}
	p.t.Errorf("library and page differ (-library +page):\n%s", cmp.Diff(want, got))
}

// wants is agree with what should have come of it.
func (x *pair) wants(want ...string) {
	x.t.Helper()
	if diff := cmp.Diff(append([]string{}, want...), x.agree()); diff != "" {
		x.t.Errorf("what came of it (-want +got):\n%s", diff)
	}
}

func (x *pair) revision() int64 {
	x.t.Helper()
	r, err := x.lib.Reading(x.t.Context(), x.reading)
	if err != nil {
		x.t.Fatal(err)
	}
	return r.Revision
}

// rest waits until nothing of a page is on its way.
func (p *page) rest() {
	p.t.Helper()
	p.until(`desk.reading.waiting.length === 0 && desk.queue.state === "idle"`)
}

// endsAt selects the next event and has it end at a frame, by keys.
func (p *page) endsAt(frame int) {
	p.t.Helper()
	p.press(kb.Home)
	eval[bool](p, "settled()")
	p.press(kb.PageDown)
	p.goTo(frame)
	eval[bool](p, "settled()")
	p.press("]")
}

// at goes to a frame and presses keys there.
func (p *page) at(frame int, keys ...string) {
	p.t.Helper()
	p.goTo(frame)
	eval[bool](p, "settled()")
	p.press(keys...)
}

// choose answers the question which of two versions stays, by keys.
func (p *page) choose(mine bool) {
	p.t.Helper()
	p.until(`document.getElementById("clash").open`)
	if mine {
		p.press(" ")
	} else {
		p.press(kb.ArrowDown)
	}
	p.press(kb.Tab, kb.Enter)
	p.until(`!document.getElementById("clash").open`)
}

// Frames of the clip used here in µs: 30 a second.
func frame(k int) int64 { return (int64(k)*2_000_000 + 30) / 60 }

func line(code string, from, to int) string {
	return fmt.Sprintf("%s %d-%d map[] %q", code, frame(from), frame(to), "")
}

func openLine(code string, from int) string {
	return fmt.Sprintf("%s %d-open map[] %q", code, frame(from), "")
}
