package server

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	devpage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/browser"
)

// printed shows the page as it is on paper, with the system set dark.
func printed(media string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Media: media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
		})
		return err
	})
}

// On paper stands the record alone: no way elsewhere, nothing to press, black on
// white whatever the system's look is, the strip that fits the sheet.
func TestSessionPrinted(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "20260502 walk.mp4", 100)
	session, err := f.lib.Session(t.Context(), clip.SessionID)
	if err != nil {
		t.Fatal(err)
	}
	session.Venue, session.Plan, session.Notes = "Mill Meadow", "Downs.\nThen heel.", "Long grass."
	if err := f.lib.SetSession(t.Context(), session); err != nil {
		t.Fatal(err)
	}
	id := f.read(t, clip)
	f.code(t, id, coding{"ex-heel", 1, 7, ""}, coding{"behind", 2, 3, ""}, coding{"stim", 2.5, 0, `{"level":9}`})
	f.finish(t, id)
	address, _ := f.serve(t)
	do(t, ctx, browser.Window(680, 960, true), chromedp.Navigate(address+"/?start="+testToken))
	do(t, ctx, chromedp.Navigate(address+"/sessions/"+clip.SessionID), printed("print"))

	for _, none := range []string{"button", "input", "textarea", "select", "nav", "summary", ".take"} {
		if got := js[[]string](t, ctx, `[...document.querySelectorAll("`+none+`")].filter(e => e.checkVisibility()).map(e => e.outerHTML.slice(0, 80))`); len(got) > 0 {
			t.Errorf("on paper stands %s: %v", none, got)
		}
	}
	text := js[string](t, ctx, `document.querySelector("main").innerText`)
	for _, want := range []string{"Tansy", "Mill Meadow", "Downs.\nThen heel.", "Long grass.", "20260502 walk.mp4", "Right again by itself", "Levels record one dog, one collar, one day."} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on paper", want)
		}
	}
	got := js[map[string]any](t, ctx, `({
		paper: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.body).color,
		line: getComputedStyle(document.querySelector(".strip-narrow .af-draw-ink")).stroke,
		wide: getComputedStyle(document.querySelector(".strip-wide")).display, narrow: getComputedStyle(document.querySelector(".strip-narrow")).display,
		clip: getComputedStyle(document.querySelector(".clip")).breakInside, over: document.documentElement.scrollWidth > innerWidth,
	})`)
	want := map[string]any{"paper": "rgb(255, 255, 255)", "ink": "rgb(0, 0, 0)", "line": "rgb(0, 0, 0)", "wide": "none", "narrow": "block", "clip": "avoid", "over": false}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("on paper (-want +got):\n%s", diff)
	}

	for name, size := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		var pdf []byte
		do(t, ctx, printed(""), chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			r, err := cdp.Call(ctx, target, devpage.PrintToPDF, devpage.PrintToPDFParams{PaperWidth: size[0], PaperHeight: size[1], PrintBackground: new(true)})
			if err == nil {
				pdf = r.Data
			}
			return err
		}))
		if !bytes.HasPrefix(pdf, []byte("%PDF-")) {
			t.Errorf("%s: printed as %.20q", name, pdf)
		}
	}
}
