package proof

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"testing"
	"time"
	"unicode"

	"afterwalk/annotate"
	"afterwalk/internal/browser"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/media/mediatest"
	"afterwalk/server"
	"afterwalk/ui"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// program is the running program: a library of its own and its server.
type program struct {
	t      testing.TB
	lib    *library.Library
	server *server.Server
}

// start starts the program on an empty library and ends it with the test.
func start(t testing.TB) *program {
	t.Helper()
	p := &program{t: t}
	log := slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn}))
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	var err error
	p.lib, err = library.Open(ctx, library.Config{
		Dir: t.TempDir(), Prober: mediatest.Tools(t), Now: time.Now, Log: log, DefaultBook: exchange.DefaultBook(),
	})
	if err != nil {
		t.Fatal(err)
	}
	token, err := server.LoadToken(p.lib.Dir())
	if err != nil {
		t.Fatal(err)
	}
	p.server, err = server.New(server.Config{Library: p.lib, UI: ui.Files(), Log: log, Addr: "127.0.0.1:0", Token: token})
	if err != nil {
		t.Fatal(err)
	}
	if err := p.server.Listen(ctx); err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	go func() { served <- p.server.Serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-served; err != nil {
			t.Error(err)
		}
		if err := p.lib.Close(); err != nil {
			t.Error(err)
		}
	})
	return p
}

// url returns the address of a path of the program.
func (p *program) url(path string) string { return "http://" + p.server.Addr() + path }

// add adds a clip of Tansy and returns a new reading of it by I. Varga, the
// frame table being there.
func (p *program) add(path string) (reading string) {
	p.t.Helper()
	ctx := p.t.Context()
	report, err := p.lib.Add(ctx, library.AddRequest{Dog: "Tansy", Paths: []string{path}}, nil)
	if err != nil {
		p.t.Fatal(err)
	}
	if len(report.Files) != 1 || report.Files[0].ClipID == "" {
		p.t.Fatalf("Add(%s) = %+v, want one clip", path, report)
	}
	if err := p.lib.WaitFrames(ctx); err != nil {
		p.t.Fatal(err)
	}
	id, err := p.lib.NewReading(ctx, report.Files[0].ClipID, "I. Varga")
	if err != nil {
		p.t.Fatal(err)
	}
	return id
}

// reading returns a reading as the library has it.
func (p *program) reading(id string) *annotate.Reading {
	p.t.Helper()
	r, err := p.lib.Reading(p.t.Context(), id)
	if err != nil {
		p.t.Fatal(err)
	}
	return r
}

// page is a tab of the browser on the desk.
type page struct {
	t   testing.TB
	ctx context.Context
}

// desk opens the desk of a reading in a tab and waits until it can be worked.
func (p *program) desk(ctx context.Context, reading string) *page {
	p.t.Helper()
	return openDesk(p.t, ctx, p.server.StartURL(), p.url("/desk/"+reading))
}

// openDesk lets the browser in by the start address, then opens the desk at an
// address in a tab and waits until it can be worked.
func openDesk(t testing.TB, ctx context.Context, startURL, url string) *page {
	t.Helper()
	tab := &page{t, ctx}
	tab.do(chromedp.EmulateViewport(1280, 720), chromedp.Navigate(startURL))
	tab.openDesk(url)
	return tab
}

// openDesk opens a desk in place of what the tab shows.
func (p *page) openDesk(url string) {
	p.t.Helper()
	p.do(chromedp.Navigate(url))
	p.until(`window.desk && desk.player.frames && desk.player.media_us >= 0 && desk.book.codes.size > 0`)
	p.do(run(helpers))
}

// newTab opens another window of a browser; it ends with the test.
func newTab(t testing.TB, browser context.Context) context.Context {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// newBrowser starts a browser for a test.
func newBrowser(t testing.TB) context.Context {
	t.Helper()
	ctx := browser.ForTest(t)
	if err := chromedp.Do(ctx); err != nil { // it lives as long as the context of its first action
		t.Fatal(err)
	}
	return ctx
}

// helpers are put into the page: settled waits until no seek is running and the
// last frame has been told of, read reads the number in the pixels on the screen.
const helpers = `(() => {
	const video = document.querySelector("video"), canvas = document.createElement("canvas");
	const number = ` + mediatest.ReadIndexJS + `;
	window.settled = () => new Promise((done) => {
		let quiet = 0;
		const look = () => {
			quiet = desk.player.seeking || desk.player.wish || video.seeking ? 0 : quiet + 1;
			if (quiet > 2) done(true); else requestAnimationFrame(look);
		};
		look();
	});
	window.seen = async () => {
		await settled();
		return { pixels: number(canvas, video), frame: document.querySelector("#frame").textContent, time: document.querySelector("#time").textContent };
	};
	window.saved = () => new Promise((done) => {
		const look = () => desk.reading.waiting.length === 0 && desk.queue.state === "idle" ? done(true) : setTimeout(look, 5);
		look();
	});
})()`

func run(js string) chromedp.Action[chromedp.Void] { return chromedp.Evaluate[chromedp.Void](js) }

func (p *page) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// until waits until an expression is true in the page.
func (p *page) until(js string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 30*time.Second)
	defer cancel()
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("!!("+js+")")); err != nil {
		said := eval[string](p, "['saving', 'notices', 'said'].map((id) => `${id}: ${document.getElementById(id)?.textContent}`).join('; ')")
		p.t.Fatalf("waiting for %s: %v; the page says %s", js, err, said)
	}
}

// eval runs an expression, waits for its promise, and decodes its value.
func eval[T any](p *page, js string) T {
	p.t.Helper()
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](fmt.Sprintf("(async () => JSON.stringify(await (%s)) ?? 'null')()", js), chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", js, err)
	}
	var v T
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		p.t.Fatalf("%s gave %s: %v", js, text, err)
	}
	return v
}

// press presses keys one after the other, as on an English keyboard: letters
// (capitals with Shift), signs, or one of kb's keys.
func (p *page) press(keys ...string) {
	p.t.Helper()
	for _, keys := range keys {
		for _, r := range keys {
			p.do(stroke(r, 0))
		}
	}
}

// stroke is one key down and up. Unlike chromedp's own, the character comes of
// the key going down, so that a page that takes the key gets no character, as
// with a real keyboard.
func stroke(r rune, with chromedp.Modifier) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		down, up := halves(r, with)
		if _, err := cdp.Call(ctx, t, input.DispatchKeyEvent, down); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, up)
		return err
	})
}

// halves is a key going down and coming up.
func halves(r rune, with chromedp.Modifier) (down, up input.DispatchKeyEventParams) {
	down = *kb.Encode(r)[0]
	down.Modifiers |= int64(with)
	up = down
	down.Type, up.Type = kb.KeyDown, kb.KeyUp
	if unicode.IsPrint(r) && !unicode.IsMark(r) && with&^chromedp.ModifierShift == 0 {
		down.Text, down.UnmodifiedText = string(r), string(r)
	}
	if r == []rune(kb.Enter)[0] {
		down.Text = "\r"
	}
	return down, up
}

// goTo goes to a frame by the desk's own field.
func (p *page) goTo(frame int) {
	p.t.Helper()
	p.press("/", fmt.Sprintf("#%d", frame), kb.Enter)
}

// undo and redo by their keys.
func (p *page) undo() { p.do(stroke('z', chromedp.ModifierCtrl)) }
func (p *page) redo() { p.do(stroke('z', chromedp.ModifierCtrl|chromedp.ModifierShift)) }
