package proof

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/media/mediatest"
)

// follow clicks the first thing with these words and waits for another page.
func (p *page) follow(selector, words string) {
	p.t.Helper()
	p.leave(fmt.Sprintf(`(() => { const a = [...document.querySelectorAll(%q)].find((e) => e.checkVisibility() && e.textContent.includes(%q)); a?.click(); return a; })()`, selector, words))
}

// leave waits until an expression, which leads to another page, is true, and then
// for that page.
func (p *page) leave(js string) {
	p.t.Helper()
	p.do(run("window.here = true"))
	p.until(js)
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	for over := time.After(30 * time.Second); ; {
		// Between two pages there is none to ask: that is no answer yet.
		if there, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`!window.here && document.readyState === "complete"`)); err == nil && there {
			return
		}
		select {
		case <-tick.C:
		case <-over:
			p.t.Fatalf("%s leads nowhere", js)
		}
	}
}

// fill types into a field as a person does.
func (p *page) fill(selector, text string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.querySelector(%q)", selector))
	p.do(run(fmt.Sprintf("document.querySelector(%q).focus(); document.querySelector(%q).select?.()", selector, selector)), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
		return err
	}))
}

// A newcomer's way, from a library with nothing in it to a clip with captions: once
// by pages and keys alone, once by commands alone. Both come to the same numbers
// and the same captions.
func TestNewcomer(t *testing.T) {
	p := newProcess(t)
	film := filepath.Join(p.home, "walk.mp4")
	mediatest.Make(t, "cfr30").CopyTo(t, film)
	p.serve()
	tab := &page{t, newBrowser(t)}
	tab.do(chromedp.EmulateViewport(1280, 720), chromedp.Navigate(p.startURL))

	// By pages. The first one says what to do, and leads there.
	tab.until(`document.querySelector("h1").textContent === "No clips yet"`)
	tab.follow("main a", "Add clips")
	tab.fill("#dog", "Tansy")
	tab.until(`(() => { const box = [...document.querySelectorAll("#entries label")].find((l) => l.textContent.includes("walk.mp4")); box?.click(); return box; })()`)
	tab.until(`document.querySelector("#chosen").textContent.includes("walk.mp4")`)
	tab.do(run(`document.getElementById("add").click()`))
	tab.until(`[...document.querySelectorAll(".job .file")].some((f) => f.textContent.includes("walk.mp4") && f.textContent.includes("added"))`)
	tab.follow("a.wordmark", "afterwalk")
	tab.follow("main a", "Tansy")
	tab.follow("#sessions a", "")
	tab.fill(".new-reading input[name=reader]", "I. Varga")
	tab.follow(".new-reading button", "To the desk")
	tab.until(`window.desk && desk.player.frames && desk.player.media_us >= 0 && desk.book.codes.size > 0`)
	tab.do(run(helpers))
	// Heel work from frame 10, behind from 30 to 60 with a tone at 45, a marker at 90.
	tab.at(10, "v")
	tab.at(15, "u")
	tab.at(30, "s")
	tab.at(45, "t")
	tab.at(60, "e")
	tab.at(90, "m")
	tab.do(run(`document.getElementById("finish").click()`))
	eval[bool](tab, "saved()")
	tab.until(`document.getElementById("saving").textContent === "✓ saved to 0:05.0, finished"`)
	// By hand: 135 frames of heel work to the clip's end, 30 of them behind.
	if got := eval[string](tab, `document.getElementById("numbers").textContent`); !strings.Contains(got, "out of position 1.0 s of 4.5") {
		t.Errorf("the desk says %q, want 1.0 s of 4.5 s out of position", got)
	}
	tab.press("`")
	tab.until(`[...document.getElementById("video").textTracks].some((t) => t.mode === "showing" && t.cues?.length > 0)`)
	shown := eval[[]string](tab, `[...document.getElementById("video").textTracks].filter((t) => t.mode === "showing").flatMap((t) => [...t.cues].map((c) => c.getCueAsHTML().textContent))`)
	for _, word := range []string{"Heel", "Behind", "Tone"} {
		if !strings.Contains(strings.Join(shown, "\n"), word) {
			t.Errorf("the captions over the film are %q, want %s among them", shown, word)
		}
	}
	take := func(words string) string {
		return eval[string](tab, fmt.Sprintf(`fetch([...document.querySelectorAll(".take a")].find((a) => a.textContent.includes(%q)).href).then((r) => r.text())`, words))
	}
	vtt, reading := take("VTT"), take("reading")
	if !strings.HasPrefix(vtt, "WEBVTT\n") {
		t.Fatalf("the captions taken from the desk are %q", vtt)
	}
	p.stop()

	// By commands, in another library and with the reading as a file.
	q := newProcess(t)
	file := filepath.Join(t.TempDir(), "walk.json")
	if err := os.WriteFile(file, []byte(reading), 0o644); err != nil {
		t.Fatal(err)
	}
	q.must("add", "--dog", "Tansy", film)
	said := q.must("reading", "import", file)
	_, id, ok := strings.Cut(strings.TrimSpace(said), ": reading ")
	if !ok {
		t.Fatalf("import says %q", said)
	}
	if got := q.must("captions", id); got != vtt {
		t.Errorf("captions by command and by page differ (-page +command):\n%s", cmp.Diff(vtt, got))
	}
	if got := q.must("measure", file); !strings.Contains(got, "1.0 s") {
		t.Errorf("measure says\n%s\nwant 1.0 s out of position", got)
	}
	text := q.must("measure", "--json", file)
	if !strings.Contains(text, `"error_s": 1,`) || !strings.Contains(text, `"heel_s": 4.5,`) {
		t.Errorf("measure --json has no 1 s of 4.5 s out of position:\n%.600s", text)
	}
	if got := q.must("check"); !strings.Contains(got, "All is well.") {
		t.Errorf("check says %q", got)
	}
}
