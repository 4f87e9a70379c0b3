package server

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

var day9May = time.Date(2026, 5, 9, 17, 5, 0, 0, time.FixedZone("", 2*60*60))

func TestLength(t *testing.T) {
	for in, want := range map[annotate.Micros]string{
		0: "0:00", 499_999: "0:00", 500_000: "0:01", 59_499_999: "0:59", 59_999_000: "1:00", 60_000_000: "1:00",
		754_000_000: "12:34", 3_599_600_000: "1:00:00", 3_723_000_000: "1:02:03",
	} {
		if got := length(in); got != want {
			t.Errorf("length(%d) = %q, want %q", in, got, want)
		}
	}
}

func TestDates(t *testing.T) {
	if got := day(&day9May) + ", " + clock(&day9May); got != "Sat 9 May 2026, 17:05" {
		t.Errorf("day and clock = %q, want the date in the zone it was recorded in", got)
	}
	if got := day(nil) + clock(nil); got != "no date" {
		t.Errorf("without a date = %q", got)
	}
}

func TestSessionTitles(t *testing.T) {
	at := func(days int) *time.Time { d := day9May.AddDate(0, 0, days); return &d }
	got := sessionTitles([]store.Session{{ID: "b", StartedAt: at(0)}, {ID: "x"}, {ID: "a", StartedAt: at(-7)}, {ID: "c", StartedAt: at(0)}})
	want := map[string]string{"a": "session 1, Sat 2 May 2026", "b": "session 2, Sat 9 May 2026", "c": "session 3, Sat 9 May 2026", "x": "session without a date"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("titles (-want +got)\n%s", diff)
	}
}

func TestTenths(t *testing.T) {
	for in, want := range map[annotate.Micros]string{
		0: "0:00.0", 49_999: "0:00.0", 50_000: "0:00.1", 35_604_000: "0:35.6", 59_949_999: "0:59.9", 59_950_000: "1:00.0",
		60_000_000: "1:00.0", 3_599_950_000: "1:00:00.0", 3_723_500_000: "1:02:03.5",
	} {
		if got := tenths(in); got != want {
			t.Errorf("tenths(%d) = %q, want %q", in, got, want)
		}
	}
}

// Thousands, not 1024, as file managers count.
func TestSizeText(t *testing.T) {
	for in, want := range map[int64]string{
		0: "nothing", 1: "1 kB", 1000: "1 kB", 1001: "2 kB", 999_499: "1000 kB", 999_500: "1 MB", 196_400_000: "196 MB",
		999_499_999: "999 MB", 999_500_000: "1.0 GB", 1_449_999_999: "1.4 GB", 20_000_000_000: "20.0 GB",
	} {
		if got := sizeText(in); got != want {
			t.Errorf("sizeText(%d) = %q, want %q", in, got, want)
		}
	}
	for in, want := range map[float64]string{0: "0 %", 0.999: "99 %", 1: "100 %", 0.5: "50 %"} {
		if got := percentText(in); got != want {
			t.Errorf("percentText(%v) = %q, want %q", in, got, want)
		}
	}
}
