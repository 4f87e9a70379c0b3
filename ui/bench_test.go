package ui_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
)

// BenchmarkStrip measures drawing in Chromium with many events in an hour: for
// each repaint the milliseconds of processor time that the page's main thread
// takes, and screen frames per second, of which Chromium makes 60 at most. Time
// of the processor hardly depends on what else the machine does, frames do.
//
//	go test ./ui -run '^$' -bench Strip -benchtime 1x
func BenchmarkStrip(b *testing.B) {
	const rounds = 100
	ctx := browser.ForTest(b)
	base := serve(b)
	for _, n := range []int{1000, 20000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for range b.N {
				err := chromedp.Do(ctx,
					chromedp.EmulateViewport(1280, 720),
					call(performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks}),
					chromedp.Navigate(base+"/jstest/probe.html"),
				)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("typeof probe === 'function'")); err != nil {
					b.Fatal(err)
				}
				if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool](fmt.Sprintf("fill(%d)", n), chromedp.EvalAwaitPromise)); err != nil {
					b.Fatal(err)
				}
				for _, what := range []string{"whole", "tenth", "minute", "playhead", "new event"} {
					before := mainThread(ctx, b)
					fps, err := chromedp.Run(ctx, chromedp.Evaluate[float64](fmt.Sprintf("probe(%q, %d)", what, rounds), chromedp.EvalAwaitPromise))
					if err != nil {
						b.Fatal(err)
					}
					name := strings.ReplaceAll(what, " ", "-")
					b.ReportMetric((mainThread(ctx, b)-before)*1000/rounds, name+"-ms")
					b.ReportMetric(fps, name+"-fps")
				}
			}
		})
	}
}

// mainThread returns the processor time, in seconds, that the page's main thread
// has spent on tasks so far.
func mainThread(ctx context.Context, b *testing.B) float64 {
	b.Helper()
	got, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (performance.GetMetricsResult, error) {
		return cdp.Call(ctx, t, performance.GetMetrics, cdp.Empty{})
	})
	if err != nil {
		b.Fatal(err)
	}
	for _, m := range got.Metrics {
		if m.Name == "TaskDuration" {
			return m.Value
		}
	}
	b.Fatal("Chromium told no TaskDuration")
	return 0
}
