package measure_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// outing is a session with one reading, on a day of March 2026 (0: no date).
func outing(t *testing.T, id string, day int, events ...annotate.Event) measure.Session {
	t.Helper()
	r := sketch{events: events}.reading(t, id)
	r.Venue, r.Handler = "Mill Meadow", "I. Varga"
	if day > 0 {
		r.Clip.RecordedAt = new(time.Date(2026, 3, day, 9, 0, 0, 0, time.UTC))
	}
	return measure.Session{ID: id, Readings: []*annotate.Reading{r, nil}}
}

// line writes a series in short: session, day, value, text and marks.
func line(s measure.SeriesResult) string {
	var words []string
	for _, p := range s.Points {
		w := p.Session + p.At.Format("@2")
		if p.Value != nil {
			w += "=" + p.Text
		}
		if p.DeviceChanged {
			w += "|"
		}
		if p.Picked {
			w += "*"
		}
		words = append(words, w)
	}
	return strings.Join(words, ", ")
}

func TestSeries(t *testing.T) {
	heel := ev("ex-heel", 0, 80)
	a := outing(t, "a", 14, heel, ev("ahead", 10, 20)) // 10 of 80
	b := outing(t, "b", 7, ev("ex-down", 0, 60), at("broke", 30))
	c := outing(t, "c", 0, heel)
	d := outing(t, "d", 21, heel, ev("ahead", 0, 80))
	d.Readings[0].Chosen = "picked"
	all := []measure.Session{a, b, c, d}

	got := measure.Series(measure.PositionError, all)
	if want := "b@7, a@14=12.5 %, d@21=100.0 %*"; line(got) != want || got.Undated != 1 || got.Problem != "" {
		t.Errorf("position error: %s, %d undated; want %s, 1", line(got), got.Undated, want)
	}
	if p := got.Points[1]; *p.Value != 0.125 || p.Low != nil || p.High != nil || p.Setting.Venue != "Mill Meadow" || p.Setting.Handler != "I. Varga" {
		t.Errorf("position error of a = %+v, want 0.125 without an interval", p)
	}

	got = measure.Series(measure.BreaksPerMinute, all)
	if want := "b@7=1.00 per min, a@14, d@21*"; line(got) != want {
		t.Errorf("breaks per minute: %s, want %s", line(got), want)
	}
	// Garwood's limits of 1 event: 0.0253 and 5.5716 (Garwood 1936, common table).
	if p := got.Points[0]; *p.Value != 1 || !near(*p.Low, 0.0253) || !near(*p.High, 5.5716) {
		t.Errorf("breaks per minute of b = %v in [%v, %v]", *p.Value, *p.Low, *p.High)
	}

	if got := measure.Series("level", all); got.Problem == "" || got.Points != nil {
		t.Errorf("no such series: %+v", got)
	}
	// A date known to the library goes before the clips' own.
	c.StartedAt = new(time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC))
	if got := measure.Series(measure.PositionError, []measure.Session{c, {ID: "e"}}); line(got) != "c@1=0.0 %" || got.Undated != 1 {
		t.Errorf("with a date from outside: %s, %d undated", line(got), got.Undated)
	}
}

func near(got, want float64) bool { return got > want-5e-5 && got < want+5e-5 }

// The line of levels breaks where the device on a channel is another one.
func TestSeriesDevice(t *testing.T) {
	got := measure.Series(measure.EscalationRank, []measure.Session{
		outing(t, "a", 1, at("stim", 1, device("A", 5)), at("tone", 2)),
		outing(t, "b", 2, at("tone", 1, level(3))),
		outing(t, "c", 3, at("stim", 1, device("A", 4))),
		outing(t, "d", 4, at("stim", 1)), // no level: nothing to compare
		outing(t, "e", 5, at("stim", 1, device("B", 4)), at("stim", 2, device("A", 1))),
		outing(t, "f", 6),
		outing(t, "g", 7, at("stim", 1, level(2))),
	})
	want := "a@1=stim@A 5, b@2=tone 3, c@3=stim@A 4, d@4=, e@5=stim@B 4|, f@6, g@7=stim 2|"
	if line(got) != want {
		t.Errorf("escalation: %s\nwant        %s", line(got), want)
	}
	if *got.Points[3].Value != 6 || *got.Points[1].Value != 3 {
		t.Errorf("ranks %v and %v, want 6 and 3", *got.Points[3].Value, *got.Points[1].Value)
	}
}

// A session is pooled; one that can't be is a gap that says why.
func TestSeriesPooled(t *testing.T) {
	a, b := outing(t, "a", 2, ev("ex-heel", 0, 30), ev("ahead", 0, 6)), outing(t, "b", 1, ev("ex-heel", 0, 10), ev("ahead", 0, 6))
	both := measure.Session{ID: "both", Venue: "Alder Lane", Readings: []*annotate.Reading{a.Readings[0], b.Readings[0]}}
	got := measure.Series(measure.PositionError, []measure.Session{both})
	if line(got) != "both@1=30.0 %" || got.Points[0].Setting.Venue != "Alder Lane" {
		t.Errorf("pooled: %s at %s, want 30 %% at Alder Lane, on the earlier day", line(got), got.Points[0].Setting.Venue)
	}
	b.Readings[0].Book.HelpRank = 1
	got = measure.Series(measure.PositionError, []measure.Session{both})
	if line(got) != "both@1" || !strings.Contains(got.Points[0].Problem, "help_ranks") {
		t.Errorf("not to be pooled: %s, %q", line(got), got.Points[0].Problem)
	}
}

func TestSetting(t *testing.T) {
	s := outing(t, "a", 1,
		ev("ex-down", 0, 30, annotate.Details{PlannedS: new(30.0), HandlerM: new(5.0)}), ev("ex-down", 40, 60, annotate.Details{PlannedS: new(10.0)}), ev("ex-heel", 60, 80),
		ev("distraction", 0, 5, annotate.Details{Kind: "dog", DistanceM: new(8.0)}), ev("distraction", 5, 9, annotate.Details{Kind: "dog", DistanceM: new(2.5)}),
		ev("distraction", 10, 12, kind("dog")), ev("distraction", 12, 13, kind("bicycle")), ev("distraction", 14, 15))
	got := measure.Series(measure.PositionError, []measure.Session{s}).Points[0].Setting.Words()
	want := []string{"Mill Meadow", "I. Varga", "bicycle, distraction, dog 2.5 m", "planned 10, 30 s", "handler at 5 m"}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("setting (-want +got)\n%s", d)
	}
}
