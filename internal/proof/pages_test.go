package proof

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/library"
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

func TestTwoPages(t *testing.T) {
	open := pairs(t)

	t.Run("different events at the same time", func(t *testing.T) {
		x := open(t)
		x.a.hold()
		x.b.hold()
		x.a.at(10, "m")
		x.b.at(20, "p")
		x.a.release()
		x.b.release()
		x.wants(line("marker", 10, 10), line("praise", 20, 20))
	})

	t.Run("coding on while what the other page did is on its way", func(t *testing.T) {
		x := open(t)
		x.b.do(run(`(() => { // what it asks for comes late
			const ask = window.fetch;
			let open;
			const gate = new Promise((done) => (open = done));
			window.late = 0;
			window.fetch = async (...how) => {
				const reply = await ask(...how);
				if (how[1]?.method !== "POST") { late++; await gate; }
				return reply;
			};
			window.release = () => { window.fetch = ask; open(); };
		})()`))
		x.a.at(10, "m")
		x.b.until("late > 0")
		x.b.at(20, "p")
		x.b.rest()
		x.b.press("y")
		x.b.rest()
		x.b.release()
		x.wants(line("marker", 10, 10), line("praise", 20, 20), line("turn", 20, 20))
	})

	t.Run("one event, one after the other", func(t *testing.T) {
		x := open(t)
		x.a.at(10, "q")
		x.agree()
		x.a.endsAt(30)
		x.agree()
		x.b.endsAt(40)
		x.wants(line("off-task", 10, 40))
	})

	// Both change the same event and the first is stored. The second page shows
	// both and has to choose.
	for _, c := range []struct {
		name          string
		first, second func(*page)
		mine, theirs  string // as the second page says them
		keepMine      []string
		keepTheirs    []string
	}{
		{"both change an event",
			func(p *page) { p.endsAt(30) }, func(p *page) { p.endsAt(40) }, "1.0 s", "0.7 s",
			[]string{line("off-task", 10, 40)}, []string{line("off-task", 10, 30)}},
		{"removed by the first, changed by the second",
			func(p *page) { p.press(kb.Home, kb.PageDown, kb.Delete) }, func(p *page) { p.endsAt(40) }, "1.0 s", "removed",
			[]string{line("off-task", 10, 40)}, []string{}},
		{"changed by the first, removed by the second",
			func(p *page) { p.endsAt(30) }, func(p *page) { p.press(kb.Home, kb.PageDown, kb.Delete) }, "removed", "0.7 s",
			[]string{}, []string{line("off-task", 10, 30)}},
		{"undone by the second, after it was changed by the first",
			func(p *page) { p.endsAt(30) }, func(p *page) { p.undo() }, "removed", "0.7 s",
			[]string{}, []string{line("off-task", 10, 30)}},
	} {
		for _, mine := range []bool{true, false} {
			name, want := c.name+", theirs kept", c.keepTheirs
			if mine {
				name, want = c.name+", mine kept", c.keepMine
			}
			t.Run(name, func(t *testing.T) {
				x := open(t)
				x.b.at(10, "q") // by the second page, so that it has something to undo
				x.agree()
				x.b.hold()
				c.first(x.a)
				x.a.rest()
				after := x.events()
				c.second(x.b)
				x.b.release()
				x.b.until(`document.getElementById("clash").open`)
				asked := eval[[]string](x.b, `[...document.querySelectorAll("#clash label")].map((l) => l.textContent)`)
				if len(asked) != 2 || !strings.Contains(asked[0], "keep mine") || !strings.Contains(asked[0], c.mine) || !strings.Contains(asked[1], "keep theirs") || !strings.Contains(asked[1], c.theirs) {
					t.Errorf("the page asks %q, want mine with %q and theirs with %q", asked, c.mine, c.theirs)
				}
				if said := eval[string](x.b, `document.getElementById("saving").textContent`); said != "1 edit waiting for your choice; kept in this browser" {
					t.Errorf("saving: %q", said)
				}
				if diff := cmp.Diff(after, x.events()); diff != "" {
					t.Errorf("the library has changed before anybody chose:\n%s", diff)
				}
				x.b.choose(mine)
				x.wants(want...)
				// Whatever was chosen, undo leads back to what the first page had made of it.
				if mine {
					x.b.undo()
					x.wants(linesOf(after)...)
				}
			})
		}
	}

	t.Run("an undo of what the other page has undone already", func(t *testing.T) {
		x := open(t)
		x.a.at(10, "q")
		x.a.at(20, "m")
		x.agree()
		x.a.hold()
		x.b.undo()
		x.b.rest()
		x.a.undo()
		x.a.release()
		x.a.until(`document.querySelector("[data-about=refused]")`)
		const want = "Not stored: “undo marker”. What this would undo was changed on another page in the meantime. Nothing was changed. Undo goes on from what is there now."
		if got := x.a.notice("refused"); got != want {
			t.Errorf("the page says %q, want %q", got, want)
		}
		x.wants(openLine("off-task", 10))
	})

	t.Run("an undo of finishing that the other page has taken back", func(t *testing.T) {
		x := open(t)
		finish := func(p *page) { p.do(stroke([]rune(kb.End)[0], chromedp.ModifierShift)) }
		finish(x.a)
		x.agree()
		x.a.hold()
		finish(x.b)
		x.b.rest()
		x.a.undo()
		x.a.release()
		x.a.until(`document.querySelector("[data-about=refused]")`)
		const want = "Not stored: “undo reading finished”. What this would undo was changed on another page in the meantime. Nothing was changed. Undo goes on from what is there now."
		if got := x.a.notice("refused"); got != want {
			t.Errorf("the page says %q, want %q", got, want)
		}
		x.agree()
		for _, p := range []*page{x.a, x.b} {
			p.until("desk.reading.shown.finished === false")
		}
	})

	t.Run("two exercises that overlap", func(t *testing.T) {
		x := open(t)
		x.b.hold()
		x.a.at(10, "V")
		x.a.rest()
		x.b.at(20, "X", "1") // the digit is of no exercise: it does nothing
		x.b.at(25, "m")      // of another lane
		x.b.release()
		x.b.until(`document.querySelector("[data-about=refused]")`)
		got := x.b.notice("refused")
		for _, part := range []string{"Not stored: “", "down", "starts at 0.667 s while event", "ex-heel", "is exclusive", "End the one that runs first."} {
			if !strings.Contains(got, part) {
				t.Errorf("the page says %q, want in it %q", got, part)
			}
		}
		x.wants(openLine("ex-heel", 10), line("marker", 25, 25))
	})

	t.Run("undo and redo across pages", func(t *testing.T) {
		x := open(t)
		x.a.at(10, "q")
		x.agree()
		x.b.at(20, "m")
		x.agree()
		x.a.undo() // the newest, though the other page made it
		x.wants(openLine("off-task", 10))
		x.b.undo()
		x.wants()
		x.a.redo()
		x.wants(openLine("off-task", 10))
		x.b.redo()
		x.wants(line("marker", 20, 20), openLine("off-task", 10))
	})

	t.Run("the page that leads goes", func(t *testing.T) {
		x := open(t)
		x.a.do(chromedp.Navigate("about:blank"))
		c := newClient(t, x.server.StartURL())
		// The lead passes over at some time; what happened before that is asked for then.
		for range 3 {
			before := x.revision()
			if status, reply, err := c.ask(t.Context(), "POST", "/api/readings/"+x.reading+"/edits", edit{ID: newID(), Put: []put{{momentAt("marker", 1000*before), 0}}}); err != nil || status != 200 {
				t.Fatalf("an edit from elsewhere: %d %v %s", status, err, reply)
			}
			x.b.shows(x.events())
		}
	})
}

func openLine(code string, from int) string {
	return fmt.Sprintf("%s %d-open map[] %q", code, frame(from), "")
}

// Undo and redo go on, in both pages, after the server was killed and started.
func TestUndoAfterRestart(t *testing.T) {
	p := newProcess(t)
	p.must("add", "--dog", "Tansy", mediatest.Make(t, "cfr30").Path)
	p.serve()
	clip := p.clips()[0]
	reading := newClient(t, p.startURL).reading(clip, "I. Varga")
	browser := newBrowser(t)
	a, b := p.desk(browser, reading), p.desk(newTab(t, browser), reading)
	wants := func(revision int, want ...string) {
		t.Helper()
		a.rest()
		b.rest()
		got := p.stored(reading)
		if diff := cmp.Diff(append([]string{}, want...), linesOf(got.events)); diff != "" || len(got.journal) != revision {
			t.Errorf("at revision %d, want %d (-want +got):\n%s", len(got.journal), revision, diff)
		}
		a.shows(got.events)
		b.shows(got.events)
	}
	again := func(end func()) {
		t.Helper()
		end()
		p.serve()
	}
	a.at(10, "q")
	wants(1, openLine("off-task", 10))
	b.at(20, "m")
	wants(2, line("marker", 20, 20), openLine("off-task", 10))
	a.undo()
	wants(3, openLine("off-task", 10))
	again(p.kill)
	b.redo()
	wants(4, line("marker", 20, 20), openLine("off-task", 10))
	again(p.stop)
	a.undo()
	wants(5, openLine("off-task", 10))
	b.undo()
	wants(6)
	again(p.kill)
	a.undo() // there is nothing left
	a.redo()
	wants(7, openLine("off-task", 10))
	b.openDesk(p.base + "/desk/" + reading) // a page that has seen nothing of it
	b.redo()
	wants(8, line("marker", 20, 20), openLine("off-task", 10))
	b.undo()
	wants(9, openLine("off-task", 10))
	b.undo()
	wants(10)
	p.checks(10)
	p.look(func(ctx context.Context, l *library.Library) {
		r, err := l.Reading(ctx, reading)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.History.Done) != 0 || len(r.History.Undone) != 2 {
			t.Errorf("history: %d done, %d undone, want 0 and 2", len(r.History.Done), len(r.History.Undone))
		}
	})
}
