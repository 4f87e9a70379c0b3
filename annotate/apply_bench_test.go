package annotate

import (
	"fmt"
	"runtime"
	"testing"
)

// longReading returns a reading of n events, as a clip of 4 n seconds would have.
func longReading(n int) *Reading {
	r := testReading()
	r.Clip.Duration = Micros(n) * 4 * Second
	r.Window.End = r.Clip.Duration
	for i := range n {
		at := Micros(i) * 4 * Second
		e := Event{ID: fmt.Sprintf("0190b5a0-0000-7000-8000-%012d", i), Start: at, End: at, Rev: 1}
		switch i % 4 {
		case 0:
			e.Code, e.End = "ahead", at+Second
		case 1:
			e.Code, e.End = "ex-heel", at+3*Second
		case 2:
			e.Code = "down"
		case 3:
			e.Code, e.Details.Level = "stim", new(12.0)
		}
		r.Events = append(r.Events, e)
	}
	r.Revision = 1
	return r
}

// BenchmarkApply measures an edit of one event. Most of it is copying the events,
// and then the garbage collector, which runs as often as the heap is small; so the
// benchmark holds as much memory as a server at work.
func BenchmarkApply(b *testing.B) {
	held := make([]byte, 64<<20)
	defer runtime.KeepAlive(held)
	for _, n := range []int{100, 1000, 5000} {
		b.Run(fmt.Sprintf("events=%d", n), func(b *testing.B) {
			r := longReading(n)
			e := r.Events[n/2/4*4]
			e.End += Second
			edit := Edit{ID: "edit", Put: []Put{{Event: e, Was: 1}}, Reach: new(e.End)}
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := r.Apply(edit); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkReplay(b *testing.B) {
	first := longReading(0)
	first.Revision, first.Events = 0, nil
	first.Clip.Duration = 1000 * 4 * Second
	r, rows := first, []Applied(nil)
	for i, e := range longReading(1000).Events {
		next, row, err := r.Apply(Edit{ID: fmt.Sprint(i), Put: []Put{{Event: e}}})
		if err != nil {
			b.Fatal(err)
		}
		r, rows = next, append(rows, row)
	}
	for b.Loop() {
		if _, err := first.Replay(rows...); err != nil {
			b.Fatal(err)
		}
	}
}
