package ui_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/annotate"
	"afterwalk/internal/browser"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/media/mediatest"
	"afterwalk/server"
	"afterwalk/ui"
)

// deskPage is a desk in a browser, on a real server and library.
type deskPage struct {
	t       testing.TB
	ctx     context.Context // of the browser's tab
	lib     *library.Library
	base    string // http://127.0.0.1:port
	reading string
	stop    func() // ends the server
}

const startToken = "STARTTOKENFORTESTSOFTHEDESK"

// openDesk adds the footage at path for the dog Tansy, starts a reading and opens
// its desk. The frame table is there before the page is.
func openDesk(t testing.TB, path string) *deskPage {
	t.Helper()
	d := newDesk(t, path, mediatest.Tools(t))
	if err := d.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	d.open()
	return d
}

// newDesk is openDesk without waiting for the frame table, nor opening the page.
func newDesk(t testing.TB, path string, prober library.Prober) *deskPage {
	t.Helper()
	log := slog.New(slog.DiscardHandler)
	lib, err := library.Open(t.Context(), library.Config{Dir: t.TempDir(), Prober: prober, Log: log, DefaultBook: exchange.DefaultBook()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := lib.Close(); err != nil {
			t.Error(err)
		}
	})
	report, err := lib.Add(t.Context(), library.AddRequest{Dog: "Tansy", Paths: []string{path}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(report.Files) != 1 || report.Files[0].ClipID == "" {
		t.Fatalf("adding %s: %+v", filepath.Base(path), report)
	}
	d := &deskPage{t: t, lib: lib}
	if d.reading, err = lib.NewReading(t.Context(), report.Files[0].ClipID, "I. Varga"); err != nil {
		t.Fatal(err)
	}
	d.serve("127.0.0.1:0")
	d.ctx = tab(t)
	d.do(chromedp.Navigate(d.base + "/?start=" + startToken))
	return d
}

// shared is the one browser of the desk's tests, each of which has a tab of its
// own; each server is another origin, so they share no storage.
var shared struct {
	sync.Once
	ctx context.Context
	end func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	if shared.end != nil {
		shared.end()
	}
	os.Exit(code)
}

// tab opens a tab, which is closed with the test.
func tab(t testing.TB) context.Context {
	t.Helper()
	shared.Do(func() {
		path := browser.Path()
		if path == "" {
			return
		}
		profile, err := os.MkdirTemp("", "afterwalk-desk-")
		if err != nil {
			t.Fatal(err)
		}
		ctx, end, err := browser.Start(context.Background(), path, profile, 1280, 720)
		if err != nil {
			t.Fatal(err)
		}
		shared.ctx, shared.end = ctx, func() { end(); os.RemoveAll(profile) }
	})
	if shared.ctx == nil {
		return browser.ForTest(t) // which says what is missing
	}
	ctx, end := chromedp.NewContext(shared.ctx)
	t.Cleanup(end)
	return ctx
}

// serve starts a server on the library. It is ended by d.stop, or with the test.
func (d *deskPage) serve(addr string) {
	d.t.Helper()
	s, err := server.New(server.Config{Library: d.lib, UI: ui.Files(), Log: slog.New(slog.DiscardHandler), Addr: addr, Token: startToken})
	if err != nil {
		d.t.Fatal(err)
	}
	if err := s.Listen(d.t.Context()); err != nil {
		d.t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	served := make(chan error, 1)
	go func() { served <- s.Serve(ctx) }()
	stopped := false
	d.stop = func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		if err := <-served; err != nil && err != http.ErrServerClosed {
			d.t.Error(err)
		}
	}
	d.t.Cleanup(d.stop)
	d.base = "http://" + s.Addr()
}

// open loads the desk and waits until a frame and its number are shown.
func (d *deskPage) open() {
	d.t.Helper()
	d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
	d.wait("window.desk && desk.clip && desk.player.frames && desk.player.frame === 0 && !desk.player.seeking && desk.book.codes.size > 0")
}

// do runs actions of chromedp.
func (d *deskPage) do(actions ...chromedp.Action[chromedp.Void]) {
	d.t.Helper()
	if err := chromedp.Do(d.ctx, actions...); err != nil {
		d.t.Fatal(err)
	}
}

// wait waits until an expression is true.
func (d *deskPage) wait(js string) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, 30*time.Second)
	defer cancel()
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](js, chromedp.WithPollingInterval(5*time.Millisecond))); err != nil {
		state, _ := chromedp.Run(d.ctx, chromedp.Evaluate[string](`JSON.stringify({said: document.getElementById("said")?.textContent, saving: document.getElementById("saving")?.textContent, notices: document.getElementById("notices")?.textContent, frame: window.desk?.player.frame})`))
		d.t.Fatalf("waiting for %s: %v; the page says %s", js, err, state)
	}
}

// eval returns the value of an expression.
func eval[T any](d *deskPage, js string) T {
	d.t.Helper()
	v, err := chromedp.Run(d.ctx, chromedp.Evaluate[T](js))
	if err != nil {
		d.t.Fatalf("%s: %v", js, err)
	}
	return v
}

// press presses and lets go keys one after the other: signs that a keyboard has,
// or kb's runes. They type nothing, as keys that a page has handled don't.
func (d *deskPage) press(keys string) {
	d.t.Helper()
	for _, r := range keys {
		down, up := strokes(r)
		d.key(down)
		d.key(up)
	}
}

// strokes returns the going down and up of a key.
func strokes(r rune) (down, up input.DispatchKeyEventParams) {
	events := kb.Encode(r)
	down, up = *events[0], *events[len(events)-1]
	down.Type, down.Text, down.UnmodifiedText = input.DispatchKeyEventTypeRawKeyDown, "", ""
	return down, up
}

// hold presses a key and lets it go when an expression is true.
func (d *deskPage) hold(key rune, until string) {
	d.t.Helper()
	down, up := strokes(key)
	d.key(down)
	d.wait(until)
	d.key(up)
}

// key sends one event of a key.
func (d *deskPage) key(e input.DispatchKeyEventParams) {
	d.t.Helper()
	d.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, e)
		return err
	}))
}

// goTo goes to a frame by the desk's own keys and waits until it is shown.
func (d *deskPage) goTo(frame string) {
	d.t.Helper()
	d.press("/")
	d.wait("document.activeElement.id === 'go'")
	d.do(chromedp.KeyEvent("#" + frame + kb.Enter))
	d.wait("desk.player.frame === " + frame + " && !desk.player.seeking")
}

// saved waits until everything is acknowledged and drawn.
func (d *deskPage) saved() {
	d.t.Helper()
	d.wait("desk.reading.waiting.length === 0 && desk.queue.state === 'idle' && !desk.asked.all && !desk.asked.time")
}

// stored returns what the library holds, in the words of coded.
func (d *deskPage) stored() []string {
	d.t.Helper()
	r, err := d.lib.Reading(d.t.Context(), d.reading)
	if err != nil {
		d.t.Fatal(err)
	}
	var list []string
	for _, e := range r.Events {
		list = append(list, words(e))
	}
	return list
}

// words writes an event as "behind 2000000-5000000", "did 7000000", with "-" for
// an open end and its details behind.
func words(e annotate.Event) string {
	b, _ := json.Marshal(e.Start)
	var s strings.Builder
	s.WriteString(e.Code + " " + string(b))
	switch {
	case e.Open:
		s.WriteString("-")
	case e.End > e.Start:
		b, _ := json.Marshal(e.End)
		s.WriteString("-" + string(b))
	}
	d := e.Details
	if d.Kind != "" {
		s.WriteString(" " + d.Kind)
	}
	if d.Level != nil {
		b, _ := json.Marshal(*d.Level)
		s.WriteString(" level " + string(b))
	}
	if d.Taps != nil {
		b, _ := json.Marshal(*d.Taps)
		s.WriteString(" ×" + string(b))
	}
	if e.Note != "" {
		s.WriteString(" (" + e.Note + ")")
	}
	return s.String()
}

// listen gathers what the page's console gets from now on, refusals of the
// security policy included.
func listen(d *deskPage) func() []string {
	d.t.Helper()
	var mu sync.Mutex
	var all []string
	add := func(format string, args ...any) {
		mu.Lock()
		defer mu.Unlock()
		all = append(all, fmt.Sprintf(format, args...))
	}
	err := chromedp.Listen(d.ctx, func(ev any) {
		switch ev := ev.(type) {
		case *runtime.EventExceptionThrown:
			add("%s %s", ev.ExceptionDetails.Text, ev.ExceptionDetails.Exception.Description)
		case *runtime.EventConsoleAPICalled:
			add("console.%s", ev.Type)
		case *cdplog.EventEntryAdded:
			add("%s: %s %s", ev.Entry.Level, ev.Entry.Text, ev.Entry.URL)
		}
	})
	if err != nil {
		d.t.Fatal(err)
	}
	return func() []string {
		mu.Lock()
		defer mu.Unlock()
		return slices.Clone(all)
	}
}
