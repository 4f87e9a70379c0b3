package ui_test

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/media/mediatest"
)

// frame30 is the start of frame k at 30 frames a second, µs.
func frame30(k int) int { return (2*k*1e6 + 30) / 60 }

func (d *deskPage) wantStored(want ...string) {
	d.t.Helper()
	d.saved()
	if diff := cmp.Diff(want, d.stored()); diff != "" {
		d.t.Errorf("stored (-want +got):\n%s", diff)
	}
}

// Nothing on the page breaks the security policy, and no console has a complaint.
func TestDeskIsQuiet(t *testing.T) {
	d := newDesk(t, mediatest.Make(t, "cfr30").Path, mediatest.Tools(t))
	if err := d.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	said := listen(d)
	d.open()
	for _, key := range []string{"v", "u", "q", "1", "e", "?", kb.Escape, kb.PageDown, kb.Enter, kb.Escape, "`", "=", "-", "\\", kb.ArrowUp, kb.ArrowDown, kb.Home, kb.End} {
		d.press(key)
	}
	d.saved()
	if all := said(); len(all) > 0 {
		t.Errorf("the console says:\n%s", strings.Join(all, "\n"))
	}
}

// The help lists every key that acts, from the same table.
func TestDeskHelp(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("?")
	d.wait(`document.getElementById("help").open && document.activeElement.id === "help-title"`) // a Space switches nothing
	eval[any](d, `import("/assets/js/desk/keytable.js").then((m) => window.table = m.FIXED); null`)
	d.wait(`!!window.table`)
	if got, want := eval[int](d, `document.querySelectorAll("#help dt").length`), eval[int](d, `desk.book.codes.size + table.length`); got != want {
		t.Errorf("the help has %d entries, want %d: one for each code and each key of the table", got, want)
	}
	text := eval[string](d, `document.getElementById("help").textContent`)
	for _, want := range []string{
		"Law where you are first, then the device's manual. If either says no, it is no.",
		"Levels record one dog, one collar, one day. They are not settings to copy.",
		"Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
		"starts: dog first level with the leg after the heel cue.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the help lacks %q", want)
		}
	}
	d.press("w") // is no coding key while the help is open
	d.press("?")
	d.wait(`!document.getElementById("help").open && document.querySelector(".keys .caution summary").textContent.startsWith("Law where you are first")`)
	if got := d.stored(); len(got) > 0 {
		t.Errorf("stored %q behind the help", got)
	}
}

// The page's address names a time, when it is opened and when it changes.
func TestDeskOpensAtATime(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	hash := func(text string) { eval[any](d, `location.hash = "`+text+`"; null`) }
	hash("#t=1.5")
	d.wait("desk.player.frame === 45 && !desk.player.aim")
	d.do(chromedp.Reload())
	d.wait("window.desk && desk.player.frame === 45 && !desk.player.aim")
	hash("#t=0:02")
	d.wait("desk.player.frame === 60 && !desk.player.aim")
	hash("#t=soon") // is no time: nothing moves
	hash("#main")
	d.press(".")
	d.wait("desk.player.frame === 61 && !desk.player.aim")
}

// What the page has to say takes its room from the picture: at the smaller window
// every key stays where it is and can be seen whole.
func TestDeskNoticesLeaveTheKeys(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	for _, window := range []struct{ width, height int64 }{{1280, 720}, {820, 1180}} {
		d.do(chromedp.EmulateViewport(window.width, window.height))
		const boxes = `[...document.querySelectorAll("#keys button")].filter((b) => b.checkVisibility()).map((b) => { const r = b.getBoundingClientRect(); return [r.top, r.bottom].map(Math.round); })`
		before := eval[[][2]int](d, boxes)
		eval[any](d, `for (const about of ["film", "elsewhere", "refused"]) desk.notices.notice(about, "Edits of another reading still wait in this browser. They are sent when its desk is opened: that desk. ".repeat(2), { close: true }); null`)
		after := eval[[][2]int](d, boxes)
		if diff := cmp.Diff(before, after); diff != "" || len(after) < 40 {
			t.Errorf("at %d×%d notices move the %d keys (-before +after):\n%s", window.width, window.height, len(after), diff)
		}
		bottom := eval[int](d, `Math.round(document.getElementById("keys").getBoundingClientRect().bottom)`)
		for i, b := range after {
			if b[1] > bottom {
				t.Errorf("at %d×%d key %d ends at %d, its pane at %d", window.width, window.height, i, b[1], bottom)
			}
		}
		if got := eval[int](d, `Math.round(document.querySelector(".picture").getBoundingClientRect().height)`); got < 90 {
			t.Errorf("at %d×%d the picture is %d high beside three long notices", window.width, window.height, got)
		}
		eval[any](d, `for (const about of ["film", "elsewhere", "refused"]) desk.notices.notice(about, ""); null`)
	}
}

// The editor takes its room from the list above it: what stands below in the margin
// does not run over the numbers.
func TestDeskEditorKeepsToTheMargin(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("V")
	d.saved()
	eval[any](d, `desk.select([desk.reading.events[0].id]); desk.openEditor("edit-code"); document.getElementById("finish").textContent = "take up again"; null`)
	for _, window := range []struct{ width, height int64 }{{1280, 720}, {820, 1180}} {
		d.do(chromedp.EmulateViewport(window.width, window.height))
		foot := eval[float64](d, `document.querySelector(".take").getBoundingClientRect().bottom`)
		for _, b := range eval[[]float64](d, `[...document.querySelectorAll(".take > *")].map((e) => e.getBoundingClientRect().bottom)`) {
			foot = max(foot, b)
		}
		if numbers := eval[float64](d, `document.querySelector(".numbers-row").getBoundingClientRect().top`); foot > numbers {
			t.Errorf("at %d×%d the margin ends at %.0f, the numbers begin at %.0f", window.width, window.height, foot, numbers)
		}
		if high := eval[float64](d, `document.getElementById("editor").getBoundingClientRect().height`); high < 80 {
			t.Errorf("at %d×%d the editor is %.0f high", window.width, window.height, high)
		}
	}
}

// By the words under the picture everything can be done that the keys of time do.
func TestDeskWords(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	click := func(id string) { d.do(chromedp.Click(chromedp.CSS("#" + id))) }
	for _, tt := range []struct {
		by     string
		frames int
	}{{"a frame", 1}, {"1 s", 30}, {"5 s", 149}} { // the clip ends at 5 s, its last frame is 149
		eval[any](d, `(() => { const by = document.getElementById("by"); by.value = [...by.options].find((o) => o.text === "`+tt.by+`").value; by.dispatchEvent(new Event("change")); })()`)
		click("later")
		d.wait(fmt.Sprintf("desk.player.frame === %d && !desk.player.aim", tt.frames))
		click("earlier")
		d.wait("desk.player.frame === 0 && !desk.player.aim")
	}
	click("play")
	d.wait(`desk.player.playing && document.getElementById("play").textContent === "pause" && document.activeElement === document.body`)
	d.press("m") // the keys still code
	click("play")
	d.wait(`!desk.player.playing && document.getElementById("play").textContent === "play"`)
	d.saved()
	if got := d.stored(); len(got) != 1 || !strings.HasPrefix(got[0], "marker ") {
		t.Errorf("stored %q, want a marker", got)
	}
}

// The links give the captions and the reading as files.
func TestDeskDownloads(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("g9")
	d.saved()
	for _, href := range eval[[]string](d, `[...document.querySelectorAll(".take a")].map((a) => a.href)`) {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, href, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.AddCookie(&http.Cookie{Name: "afterwalk", Value: startToken})
		reply, err := (&http.Client{Timeout: 10 * time.Second}).Do(req)
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(reply.Body)
		reply.Body.Close()
		if err != nil || reply.StatusCode != 200 || !strings.HasPrefix(reply.Header.Get("Content-Disposition"), "attachment") || !strings.Contains(strings.ToLower(string(body)), "stim") {
			t.Errorf("%s answers %d %q (%v), want a file with what was coded", href, reply.StatusCode, body, err)
		}
	}
}
