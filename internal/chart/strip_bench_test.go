package chart

import (
	"strconv"
	"testing"

	"afterwalk/annotate"
)

// A long clip with more events than anybody codes.
func BenchmarkStrip(b *testing.B) {
	var events []annotate.Event
	for s := 0.0; s < 1200; s += 1.2 {
		events = append(events, during("behind", s, s+0.4), atTime("sit", s+0.5), atTime("did", s+0.9), atTime("tone", s+0.3), atTime("praise", s+1))
	}
	r := coding(1200, append(events, during("ex-heel", 0, 1200))...)
	for i := range r.Events {
		r.Events[i].ID = "e" + strconv.Itoa(i)
	}
	s := measured(b, Strip{Reading: r, ID: "a", Href: "/desk/r1"})
	b.ReportAllocs()
	for b.Loop() {
		var n counting
		if err := StripSVG(&n, s); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(n), "bytes")
	}
}

type counting int

func (c *counting) Write(p []byte) (int, error) { *c += counting(len(p)); return len(p), nil }
