package ui_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"

	"afterwalk/annotate"
	"afterwalk/internal/media/mediatest"
)

// BenchmarkDesk measures the desk in Chromium on a real server, with few and
// with many events: milliseconds from the start of loading until the events are
// drawn, and from a key's going down until the server has acknowledged its edit
// (median and 95th percentile of 200). It runs once:
//
//	go test ./ui -run '^$' -bench Desk -benchtime 1x
func BenchmarkDesk(b *testing.B) {
	for _, n := range []int{0, 5000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			d := openDesk(b, mediatest.Make(b, "longgop").Path)
			if n > 0 {
				edit := annotate.Edit{ID: "many"}
				for i := range n {
					at := annotate.Micros(i) * 1000
					edit.Put = append(edit.Put, annotate.Put{Event: annotate.Event{ID: fmt.Sprintf("m%05d", i), Code: "praise", Start: at, End: at}})
				}
				if _, err := d.lib.Apply(b.Context(), d.reading, edit, nil); err != nil {
					b.Fatal(err)
				}
			}
			for b.Loop() {
				d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
				d.wait(fmt.Sprintf("window.desk && desk.drawn.events.length >= %d && desk.player.frame === 0", n))
				b.ReportMetric(eval[float64](d, "Math.max(...performance.getEntriesByName('desk-drawn').map((m) => m.startTime))"), "open-ms")
				eval[any](d, `window.took = []; window.from = 0;
					addEventListener("keydown", (e) => window.from = e.timeStamp, { capture: true });
					const told = desk.queue.told.changed;
					desk.queue.told.changed = () => { if (desk.reading.waiting.length === 0 && from) { took.push(performance.now() - from); from = 0; } told(); };
					null`)
				for i := range 200 {
					d.press("y")
					d.wait(fmt.Sprintf("took.length === %d", i+1))
					d.press(".")
					d.wait("!desk.player.seeking")
				}
				took := eval[[]float64](d, "took")
				slices.Sort(took)
				b.ReportMetric(took[len(took)/2], "ack-ms-median")
				b.ReportMetric(took[len(took)*95/100], "ack-ms-p95")
			}
		})
	}
}
