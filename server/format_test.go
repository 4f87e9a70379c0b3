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
