package proof

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/media/mediatest"

	"github.com/chromedp/cdproto/cdp"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// timing notes, for each key that makes an edit, how long it took from the key's
// going down to the server's reply being taken in.
const timing = `(() => {
	let down = 0;
	addEventListener("keydown", (e) => (down = e.timeStamp), { capture: true });
	const { queue } = desk;
	const taken = queue.acknowledged;
	queue.acknowledged = function (...reply) {
		taken.apply(this, reply);
		if (down) performance.measure("key to acknowledgement", { start: down });
		down = 0;
	};
	window.took = () => performance.getEntriesByName("key to acknowledgement").map((m) => m.duration);
})()`

// BenchmarkKeyToAcknowledgement presses 200 coding keys on the desk, each on
// another frame, and tells the milliseconds from a key's going down until its edit
// is acknowledged: with the film at rest, and while it runs. It runs once:
//
//	go test ./internal/proof -run '^$' -bench KeyToAcknowledgement -benchtime 1x
func BenchmarkKeyToAcknowledgement(b *testing.B) {
	const presses = 200
	keys := []string{"w", "s", "e", "m", "r"} // on, replaced, off, a moment, a moment: an edit each
	for _, playing := range []bool{false, true} {
		b.Run(map[bool]string{false: "at rest", true: "running"}[playing], func(b *testing.B) {
			clip := mediatest.Make(b, "session")
			p := start(b)
			tab := p.desk(newBrowser(b), p.add(clip.Path))
			tab.do(run(clock), run(timing))
			for b.Loop() {
				eval[any](tab, "performance.clearMeasures(), null")
				tab.moveTo(0, new(tally))
				if playing {
					tab.press(" ")
				}
				for i := range presses {
					if playing {
						eval[any](tab, fmt.Sprintf("whenAt(%d)", clip.PTS[10+10*i]))
					} else {
						tab.press(".")
						eval[any](tab, "settled()")
					}
					tab.press(keys[i%len(keys)])
					tab.until(fmt.Sprintf("took().length === %d", i+1))
				}
				if playing {
					tab.press(" ")
				}
				took := eval[[]float64](tab, "took()")
				b.ReportMetric(quantile(took, 0.5).(float64), "p50-ms")
				b.ReportMetric(quantile(took, 0.95).(float64), "p95-ms")
				b.ReportMetric(slices.Max(took), "max-ms")
			}
			b.ReportMetric(0, "ns/op")
		})
	}
}

// usable notes when the desk can be worked: the first picture is on the screen,
// the frames are known, all events and the numbers are drawn.
const usable = `(() => {
	const look = () => {
		const d = window.desk;
		if (d?.player?.frames && d.player.media_us >= 0 && d.reading.events.length >= %d && document.querySelector("#events [role=option]") && document.querySelector("#numbers b") && document.querySelector("#strip canvas")?.width > 0) {
			requestAnimationFrame(() => (window.usable = performance.now()));
		} else requestAnimationFrame(look);
	};
	if (location.pathname.startsWith("/desk/")) look();
})()`

// BenchmarkOpening opens the desk of a reading with 5,000 events and tells the
// milliseconds from the start of the navigation until it can be worked:
//
//	go test ./internal/proof -run '^$' -bench Opening -benchtime 20x
func BenchmarkOpening(b *testing.B) {
	const events = 5000
	clip := mediatest.Make(b, "session")
	p := start(b)
	id := p.add(clip.Path)
	var edit annotate.Edit
	for i := range events {
		from := annotate.Micros(i+1) * 14_000
		at := annotate.Event{ID: fmt.Sprintf("event %04d", i), Start: from, End: from}
		switch i % 10 {
		case 0, 5: // spans of lanes in which one runs at a time
			at.Code, at.End = []string{"ahead", "off-task"}[i/5%2], from+60_000
		case 1:
			at.Code = "heel"
		case 2:
			at.Code = "did"
		case 3:
			at.Code, at.Details = "stim", annotate.Details{Level: new(float64(i % 20))}
		case 4:
			at.Code, at.Details = "turn", annotate.Details{Kind: "left"}
		default:
			at.Code = []string{"marker", "voice", "praise", "heard"}[i%4]
		}
		edit.Put = append(edit.Put, annotate.Put{Event: at})
	}
	edit.ID = "many"
	end := annotate.Micros(75_000_000)
	heel := annotate.Event{ID: "heel work", Code: "ex-heel", Start: 0, End: end}
	edit.Put = append(edit.Put, annotate.Put{Event: heel})
	edit.Reach = &end
	if _, err := p.lib.Apply(b.Context(), id, edit, nil); err != nil {
		b.Fatal(err)
	}
	ctx := newBrowser(b)
	tab := p.desk(ctx, id) // lets the browser in, and has its parts compiled once
	tab.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: fmt.Sprintf(usable, events+1)})
		return err
	}))
	var took []float64
	for b.Loop() {
		tab.do(chromedp.Navigate("about:blank"), chromedp.Navigate(p.url("/desk/"+id)))
		tab.until("window.usable")
		took = append(took, eval[float64](tab, "usable"))
	}
	b.ReportMetric(quantile(took, 0.5).(float64), "p50-ms")
	b.ReportMetric(slices.Max(took), "max-ms")
	b.ReportMetric(0, "ns/op")
}
