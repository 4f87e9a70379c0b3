package ui_test

import (
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

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
	d.wait(`document.getElementById("help").open`)
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
