package coder

import (
	"fmt"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/exchange"
)

func evenFrames(n int) (frames []annotate.Micros, end annotate.Micros) {
	for k := range n + 1 {
		frames = append(frames, annotate.Micros(int64(k)*1e6/outing.Rate))
	}
	return frames[:n], frames[n]
}

// Whatever the reader's day, the coding is a valid reading, and each event is
// near its truth or logged as missed.
func TestCode(t *testing.T) {
	for _, o := range outing.Clips() {
		run := outing.Play(o)
		frames, end := evenFrames(len(run.Frames))
		for seed := range uint64(30) {
			t.Run(fmt.Sprint(o.Name, seed), func(t *testing.T) {
				reader := Quill
				reader.seed = seed
				coded, slips := reader.Code(o.Name, run.Truth, frames, end)
				reading := annotate.Reading{ID: "r", Clip: annotate.Clip{File: "x.mp4", Duration: end}, Dog: annotate.Dog{Name: o.Dog},
					Window: annotate.Span{Start: 0, End: end}, Book: exchange.DefaultBook(), Events: coded}
				if problems := reading.Validate(); problems != nil {
					t.Fatal(problems)
				}
				byID := map[string]annotate.Event{}
				for _, c := range coded {
					byID[c.ID] = c
				}
				if len(slips) != len(run.Truth) {
					t.Fatalf("%d slips for %d true events", len(slips), len(run.Truth))
				}
				for i, s := range slips {
					e := run.Truth[i]
					if s.Missed {
						if e.Code != "heard" && e.Code != "praise" && e.End-e.Start >= annotate.Second/2 {
							t.Errorf("%s at %d µs is missed", e.Code, e.Start)
						}
						continue
					}
					c, ok := byID[s.Coded]
					if s.Code != "" {
						e.Code = s.Code
					}
					if s.Kind != "" {
						e.Details.Kind = s.Kind
					}
					if !ok || c.Code != e.Code || c.Details.Kind != e.Details.Kind || c.Start-e.Start != s.Start || c.End-e.End != s.End {
						t.Errorf("slip %+v is not the difference of %+v and %+v", s, c, e)
					}
					if max(s.Start, s.End, -s.Start, -s.End) > Most {
						t.Errorf("%s at %d µs is off by %d and %d µs", e.Code, e.Start, s.Start, s.End)
					}
				}
			})
		}
	}
}
