package server

import (
	"context"
	"strings"
	"testing"
	"unicode"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/internal/browser/axe"
)

// press presses keys, one after the other. Unlike with chromedp's own, the
// character comes of the key going down, so that a page that takes the key gets no
// character, as with a real keyboard.
func press(t *testing.T, ctx context.Context, keys ...string) {
	t.Helper()
	for _, k := range keys {
		r := []rune(k)[0]
		down := *kb.Encode(r)[0]
		up := down
		down.Type, up.Type = kb.KeyDown, kb.KeyUp
		switch {
		case k == kb.Enter:
			down.Text = "\r"
		case unicode.IsPrint(r):
			down.Text, down.UnmodifiedText = k, k
		}
		do(t, ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			if _, err := cdp.Call(ctx, t, input.DispatchKeyEvent, down); err != nil {
				return err
			}
			_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, up)
			return err
		}))
	}
}

// typeIn types a text into what has the focus.
func typeIn(t *testing.T, ctx context.Context, text string) {
	t.Helper()
	press(t, ctx, strings.Split(text, "")...)
}

// tabTo presses Tab until the focused element e is the one that is meant.
func tabTo(t *testing.T, ctx context.Context, what string) {
	t.Helper()
	for range 80 {
		if js[bool](t, ctx, `(() => { const e = document.activeElement; return `+what+`; })()`) {
			return
		}
		press(t, ctx, kb.Tab)
	}
	t.Fatalf("no way by Tab to %s", what)
}

// accessible holds the page as it is to axe's rules, light and dark, and to the
// width of both windows.
func accessible(t *testing.T, ctx context.Context, where string) {
	t.Helper()
	for _, size := range [][2]int64{{1280, 720}, {820, 1180}} {
		for _, look := range []string{"light", "dark"} {
			do(t, ctx, chromedp.EmulateViewport(size[0], size[1]), theme(look))
			found, err := axe.Check(ctx)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range found {
				t.Errorf("%s at %d×%d, %s: %s", where, size[0], size[1], look, v)
			}
			if over := js[float64](t, ctx, "document.scrollingElement.scrollWidth - innerWidth"); over > 0 {
				t.Errorf("%s at %d, %s is %v pixels wider than the window", where, size[0], look, over)
			}
		}
	}
	do(t, ctx, chromedp.EmulateViewport(1280, 720), theme("light"))
}

// The facts of a new dog by keys alone: made, a device added, a slip mended where
// it is told, saved, found by a search, put into the bin and brought back.
func TestDogByKeys(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	address, _ := f.serve(t)
	do(t, ctx, chromedp.Navigate(address+"/?start="+testToken))
	tabTo(t, ctx, `e.id === "new-dog"`)
	press(t, ctx, kb.Enter) // nothing typed
	until(t, ctx, `document.activeElement.getAttribute("aria-describedby") === "new-dog-wrong"`)
	accessible(t, ctx, "a dog without a name")
	typeIn(t, ctx, "Bramble")
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname.startsWith("/dogs/") && document.querySelector("h1")?.textContent === "Bramble"`)

	tabTo(t, ctx, `e.id === "add-device"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `document.activeElement.id === "device-0-name"`)
	typeIn(t, ctx, "brown box")
	press(t, ctx, kb.Tab)
	typeIn(t, ctx, "stim")
	press(t, ctx, kb.Tab)
	typeIn(t, ctx, "lots")
	press(t, ctx, kb.Enter) // saves: the first button that Enter stands for takes out no row
	until(t, ctx, `document.activeElement.id === "device-0-max" && document.activeElement.getAttribute("aria-invalid") === "true"`)
	if got := js[string](t, ctx, `document.getElementById("device-0-channel").value + " " + document.getElementById("device-0-name").value`); got != "stim brown box" {
		t.Errorf("what was typed became %q", got)
	}
	accessible(t, ctx, "a device with a slip")
	js[bool](t, ctx, `document.activeElement.select() ?? true`)
	typeIn(t, ctx, "100")
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.search === "?saved=1" && document.querySelector("#device-0-max").value === "100"`)
	accessible(t, ctx, "saved facts")

	press(t, ctx, "/")
	until(t, ctx, `document.activeElement.id === "search" && document.activeElement.value === ""`)
	typeIn(t, ctx, "bro/")
	press(t, ctx, kb.Backspace, kb.Enter)
	until(t, ctx, `location.pathname === "/search" && document.querySelectorAll(".hits mark").length > 0`)
	accessible(t, ctx, "a search")
	tabTo(t, ctx, `e.matches(".hits a")`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname.startsWith("/dogs/")`)

	tabTo(t, ctx, `e.textContent === "Put Bramble into the bin"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname === "/" && document.querySelector(".done") !== null`)
	accessible(t, ctx, "what was done")
	tabTo(t, ctx, `e.matches(".done button")`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `document.querySelector(".done")?.textContent.includes("Taken back") && document.querySelectorAll(".dogs li").length === 1`)
	tabTo(t, ctx, `e.matches(".dogs a")`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname.startsWith("/dogs/")`)
	tabTo(t, ctx, `e.textContent === "Put Bramble into the bin"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname === "/"`)
	tabTo(t, ctx, `e.matches(".foot a") && e.textContent === "Bin"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname === "/bin"`)
	accessible(t, ctx, "the bin")
	tabTo(t, ctx, `e.textContent === "Put back Bramble"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname.startsWith("/dogs/") && document.querySelector(".done") !== null`)
}

// The settings by keys alone: a look is chosen against the system's, and the key /
// is switched off.
func TestSettingsByKeys(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	reading := f.read(t, f.add(t, "Tansy", "walk.mp4", 100))
	address, _ := f.serve(t)
	do(t, ctx, theme("light"), chromedp.Navigate(address+"/?start="+testToken))
	const ground = `getComputedStyle(document.body).backgroundColor`
	paper := js[string](t, ctx, ground)
	tabTo(t, ctx, `e.matches(".foot a") && e.textContent === "Settings"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.pathname === "/settings"`)
	tabTo(t, ctx, `e.id === "reader"`)
	typeIn(t, ctx, "I. Varga")
	tabTo(t, ctx, `e.name === "search_key"`)
	press(t, ctx, " ")
	tabTo(t, ctx, `e.name === "look"`)
	press(t, ctx, kb.ArrowDown, kb.ArrowDown)
	tabTo(t, ctx, `e.matches("button.main")`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.search === "?saved=1" && document.readyState === "complete"`)
	dark := js[string](t, ctx, ground)
	if dark == paper {
		t.Errorf("the ground is %s, as on paper", dark)
	}
	do(t, ctx, theme("dark"))
	if got := js[string](t, ctx, ground); got != dark {
		t.Errorf("dark by the setting is %s, dark by the system %s", dark, got)
	}
	press(t, ctx, "/")
	if got := js[string](t, ctx, `document.activeElement.id`); got == "search" {
		t.Error("the key / still leads to the search field")
	}
	accessible(t, ctx, "saved settings")
	tabTo(t, ctx, `e.textContent === "Back up now"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.search.startsWith("?backup=") && document.querySelector("[aria-labelledby=library] .notice") !== null`)
	tabTo(t, ctx, `e.textContent === "Check now"`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.search === "?check=1" && document.querySelector("[aria-labelledby=library] .notice")?.textContent.includes("All is well")`)
	accessible(t, ctx, "a check")

	// The strip of the desk is painted on a canvas, from the same colours.
	do(t, ctx, theme("light"), chromedp.Navigate(address+"/desk/"+reading))
	until(t, ctx, `document.querySelector("#strip canvas") !== null`)
	if got := js[string](t, ctx, `import("/assets/js/strip/paint/ink.js").then((m) => m.readInk(document.getElementById("strip")).paper)`); got != "#1d1f1b" {
		t.Errorf("the strip's paper is %s, want that of the dark look", got)
	}
	do(t, ctx, chromedp.Navigate(address+"/settings"))

	// On paper, against a system that is dark.
	do(t, ctx, theme("dark"))
	tabTo(t, ctx, `e.name === "look"`)
	press(t, ctx, kb.ArrowUp)
	tabTo(t, ctx, `e.matches("button.main")`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `location.search === "?saved=1" && document.documentElement.dataset.look === "light" && document.readyState === "complete"`)
	if got := js[string](t, ctx, ground); got != paper {
		t.Errorf("paper by the setting is %s, by the system %s", got, paper)
	}
}

// The page of jobs follows them without being loaded again, and stops one.
func TestJobsLive(t *testing.T) {
	ctx := open(t)
	hold := make(chan struct{})
	f := newFixture(t, facts{hold: hold})
	address, _ := f.serve(t)
	do(t, ctx, chromedp.Navigate(address+"/?start="+testToken), chromedp.Navigate(address+"/jobs"))
	until(t, ctx, `!document.getElementById("idle").hidden`)
	accessible(t, ctx, "no jobs")
	f.add(t, "Tansy", "a.mp4", 100)
	f.add(t, hostile[:200], "b.mp4", 200)
	until(t, ctx, `document.querySelectorAll("#running .job").length === 2 && document.getElementById("idle").hidden`)
	accessible(t, ctx, "jobs under way")
	tabTo(t, ctx, `e.matches("#running button") && e.closest(".job").textContent.includes("b.mp4")`)
	press(t, ctx, kb.Enter)
	until(t, ctx, `document.querySelector("#ended .job")?.textContent.includes("before it began")`)
	if got := js[string](t, ctx, `document.activeElement.id`); got != "work-title" {
		t.Errorf("the focus is at %q, want at the heading: its button is gone", got)
	}
	close(hold)
	until(t, ctx, `document.querySelectorAll("#ended .job").length === 2 && document.querySelectorAll("#running .job").length === 0 && !document.getElementById("idle").hidden`)
	if got := js[string](t, ctx, `document.querySelector("#ended .job").textContent`); !strings.Contains(got, "a.mp4") {
		t.Errorf("first of what ended: %q, want what ended last", got)
	}
	do(t, ctx, chromedp.Navigate(address+"/jobs"))
	until(t, ctx, `document.querySelectorAll("#ended a.clip-link").length === 2`)
	accessible(t, ctx, "ended jobs")
}
