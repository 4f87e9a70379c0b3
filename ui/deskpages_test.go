package ui_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/annotate"
	"afterwalk/internal/media/mediatest"
)

// What is coded while the server is away waits in the browser and goes out when
// it is back, without a hand laid on.
func TestDeskWhileTheServerIsAway(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("v")
	d.saved()
	addr := strings.TrimPrefix(d.base, "http://")
	d.stop()
	d.press("..u..s")
	d.wait(`desk.queue.state === "away" && document.getElementById("saving").textContent === "2 edits waiting: server not reachable; kept in this browser"`)
	if got := eval[int](d, "localStorage.length"); got != 2 {
		t.Errorf("%d edits are kept, want 2", got)
	}
	d.serve(addr)
	d.saved()
	d.wait(`document.getElementById("saving").textContent.startsWith("✓ saved")`)
	got := d.stored()
	if len(got) != 4 || !strings.HasPrefix(got[0], "heel 0") || !strings.HasPrefix(got[len(got)-1], "behind ") {
		t.Errorf("stored %q, want heel, did, heel work, behind", got)
	}
	if got := eval[int](d, "localStorage.length"); got != 0 {
		t.Errorf("%d edits are still kept", got)
	}
}

// A page that ends with edits waiting leaves them to the next one.
func TestDeskReloadLosesNothing(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	// The server is there for pages, and away for edits.
	eval[any](d, `desk.queue.send = () => Promise.reject(new TypeError("away")); null`)
	d.press("v")
	d.press("u")
	d.wait("desk.reading.waiting.length === 2 && localStorage.length === 2")
	d.open()
	d.wantStored("heel 0", "did 0", "ex-heel 0-")
}

// Two pages change the same event: both outcomes.
func TestDeskConflict(t *testing.T) {
	for _, tt := range []struct{ choice, want string }{{"mine", "behind 0-1000000"}, {"theirs", "behind 0-2000000"}} {
		t.Run(tt.choice, func(t *testing.T) {
			d := openDesk(t, mediatest.Make(t, "cfr30").Path)
			d.press("s")
			d.saved()
			r, err := d.lib.Reading(t.Context(), d.reading)
			if err != nil {
				t.Fatal(err)
			}
			// The page does not hear of it before it sends its own.
			eval[any](d, `desk.keepUp.hear = () => {}; null`)
			e := r.Events[0]
			was := e.Rev
			e.Open, e.End = false, 2*annotate.Second
			if _, err := d.lib.Apply(t.Context(), d.reading, annotate.Edit{ID: "elsewhere", Put: []annotate.Put{{Event: e, Was: was}}}, nil); err != nil {
				t.Fatal(err)
			}
			d.goTo("30")
			d.press("s")
			d.wait(`document.getElementById("clash").open`)
			text := eval[string](d, `document.getElementById("clash").textContent`)
			for _, want := range []string{"keep mine: 0:00.000 behind, 1.000 s", "keep theirs: 0:00.000 behind, 2.000 s"} {
				if !strings.Contains(text, want) {
					t.Errorf("the dialog says %q, want %q in it", text, want)
				}
			}
			d.press(kb.Escape)
			if !eval[bool](d, `document.getElementById("clash").open`) {
				t.Error("the dialog went away unanswered")
			}
			eval[any](d, `document.querySelector("#clash input[value=`+tt.choice+`]").click(); document.querySelector("#clash button").click(); null`)
			d.wantStored(tt.want)
			d.wait(`desk.reading.events.length === 1 && desk.reading.events[0].end_us === ` + strings.Split(tt.want, "-")[1])
		})
	}
}

// A second page sees what the first one codes, and undoes it.
func TestDeskTwoPages(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	tab, end := chromedp.NewContext(d.ctx)
	defer end()
	other := *d
	other.ctx = tab
	other.open()
	d.press("s")
	d.saved()
	other.wait(`desk.reading.events.length === 1 && document.querySelectorAll(".event").length === 1`)
	eval[any](&other, `document.getElementById("undo").click(); null`)
	d.wait(`desk.reading.events.length === 0 && !document.querySelector(".event")`)
	other.wantStored()
	if got := eval[bool](d, `document.getElementById("redo").disabled`); got {
		t.Error("the first page offers no redo of what the second one undid")
	}
}

// Eight pages at work on one reading: each hears of the others, every edit is
// stored, and one connection carries the event stream of all.
func TestDeskEightPages(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	pages := []*deskPage{d}
	for range 7 {
		p := *d
		p.ctx = tab(t)
		p.open()
		pages = append(pages, &p)
	}
	for i, p := range pages {
		p.press(strings.Repeat(".", i))
		p.wait(fmt.Sprintf("desk.player.frame === %d && !desk.player.seeking", i))
	}
	for _, key := range []string{"m", "p", "y"} {
		for _, p := range pages {
			p.press(key)
		}
	}
	for i, p := range pages {
		p.wait("desk.reading.waiting.length === 0 && desk.reading.events.length === 24")
		if got := eval[int](p, "performance.getEntriesByType('resource').filter((r) => r.name.endsWith('/api/stream')).length"); i > 0 && got > 0 {
			t.Errorf("page %d opened an event stream of its own", i)
		}
	}
	if got := len(d.stored()); got != 24 {
		t.Errorf("%d events stored, want 24", got)
	}
}
