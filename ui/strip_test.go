package ui_test

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
)

// TestStripByMouse drags an edge of a selected event with a real mouse, leaves
// the strip while dragging, and changes the colour scheme of a living page.
func TestStripByMouse(t *testing.T) {
	ctx := browser.ForTest(t)
	base := serve(t)
	err := chromedp.Do(ctx,
		chromedp.EmulateViewport(1280, 400),
		chromedp.Navigate(base+"/jstest/strip.html#selected"),
	)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("window.picture && !picture.asked")); err != nil {
		t.Fatal(err)
	}
	// The event that ends at 0:19.4, behind for 3.4 s.
	at := place(ctx, t, `(() => {
		const box = picture.root.getBoundingClientRect();
		return {x: box.left + picture.scale.x(19.4e6), y: box.top + picture.rows.leg + 9, to: box.left + picture.scale.x(21e6)};
	})()`)
	err = chromedp.Do(ctx,
		chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, at.X, at.Y, chromedp.Button("left"), chromedp.ClickCount(1)),
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at.X+5, at.Y, chromedp.Button("left")),
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at.To, at.Y+300, chromedp.Button("left")),
		chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, at.To, at.Y+300, chromedp.Button("left"), chromedp.ClickCount(1)),
	)
	if err != nil {
		t.Fatal(err)
	}
	got, err := chromedp.Run(ctx, chromedp.Evaluate[float64](`picture.events.find(e => e.start_us === 16e6 && e.code === "behind").end_us`))
	if err != nil {
		t.Fatal(err)
	}
	if got != 21e6 {
		t.Errorf("after dragging its edge to 0:21 the event ends at %.0f µs, want 21000000", got)
	}

	const ink = `(() => {
		const {main, dpr} = picture.layers, r = picture.rows;
		return Array.from(main.getContext("2d").getImageData(Math.round(picture.scale.x(3e6) * dpr), Math.round(r.leg * dpr), 1, 1).data).join();
	})()`
	light, err := chromedp.Run(ctx, chromedp.Evaluate[string](ink))
	if err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(ctx, call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: dark})); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](ink+` !== "`+light+`"`)); err != nil {
		t.Errorf("the dog's line kept its colour %s in the dark scheme: %v", light, err)
	}
}

// spot is where a drag begins and how far it goes.
type spot struct{ X, Y, To float64 }

func place(ctx context.Context, t *testing.T, js string) spot {
	t.Helper()
	at, err := chromedp.Run(ctx, chromedp.Evaluate[spot](js))
	if err != nil {
		t.Fatal(err)
	}
	return at
}
