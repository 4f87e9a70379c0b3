package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/media/mediatest"
)

// farOff is how far from the film's clock, when its key came, a press may be
// coded. How late the key came is the machine's matter and only printed.
const farOff = 500_000

// clock is put into the page: whenAt waits until the film's own clock has come to
// a time, and pressedAt notes what it says when a key arrives.
const clock = `(() => {
	const video = document.querySelector("video");
	window.whenAt = (us) => new Promise((done) => {
		const look = () => {
			const left = us / 1e3 - video.currentTime * 1e3;
			if (left <= 0) done(video.paused);
			else setTimeout(look, left > 20 ? left - 10 : 1);
		};
		look();
	});
	window.pressedAt = [];
	addEventListener("keydown", () => pressedAt.push(video.currentTime * 1e6), { capture: true });
})()`

// timed is an event that a press of the pass begins.
type timed struct {
	at, key int // frame of the press, and which key of all that were pressed
	code    string
}

// One pass at speed 1 over the first half minute of the script, the film running:
// every event is there, in order. How far starts and ends lie from the times of
// the script is printed.
func TestCodingInRealTime(t *testing.T) {
	clip := mediatest.Make(t, "session")
	p := start(t)
	id := p.add(clip.Path)
	tab := p.desk(newBrowser(t), id)
	tab.do(run(clock))
	us := func(frame int) int64 { return int64(clip.PTS[frame]) }

	var want []timed
	tab.press(" ")
	pressed := 1
	tab.until("desk.player.playing")
	waitFor := func(frame int) {
		t.Helper()
		if paused := eval[bool](tab, fmt.Sprintf("whenAt(%d)", (us(frame)+us(frame+1))/2)); paused {
			t.Fatalf("the film has stopped before frame %d", frame)
		}
	}
	for _, row := range script {
		if row.at > 830 {
			break
		}
		keys := strings.NewReplacer(startLater, "", endLater, "").Replace(row.keys) // nothing is put right while it runs
		waitFor(row.at)
		if row.until > 0 {
			tab.holdDown(rune(keys[0]), func() {
				tab.press(keys[1:])
				waitFor(row.at + 21) // 0.7 s: held, no tap
			})
		} else {
			tab.press(keys)
		}
		for _, w := range row.want {
			want = append(want, timed{row.at, pressed, w.code})
		}
		pressed += len(keys)
	}
	tab.press(" ")
	eval[bool](tab, "saved()")

	// The first event of a code is the first one wanted of it, and so on.
	stored := p.reading(id)
	left := map[string][]annotate.Event{}
	for _, e := range stored.Events {
		left[e.Code] = append(left[e.Code], e)
		if e.Open && e.Code != "ex-sit" {
			t.Errorf("%s at %d µs was never ended", e.Code, e.Start)
		}
	}
	if len(stored.Events) != len(want) {
		t.Errorf("%d events are coded, want %d", len(stored.Events), len(want))
	}
	arrived := eval[[]float64](tab, "pressedAt")
	var off, late []float64
	last := annotate.Micros(0)
	for _, w := range want {
		if len(left[w.code]) == 0 {
			t.Errorf("%s of frame %d is missing", w.code, w.at)
			continue
		}
		e := left[w.code][0]
		left[w.code] = left[w.code][1:]
		if e.Start < last {
			t.Errorf("%s of frame %d starts at %d µs, before what was pressed before it (%d µs)", w.code, w.at, e.Start, last)
		}
		last = e.Start
		d := float64(e.Start) - arrived[w.key]
		if math.Abs(d) > farOff {
			t.Errorf("%s of frame %d is coded %.0f ms off the film's clock", w.code, w.at, d/1e3)
		}
		off, late = append(off, float64(int64(e.Start)-us(w.at))), append(late, d)
	}
	t.Logf("%d events coded while the film ran; coded start − time of the script: %s", len(off), spread(off))
	t.Logf("of that the page's own, coded start − the film's clock when the key came: %s", spread(late))
}

// spread tells how values in µs are distributed, in ms.
func spread(values []float64) string {
	var sizes []float64
	for _, v := range values {
		sizes = append(sizes, math.Abs(v))
	}
	signed := slices.Sorted(slices.Values(values))
	of := func(list []float64, p float64) float64 { return quantile(list, p).(float64) / 1e3 }
	return fmt.Sprintf("median %+.0f ms (%+.0f to %+.0f); size median %.0f, p90 %.0f, max %.0f ms", of(signed, 0.5), signed[0]/1e3, signed[len(signed)-1]/1e3,
		of(sizes, 0.5), of(sizes, 0.9), slices.Max(sizes)/1e3)
}
