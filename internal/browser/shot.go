package browser

import (
	"context"
	"fmt"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Shot says which picture of a page to take.
type Shot struct {
	URL           string
	Width, Height int    // of the window, CSS pixels
	Dark          bool   // the system's dark setting
	Ready         string // JavaScript that is true once the page is there
	Prepare       string // JavaScript to run then, which may give a promise; "" for none
}

// Window is an action that gives the page a window of a size, CSS pixels, and the
// system's light or dark setting.
func Window(width, height int, dark bool) chromedp.Action[chromedp.Void] {
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	size := chromedp.EmulateViewport(int64(width), int64(height))
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := size(ctx, t); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	})
}

// Take opens a page and returns its picture as PNG, as large as the window.
func Take(ctx context.Context, s Shot) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, time.Minute)
	defer cancel()
	err := chromedp.Do(ctx, Window(s.Width, s.Height, s.Dark), chromedp.Navigate(s.URL))
	if err != nil {
		return nil, fmt.Errorf("browser: open %s: %w", s.URL, err)
	}
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("!!("+s.Ready+")")); err != nil {
		return nil, fmt.Errorf("browser: wait for %s: %w", s.URL, err)
	}
	// Two frames after the last change everything is painted.
	const painted = `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`
	prepare := fmt.Sprintf("(async () => { %s; return %s; })()", s.Prepare, painted)
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](prepare, chromedp.EvalAwaitPromise)); err != nil {
		return nil, fmt.Errorf("browser: prepare %s: %w", s.URL, err)
	}
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return nil, fmt.Errorf("browser: picture of %s: %w", s.URL, err)
	}
	return png, nil
}
