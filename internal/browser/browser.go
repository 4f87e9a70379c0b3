// Package browser starts a real Chromium for tests and for the pictures in the
// documents. It is the home of chromedp: pages are driven through it.
package browser

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Path returns the Chromium to use: $AFTERWALK_CHROMIUM, else the first of the
// usual names on the search path; "" if there is none.
func Path() string {
	if p := os.Getenv("AFTERWALK_CHROMIUM"); p != "" {
		return p
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	return ""
}

// Start starts Chromium at path with a fresh profile folder and returns a
// context for chromedp; cancel ends the browser. Sound and video play without a
// user's gesture.
func Start(ctx context.Context, path, profile string, width, height int) (context.Context, context.CancelFunc, error) {
	ctx, stop := chromedp.NewExecAllocator(ctx,
		chromedp.ExecPath(path),
		chromedp.UserDataDir(profile),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("hide-scrollbars", true),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
		chromedp.WindowSize(width, height),
	)
	tab, end := chromedp.NewContext(ctx)
	// It lives as long as the context of its first action: make that this one.
	if err := chromedp.Do(tab); err != nil {
		end()
		stop()
		return nil, nil, fmt.Errorf("browser: start %s: %w", path, err)
	}
	return tab, func() { end(); stop() }, nil
}

// ForTest starts Chromium for one test and ends it with the test. Where there is
// no Chromium it skips, or fails if CI is set.
func ForTest(t testing.TB) context.Context {
	t.Helper()
	path := Path()
	if path == "" {
		if os.Getenv("CI") != "" {
			t.Fatal("no Chromium found: the checks need one")
		}
		t.Skip("no Chromium found; `go run ./internal/dev test` offers to install it")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	ctx, end, err := Start(ctx, path, t.TempDir(), 1280, 720)
	if err != nil {
		cancel()
		t.Fatal(err)
	}
	t.Cleanup(func() { end(); cancel() })
	return ctx
}
