package measure_test

import (
	"fmt"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// busy returns a reading of n events, as a clip of about 2 n seconds would have:
// heel work with errors and pressure, stays with breaks, cues with answers.
func busy(t testing.TB, n int) *annotate.Reading {
	events := make([]annotate.Event, 0, n)
	for base := 0.0; len(events) < n; base += 40 {
		events = append(events,
			ev("ex-heel", base, base+20), at("heel", base+0.5), ev("ahead", base+2, base+4, annotate.Details{}), at("voice", base+2.5), at("stim", base+3, level(float64(int(base)%7))),
			ev("off-task", base+6, base+8), at("heel", base+7), at("turn", base+9, kind("left")), ev("wide", base+10, base+11), ev("hidden", base+14, base+15),
			at("down", base+17), at("heard", base+17.5), at("did", base+18.5), at("marker", base+19),
			ev("ex-down", base+20, base+38), ev("broke", base+25, base+28), at("tone", base+26), ev("distraction", base+22, base+30), at("stress", base+27, kind("yawn")), at("release", base+38))
	}
	r := sketch{events: events[:n]}.reading(t, "x")
	r.Clip.Duration = annotate.FromSeconds(float64(n)*2 + 100)
	r.Window = annotate.Span{End: r.Clip.Duration}
	return r
}

// BenchmarkOf measures readings that are known to be valid, as those on the desk
// are, and, once, one that is checked first.
func BenchmarkOf(b *testing.B) {
	run := func(n int, name string, opts ...measure.Option) {
		readings := []*annotate.Reading{busy(b, n)}
		b.Run(fmt.Sprintf("events=%d%s", n, name), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := measure.Of(readings, opts...); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for _, n := range []int{100, 1000, 5000, 10000} {
		run(n, "", measure.KnownValid())
	}
	run(5000, "/checked")
}

// BenchmarkOfCrowded measures readings in which everything happens at once, which
// is where nested loops would show.
func BenchmarkOfCrowded(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		events := []annotate.Event{ev("ex-down", 0, 900)}
		for i := 1; i < n; i++ {
			from := float64(i) * 0.01
			switch i % 4 {
			case 0:
				events = append(events, ev("broke", from, 899))
			case 1:
				events = append(events, ev("guide", from, 899))
			case 2:
				events = append(events, at("sit", from))
			case 3:
				events = append(events, at("did", from))
			}
		}
		readings := []*annotate.Reading{sketch{events: events}.reading(b, "x")}
		b.Run(fmt.Sprintf("events=%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := measure.Of(readings, measure.KnownValid()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
