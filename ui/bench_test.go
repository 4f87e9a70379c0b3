package ui_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
)

// BenchmarkStrip measures drawing in Chromium with many events in an hour:
// milliseconds of script for each repaint (median and 95th percentile) and
// screen frames per second, of which Chromium makes 60 at most. It runs once:
//
//	go test ./ui -run '^$' -bench Strip -benchtime 1x
func BenchmarkStrip(b *testing.B) {
	ctx := browser.ForTest(b)
	base := serve(b)
	for _, n := range []int{1000, 20000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for range b.N {
				if err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 720), chromedp.Navigate(base+"/jstest/probe.html")); err != nil {
					b.Fatal(err)
				}
				if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("typeof probe === 'function'")); err != nil {
					b.Fatal(err)
				}
				got, err := chromedp.Run(ctx, chromedp.Evaluate[map[string]float64](fmt.Sprintf("probe(%d)", n), chromedp.EvalAwaitPromise))
				if err != nil {
					b.Fatal(err)
				}
				for name, value := range got {
					b.ReportMetric(value, name)
				}
			}
		})
	}
}
