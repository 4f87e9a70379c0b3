package ui_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	goruntime "runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
)

// The desk names the frame whose number is read from its pixels, after jumps,
// steps, and play and pause, whatever the film is like.
func TestDeskNamesTheFrameShown(t *testing.T) {
	for _, name := range mediatest.Playable() {
		t.Run(name, func(t *testing.T) {
			clip := mediatest.Make(t, name)
			d := openDesk(t, clip.Path)
			eval[any](d, `window.readIndex = `+mediatest.ReadIndexJS+`; window.canvas = document.createElement("canvas"); null`)
			check := func(after string) {
				t.Helper()
				got := eval[[]int](d, `[readIndex(canvas, document.getElementById("video")), Number(document.querySelector(".frame").textContent.replace("frame ", "")), desk.player.frame]`)
				if got[1] != got[2] || got[0] != clip.First+got[1] {
					t.Errorf("after %s the screen shows number %d, the desk says frame %d (player %d); the first frame has number %d", after, got[0], got[1], got[2], clip.First)
				}
			}
			rest := `!desk.player.seeking && !desk.player.playing && !desk.asked.time && !desk.asked.all`
			r := rand.New(rand.NewPCG(1, 2))
			for range 6 {
				k := r.IntN(clip.Frames)
				d.goTo(fmt.Sprint(k))
				d.wait(rest)
				check(fmt.Sprintf("going to %d", k))
				for _, step := range []struct {
					key string
					by  int
				}{{".", 1}, {",", -1}, {",", -1}} {
					want := min(max(eval[int](d, "desk.player.frame")+step.by, 0), clip.Frames-1)
					d.press(step.key)
					d.wait(fmt.Sprintf("desk.player.frame === %d && ", want) + rest)
					check("step " + step.key)
				}
			}
			for i := range 5 {
				d.goTo(fmt.Sprint(10 * i))
				seen := eval[int](d, "desk.player.framesSeen")
				d.press(" ")
				d.wait(fmt.Sprintf("desk.player.framesSeen > %d", seen+5))
				d.press(" ")
				d.wait(rest)
				check("play and pause")
			}
			if last := clip.Frames - 1; last > 0 {
				d.press(kb.End)
				d.wait(fmt.Sprintf("desk.player.frame === %d && ", last) + rest)
				check("the end")
				d.press(".")
				d.wait(rest)
				check("a step at the end")
			}
		})
	}
}

// The coder's track over the film.
func TestDeskCaptions(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("g9`")
	d.wait(`[...document.getElementById("video").textTracks].some((t) => t.mode === "showing" && t.cues?.length === 1 && t.activeCues.length === 1 && t.activeCues[0].text === "Stim 9 ×1")`)
	d.goTo("90")
	d.press("m")
	d.wait(`[...document.getElementById("video").textTracks].some((t) => t.mode === "showing" && t.cues?.length === 2)`)
	d.press("`")
	d.wait(`[...document.getElementById("video").textTracks].every((t) => t.mode !== "showing")`)
}

// gated reads footage as ffprobe does, and frame tables when it is let.
type gated struct {
	*media.Tools
	gate chan struct{}
}

func (g gated) Frames(ctx context.Context, path string, progress func(float64)) (media.FrameTable, error) {
	select {
	case <-g.gate:
	case <-ctx.Done():
		return media.FrameTable{}, ctx.Err()
	}
	return g.Tools.Frames(ctx, path, progress)
}

// A clip can be coded before its frame table is there, and the page says so.
func TestDeskBeforeTheFrameTable(t *testing.T) {
	gate := make(chan struct{})
	clip := mediatest.Make(t, "start15")
	d := newDesk(t, clip.Path, gated{mediatest.Tools(t), gate})
	d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
	d.wait(`window.desk && desk.clip && desk.player.media_us >= 0 && !desk.player.seeking && document.getElementById("notices").textContent.includes("still being read")`)
	if got := eval[string](d, `document.querySelector(".time").textContent + " " + document.querySelector(".frame").textContent`); got != "0:01.500 frame –" {
		t.Errorf("the desk shows %q, want 0:01.500 frame –: the film starts at 1.5 s", got)
	}
	d.press("...") // at once: each counts from the one before, shown or not
	d.wait(`!desk.player.seeking && desk.player.shown_us === 1600000`)
	d.press("s")
	d.wantStored("behind 1600000-")
	close(gate)
	d.wait(`desk.player.frame === 3 && document.querySelector(".frame").textContent === "frame 3" && !document.querySelector("[data-about=frames]")`)
}

// On a slow machine a frame reaches the screen long after its seek has ended. Steps
// count from what was asked for meanwhile, with a frame table and without one.
func TestDeskStepsOnASlowMachine(t *testing.T) {
	// Every frame callback comes 400 ms late, and the machine has more to do than it can.
	const slow = `(() => {
		const ask = HTMLVideoElement.prototype.requestVideoFrameCallback;
		HTMLVideoElement.prototype.requestVideoFrameCallback = function (fn) {
			if (this.late) return this.late.push(fn);
			this.late = [fn];
			const pass = (now, meta) => {
				ask.call(this, pass);
				setTimeout(() => this.late.splice(0).forEach((fn) => fn(now, meta)), 400);
			};
			return ask.call(this, pass);
		};
	})()`
	for _, table := range []bool{false, true} {
		t.Run(fmt.Sprintf("frame table %t", table), func(t *testing.T) {
			gate := make(chan struct{})
			d := newDesk(t, mediatest.Make(t, "start15").Path, gated{mediatest.Tools(t), gate})
			var done atomic.Bool
			defer done.Store(true)
			for range 2 * goruntime.NumCPU() {
				go func() {
					for !done.Load() { // nothing but work for the processor
					}
				}()
			}
			d.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
				if _, err := cdp.Call(ctx, t, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: slow}); err != nil {
					return err
				}
				_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4})
				return err
			}))
			d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
			if table {
				close(gate)
				d.wait("window.desk && !!desk.player.frames")
			} else {
				defer close(gate)
			}
			d.wait("window.desk && desk.clip && desk.player.media_us >= 0 && !desk.player.aim")
			shows := func(us int) {
				t.Helper()
				d.wait(fmt.Sprintf("!desk.player.aim && desk.player.shown_us === %d", us))
			}
			d.press("...")
			shows(1_600_000)
			// One after the other, each when the seek before has been given up and its
			// frame is not there yet.
			for range 3 {
				d.press(".")
				d.wait("!desk.player.seeking && !desk.player.wish")
			}
			shows(1_700_000)
			for range 2 {
				d.press(",")
				d.wait("!desk.player.seeking && !desk.player.wish")
			}
			shows(1_633_333)
		})
	}
}

// stayed makes copies that play when it is let.
type stayed struct {
	*media.Tools
	gate chan struct{}
}

func (s stayed) Proxy(ctx context.Context, path, to string, want media.ProxyWant, progress func(done float64)) (media.ProxyMade, error) {
	select {
	case <-s.gate:
	case <-ctx.Done():
		return media.ProxyMade{}, ctx.Err()
	}
	return s.Tools.Proxy(ctx, path, to, want, progress)
}

// A film that the browser can't play, or of which it plays the sound alone, is not
// passed off as black: nothing is coded to it before the copy that plays is there,
// and then the desk shows that.
func TestDeskNeedsProxy(t *testing.T) {
	for _, clip := range []string{"hevc", "hevc-silent"} {
		t.Run(clip, func(t *testing.T) {
			gate := make(chan struct{})
			d := newDesk(t, mediatest.Make(t, clip).Path, stayed{mediatest.Tools(t), gate})
			d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
			d.wait(`document.querySelector("[data-about=film]")?.textContent.includes("A copy of this film that browsers can play is being made")`)
			d.wait(`desk.book.codes.size > 0 && desk.keys.table.size > 0`)
			d.press("v")
			d.wait(`document.getElementById("said").textContent.startsWith("There is no picture to code by yet")`)
			d.press("e")
			d.saved()
			d.wantStored()
			close(gate)
			d.outlast(`window.desk && document.getElementById("video").videoWidth > 0 && desk.player.frames && desk.player.frame === 0 && !document.querySelector("[data-about=film]")`)
			d.press("v")
			d.saved()
			if got := d.stored(); len(got) != 1 {
				t.Errorf("stored is %q, want one event", got)
			}
		})
	}
}

// outlast waits until an expression is true on this page or on one that takes its
// place.
func (d *deskPage) outlast(js string) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.ctx, 60*time.Second)
	defer cancel()
	for {
		_, err := chromedp.Run(ctx, chromedp.Poll[bool](js, chromedp.WithPollingInterval(5*time.Millisecond)))
		if err == nil {
			return
		}
		if ctx.Err() != nil {
			d.t.Fatalf("waiting for %s: %v", js, err)
		}
	}
}

// A film that is gone is said to be gone, and shown when it is back.
func TestDeskFilmIsGone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "heel.mp4")
	mediatest.Make(t, "cfr30").CopyTo(t, path)
	d := newDesk(t, path, mediatest.Tools(t))
	if err := d.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	away := filepath.Join(t.TempDir(), "heel.mp4") // not a folder that the library looks in
	if err := os.Rename(path, away); err != nil {
		t.Fatal(err)
	}
	d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
	d.wait(`!!document.querySelector("[data-about=film]")`)
	got := eval[string](d, `document.querySelector("[data-about=film]").textContent`)
	if !strings.Contains(got, "heel.mp4") || strings.Contains(got, "proxy") {
		t.Errorf("the page says %q, want that heel.mp4 is not there", got)
	}
	if err := os.Rename(away, path); err != nil {
		t.Fatal(err)
	}
	addr := strings.TrimPrefix(d.base, "http://")
	d.stop()
	d.serve(addr) // its event stream tells the page that it is back
	d.wait(`!document.querySelector("[data-about=film]") && desk.player.frame === 0`)
}
