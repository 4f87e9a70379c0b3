package proof

import (
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"
)

// Two pages of one browser on one reading: what both do is there, what only one can
// have is asked, what is refused is said, and nothing goes in silence.
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
		mine, theirs  string // patterns of what the second page says
		keepMine      []string
		keepTheirs    []string
	}{
		{"both change an event",
			func(p *page) { p.endsAt(30) }, func(p *page) { p.endsAt(40) }, "1.000 s", "0.667 s",
			[]string{line("off-task", 10, 40)}, []string{line("off-task", 10, 30)}},
		{"removed by the first, changed by the second",
			func(p *page) { p.press(kb.Home, kb.PageDown, kb.Delete) }, func(p *page) { p.endsAt(40) }, "1.000 s", "removed",
			[]string{line("off-task", 10, 40)}, []string{}},
		{"changed by the first, removed by the second",
			func(p *page) { p.endsAt(30) }, func(p *page) { p.press(kb.Home, kb.PageDown, kb.Delete) }, "removed", "0.667 s",
			[]string{}, []string{line("off-task", 10, 30)}},
		{"undone by the second, after it was changed by the first",
			func(p *page) { p.endsAt(30) }, func(p *page) { p.undo() }, "removed", "0.667 s",
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
				if len(asked) != 2 || !regexp.MustCompile("keep mine: .*"+c.mine).MatchString(asked[0]) || !regexp.MustCompile("keep theirs: .*"+c.theirs).MatchString(asked[1]) {
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
		const want = "Not stored: “undo of marker”. What this would undo was changed on another page in the meantime. Nothing was changed. Undo goes on from what is there now."
		if got := x.a.notice("refused"); got != want {
			t.Errorf("the page says %q, want %q", got, want)
		}
		x.wants(openLine("off-task", 10))
	})

	t.Run("an undo of finishing that the other page has taken back", func(t *testing.T) {
		x := open(t)
		finish := func(p *page) { p.do(stroke([]rune(kb.End)[0], chromedp.ModifierShift)) }
		finish(x.a)
		x.b.until("desk.reading.shown.finished")
		x.a.rest()
		x.a.hold()
		finish(x.b)
		x.b.rest()
		x.a.undo()
		x.a.release()
		x.a.until(`document.querySelector("[data-about=refused]")`)
		const want = "Not stored: “undo of reading finished”. What this would undo was changed on another page in the meantime. Nothing was changed. Undo goes on from what is there now."
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
		for _, part := range []string{"Not stored: “", `"down-stay" starts at 0.667 s while "heel work" runs, which began at 0.333 s and has no end yet`, "End the one that runs first."} {
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
