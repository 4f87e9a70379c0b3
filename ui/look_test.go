package ui_test

import (
	"context"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
)

var look = flag.String("look", "", "write pictures of the strip to this `folder`")

// TestLook writes pictures of jstest/strip.html, for a person to look at:
//
//	go test ./ui -run TestLook -look FOLDER
func TestLook(t *testing.T) {
	if *look == "" {
		t.Skip("no -look FOLDER given")
	}
	ctx := browser.ForTest(t)
	base := serve(t)
	for _, p := range []struct {
		name  string
		words string
		width int64
		scale float64
		media []*emulation.MediaFeature
		sight string
	}{
		{name: "light-1280", width: 1280},
		{name: "dark-1280", width: 1280, media: dark},
		{name: "light-820", width: 820},
		{name: "light-420", width: 420},
		{name: "grey-1280", width: 1280, sight: "achromatopsia"},
		{name: "dark-grey-1280", width: 1280, media: dark, sight: "achromatopsia"},
		{name: "fine-1280", width: 1280, scale: 2},
		{name: "right-1280", words: "right", width: 1280},
		{name: "stale-1280", words: "stale", width: 1280},
		{name: "plain-1280", words: "plain", width: 1280},
		{name: "empty-1280", words: "empty", width: 1280},
		{name: "live-1280", words: "live", width: 1280},
		{name: "part-1280", words: "part", width: 1280},
		{name: "hidden-1280", words: "hidden", width: 1280},
		{name: "zoom-1280", words: "zoom+selected", width: 1280, scale: 2},
		{name: "all-1280", words: "all", width: 1280, scale: 2},
		{name: "busy-1280", words: "busy", width: 1280},
		{name: "close-1280", words: "close", width: 1280},
	} {
		if p.scale == 0 {
			p.scale = 1
		}
		if p.sight == "" {
			p.sight = "none"
		}
		err := chromedp.Do(ctx,
			chromedp.EmulateViewport(p.width, 300, chromedp.EmulateScale(p.scale)),
			call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: p.media}),
			call(emulation.SetEmulatedVisionDeficiency, emulation.SetEmulatedVisionDeficiencyParams{Type: emulation.SetEmulatedVisionDeficiencyType(p.sight)}),
			chromedp.Navigate("about:blank"),
			chromedp.Navigate(base+"/jstest/strip.html#"+p.words),
		)
		if err != nil {
			t.Fatal(err)
		}
		drawn := `window.picture && new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`
		if _, err := chromedp.Run(ctx, chromedp.Poll[bool](drawn)); err != nil {
			t.Fatal(err)
		}
		png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*look, p.name+".png"), png, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

var dark = []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}

// call is an action for a protocol command that gives nothing back.
func call[P any, R any](cmd cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, cmd, params)
		return err
	})
}
