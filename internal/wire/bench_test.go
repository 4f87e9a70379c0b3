package wire

import (
	"encoding/json"
	"fmt"
	"testing"

	"afterwalk/annotate"
)

// BenchmarkReading measures writing and reading a reading of 5,000 events, which
// opening the desk waits for.
func BenchmarkReading(b *testing.B) {
	r := &annotate.Reading{Book: new(annotate.Codebook)}
	for i := range 5000 {
		at := annotate.Micros(i) * annotate.Second
		r.Events = append(r.Events, annotate.Event{
			ID: fmt.Sprintf("0190b5a0-0000-7000-8000-%012d", i), Code: "stim", Start: at, End: at, Rev: int64(i),
			Details: annotate.Details{Device: "left hand", Level: new(12.5)},
		})
	}
	text, err := json.Marshal(FromReading(r))
	if err != nil {
		b.Fatal(err)
	}
	b.Run("write", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		for b.Loop() {
			if _, err := json.Marshal(FromReading(r)); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		for b.Loop() {
			var w Reading
			if err := json.Unmarshal(text, &w); err != nil {
				b.Fatal(err)
			}
		}
	})
}
