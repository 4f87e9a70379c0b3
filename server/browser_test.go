package server

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	browserlog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/internal/browser"
	"afterwalk/internal/library"
	"afterwalk/internal/media/mediatest"
)

var pictures = flag.String("pictures", "", "folder to keep a picture of each page in, to be looked at")

// open starts a browser with an empty page. It lives as long as the context it
// was first used with.
func open(t *testing.T) context.Context {
	t.Helper()
	ctx := browser.ForTest(t)
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// do runs steps in the browser within 30 s.
func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	ctx, cancel := context.WithTimeout(ctx, 30*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

// js returns what an expression in the page comes to; promises are awaited.
func js[T any](t *testing.T, ctx context.Context, expression string) T {
	t.Helper()
	ctx, cancel := context.WithTimeout(ctx, 60*time.Second)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to be true, across pages.
func until(t *testing.T, ctx context.Context, expression string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(ctx, 30*time.Second)
	defer cancel()
	for {
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`new Promise((done) => {
			const began = performance.now();
			const look = () => (`+expression+`) ? done(true) : performance.now() - began > 20000 ? done(false) : setTimeout(look, 20);
			look();
		})`, chromedp.EvalAwaitPromise))
		if ok {
			return
		}
		if err == nil || ctx.Err() != nil {
			text, _ := chromedp.Run(ctx, chromedp.Evaluate[string]("location + document.body.innerText"))
			t.Fatalf("not true within 20 s: %s, %v\n%s", expression, err, text)
		}
		// The page was left while it was asked: ask the next one.
	}
}

// theme makes pages light or dark.
func theme(name string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}},
		})
		return err
	})
}

// Each page at both sizes and in both themes: nothing refused by the content
// security policy, nothing wider than the window, no error told by the browser.
func TestPagesInBrowser(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	empty := newFixture(t, facts{})
	dog, session := f.coded(t, "Tansy")
	_, long := f.coded(t, strings.TrimSpace(hostile))
	longSession, err := f.lib.Session(t.Context(), long)
	if err != nil {
		t.Fatal(err)
	}
	address, _ := f.serve(t)
	emptyAddress, _ := empty.serve(t)
	pages := map[string]string{
		"dogs": address + "/", "dog": address + "/dogs/" + dog, "session": address + "/sessions/" + session, "add": address + "/add",
		"error": address + "/nowhere", "long-dog": address + "/dogs/" + longSession.DogID, "long-session": address + "/sessions/" + long,
		"empty": emptyAddress + "/",
	}
	others := []string{"jobs", "settings", "settings?check=1", "bin", "search", "search?q=meadow", "search?q=nothing+of+the+kind"}
	for _, path := range others {
		name := strings.NewReplacer("?", "-", "=", "-", "+", "-").Replace(path)
		pages[name], pages["empty-"+name] = address+"/"+path, emptyAddress+"/"+path
	}
	pages["merge"] = address + "/dogs/" + dog + "/merge?into=" + longSession.DogID
	pages["long-merge"] = address + "/dogs/" + longSession.DogID + "/merge?into=" + dog
	fresh, err := f.lib.NewDog(t.Context(), "Bramble")
	if err != nil {
		t.Fatal(err)
	}
	pages["new-dog"] = address + "/dogs/" + fresh
	do(t, ctx, chromedp.Navigate(emptyAddress+"/?start="+testToken), chromedp.Navigate(address+"/?start="+testToken))
	var told []string
	var mu sync.Mutex
	if err := chromedp.Listen(ctx, func(ev any) {
		mu.Lock()
		defer mu.Unlock()
		switch ev := ev.(type) {
		case *browserlog.EventEntryAdded:
			if ev.Entry.URL != address+"/nowhere" { // the error page is told as one
				told = append(told, ev.Entry.Text)
			}
		case *runtime.EventExceptionThrown:
			told = append(told, ev.ExceptionDetails.Text)
		}
	}); err != nil {
		t.Fatal(err)
	}
	for _, size := range [][2]int64{{1280, 720}, {820, 1180}} {
		for _, look := range []string{"light", "dark"} {
			for name, url := range pages {
				do(t, ctx, chromedp.EmulateViewport(size[0], size[1]), theme(look), chromedp.Navigate(url))
				if name == "add" {
					until(t, ctx, `document.querySelectorAll("#entries li").length > 0`)
				}
				where := fmt.Sprintf("%s at %d×%d, %s", name, size[0], size[1], look)
				if over := js[float64](t, ctx, "document.scrollingElement.scrollWidth - innerWidth"); over > 0 {
					t.Errorf("%s is %v pixels wider than the window", where, over)
				}
				if js[float64](t, ctx, `document.querySelectorAll("img[src=x]").length`) > 0 {
					t.Errorf("%s: a name got out of its place", where)
				}
				if got := js[string](t, ctx, `getComputedStyle(document.body).fontFamily`); !strings.Contains(got, "serif") && !strings.Contains(got, "Serif") {
					t.Errorf("%s has no styles: letters are %s", where, got)
				}
				if *pictures != "" {
					png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
					if err != nil {
						t.Fatal(err)
					}
					if err := os.WriteFile(filepath.Join(*pictures, fmt.Sprintf("%s-%d-%s.png", name, size[0], look)), png, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
	mu.Lock()
	defer mu.Unlock()
	for _, text := range told {
		t.Errorf("the browser tells: %s", text)
	}
}

// A dog's clips are added by keys alone, from the empty library to the result.
func TestAddByKeys(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	f.clipFile(t, "Walks/20260509 walk.mp4", 100)
	f.clipFile(t, "Walks/hevc.mov", 101)
	f.clipFile(t, "Walks/list.mp4", 102)
	address, _ := f.serve(t)
	press := func(keys ...string) {
		for _, k := range keys {
			do(t, ctx, chromedp.KeyEvent(k))
		}
	}
	// tabTo presses Tab until the focused element is the one that is meant.
	tabTo := func(what string) {
		t.Helper()
		for range 40 {
			if js[bool](t, ctx, `(() => { const e = document.activeElement; return `+what+`; })()`) {
				return
			}
			press(kb.Tab)
		}
		t.Fatalf("no way by Tab to %s", what)
	}
	do(t, ctx, chromedp.Navigate(address+"/?start="+testToken))
	tabTo(`e.matches("main a") && e.textContent === "Add clips"`)
	press(kb.Enter)
	until(t, ctx, `location.pathname === "/add" && document.querySelectorAll("#entries li").length === 1`)

	tabTo(`e.id === "add"`) // nothing is filled in yet
	press(kb.Enter)
	until(t, ctx, `!document.getElementById("dog-wrong").hidden && document.activeElement.id === "dog" && document.activeElement.getAttribute("aria-invalid") === "true"`)
	press("T", "a", "n", "s", "y")

	tabTo(`e.textContent.includes("Walks")`)
	press(kb.Enter)
	until(t, ctx, `document.querySelectorAll("#entries input").length === 3 && document.activeElement.id === "folder"`)
	tabTo(`e.type === "checkbox" && e.closest("label").textContent.includes("hevc.mov")`)
	press(" ")
	until(t, ctx, `document.querySelectorAll("#chosen li").length === 1`)
	tabTo(`e.textContent === "Leave out"`)
	press(kb.Enter)
	until(t, ctx, `document.querySelectorAll("#chosen li").length === 0 && document.activeElement.id === "folder"`)
	do(t, ctx, chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(8))) // Shift: back to Up, then on to the whole folder
	tabTo(`e.id === "whole"`)
	press(" ")
	until(t, ctx, `document.querySelectorAll("#chosen li").length === 1 && [...document.querySelectorAll("#entries input")].every((e) => e.disabled && e.checked)`)
	tabTo(`e.id === "add"`)
	press(kb.Enter)
	until(t, ctx, `document.querySelectorAll(".job .file").length === 3 && document.activeElement.id === "work-title"`)
	said := js[string](t, ctx, `[...document.querySelectorAll(".job .file")].map((e) => e.innerText.replace(/\s+/g, " ")).join("; ")`)
	for _, want := range []string{"✓ 20260509 walk.mp4 added", "! hevc.mov added Browsers can't be relied on to show HEVC", "! list.mp4 not added list.mp4 is a playlist"} {
		if !strings.Contains(said, want) {
			t.Errorf("the result says %q, want it to say %q", said, want)
		}
	}
	tabTo(`e.matches(".file a") && e.textContent === "20260509 walk.mp4"`)
	press(kb.Enter)
	until(t, ctx, `location.pathname.startsWith("/sessions/") && document.querySelector(".clip:target") !== null`)
	tabTo(`e.matches(".clip:target input.reader")`)
	press("P", ".", " ", "Q", "u", "i", "l", "l", kb.Enter)
	until(t, ctx, `location.pathname.startsWith("/desk/")`)
	js[bool](t, ctx, `history.back() ?? true`)
	until(t, ctx, `location.pathname.startsWith("/sessions/") && [...document.querySelectorAll("input.reader")].every((e) => e.value === "P. Quill")`)
}

// Frames that are being read show their progress on an open page, and the job is
// stopped from there.
func TestProgressAndStopInBrowser(t *testing.T) {
	ctx := open(t)
	hold := make(chan struct{})
	f := newFixture(t, facts{hold: hold})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	f.add(t, "Tansy", "walk2.mp4", 100)
	address, _ := f.serve(t)
	do(t, ctx, chromedp.Navigate(address+"/?start="+testToken), chromedp.Navigate(address+"/add"))
	until(t, ctx, `document.querySelectorAll(".job").length === 2`)
	js[bool](t, ctx, `[...document.querySelectorAll(".job")].find((e) => e.textContent.includes("walk2.mp4")).querySelector("button").click() ?? true`)
	until(t, ctx, `[...document.querySelectorAll(".job")].find((e) => e.textContent.includes("walk2.mp4")).textContent.includes("stopped")`)
	do(t, ctx, chromedp.Navigate(address+"/sessions/"+clip.SessionID))
	says := `document.querySelector("#clip-` + clip.ID + ` [data-frames]").textContent`
	until(t, ctx, says+`.includes("are being read")`)
	close(hold)
	until(t, ctx, says+`.includes("are read")`)
}

// Chromium plays and seeks footage although no reply carries more than the cap.
func TestCappedMediaPlays(t *testing.T) {
	ctx := open(t)
	mediatest.Tools(t) // skips without ffmpeg
	f := newFixture(t, facts{})
	path := filepath.Join(f.home, "noise.mp4")
	out, err := exec.CommandContext(t.Context(), "ffmpeg", "-nostdin", "-v", "error", "-f", "lavfi", "-i", "color=gray:s=640x360:r=30:d=6,noise=alls=100:allf=t",
		"-c:v", "libx264", "-preset", "ultrafast", "-qp", "12", "-pix_fmt", "yuv420p", "-g", "15", path).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	info, err := os.Stat(path)
	if err != nil || info.Size() < 3*mediaCap {
		t.Fatalf("the clip has %d bytes, %v; it needs several replies to show anything", info.Size(), err)
	}
	report, err := f.lib.Add(t.Context(), library.AddRequest{Dog: "Tansy", Paths: []string{path}}, nil)
	if err != nil || report.Files[0].ClipID == "" {
		t.Fatalf("add: %+v, %v", report, err)
	}
	var log bytes.Buffer
	f.cfg.Log = slog.New(slog.NewJSONHandler(&log, nil))
	address, stop := f.serve(t)
	do(t, ctx, chromedp.Navigate(address+"/?start="+testToken))
	got := js[[]float64](t, ctx, `(async () => {
		const v = document.createElement("video");
		v.muted = true;
		v.src = "/media/`+report.Files[0].ClipID+`";
		document.body.append(v);
		const once = (name) => new Promise((ok, no) => { v.addEventListener(name, ok, { once: true }); v.addEventListener("error", () => no(new Error(v.error.message)), { once: true }); });
		await once("loadeddata");
		const seen = [];
		for (const t of [5.5, 0.5, 3.25]) {
			const there = once("seeked");
			v.currentTime = t;
			await there;
			seen.push(v.currentTime);
		}
		v.playbackRate = 4;
		const end = once("ended");
		await v.play();
		await end;
		return [...seen, v.currentTime, v.videoWidth];
	})()`)
	if want := []float64{5.5, 0.5, 3.25, 6, 640}; fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("seeked to, ended at, width = %v, want %v", got, want)
	}
	do(t, ctx, chromedp.Navigate("about:blank"))
	stop()
	replies := 0
	for line := range strings.Lines(log.String()) {
		var l struct {
			Path   string
			Bytes  int64
			Status int
		}
		if err := json.Unmarshal([]byte(line), &l); err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(l.Path, "/media/") {
			replies++
			// 304: the browser had kept the range and asked whether it still holds.
			if l.Bytes > mediaCap || l.Status != 206 && l.Status != 304 {
				t.Errorf("a reply has status %d and %d bytes, want 206 and at most %d", l.Status, l.Bytes, mediaCap)
			}
		}
	}
	if replies < 3 {
		t.Errorf("%d replies carried %d bytes, want several", replies, info.Size())
	}
}

// The start address works from a link on another site too: the cookie is there on
// the page that it leads to.
func TestStartFromAnotherSite(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	address, _ := f.serve(t)
	page := filepath.Join(t.TempDir(), "note.html")
	if err := os.WriteFile(page, []byte(`<a id="go" href="`+address+"/?start="+testToken+`">open</a>`), 0o600); err != nil {
		t.Fatal(err)
	}
	do(t, ctx, chromedp.Navigate("file://"+page))
	js[bool](t, ctx, `document.getElementById("go").click() ?? true`)
	until(t, ctx, `location.href === "`+address+`/" && document.querySelector("h1")?.textContent === "No clips yet"`)
	if strings.Contains(js[string](t, ctx, `document.referrer`), testToken) {
		t.Error("the token is in the referrer")
	}
}
