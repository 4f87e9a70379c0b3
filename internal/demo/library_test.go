package demo

import (
	"math"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/library"
)

// held is an outing as the library holds it.
type held struct {
	outing.Outing
	library.Counted
	Clips   []clipOf
	stories []Story
}

type clipOf = struct {
	ID      string
	Footage struct{ Duration annotate.Micros }
}

// sessionsOf returns the sessions of the library in the order of the outings.
func sessionsOf(t *testing.T, lib *library.Library) []held {
	t.Helper()
	dogs, err := lib.Dogs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	of := map[string][]library.Counted{}
	for _, dog := range dogs {
		if of[dog.Name], err = lib.Counting(t.Context(), dog.ID); err != nil {
			t.Fatal(err)
		}
	}
	var list []held
	k := 0
	for _, o := range outing.Outings() {
		if len(of[o.Dog]) == 0 {
			t.Fatalf("%s has too few sessions", o.Dog)
		}
		h := held{Outing: o, Counted: of[o.Dog][0]}
		of[o.Dog] = of[o.Dog][1:]
		if len(h.Counted.Clips) != len(o.Clips) {
			t.Fatalf("the session of %s at %s has %d clips, want %d", o.Dog, o.Venue, len(h.Counted.Clips), len(o.Clips))
		}
		for _, c := range h.Counted.Clips {
			clip := clipOf{ID: c.ID}
			clip.Footage.Duration = c.Footage.Duration
			h.Clips = append(h.Clips, clip)
			h.stories = append(h.stories, Stories()[k])
			k++
		}
		list = append(list, h)
	}
	for name, rest := range of {
		if len(rest) > 0 {
			t.Fatalf("%s has %d sessions too many", name, len(rest))
		}
	}
	return list
}

// points holds the session's points in the charts against the log.
func (h held) points(t *testing.T, log outing.Tally, s slack, readings []*annotate.Reading) {
	t.Helper()
	session := []measure.Session{{ID: h.Session.ID, StartedAt: h.Session.StartedAt, Venue: h.Session.Venue, Handler: h.Session.Handler, Readings: readings}}
	value := func(series string) measure.SeriesPoint {
		t.Helper()
		r := measure.Series(series, session)
		if r.Problem != "" || len(r.Points) != 1 {
			t.Fatalf("%s: %+v", series, r)
		}
		return r.Points[0]
	}
	// A share a/b with a off by at most da and b by at most db lies between
	// (a-da)/(b+db) and (a+da)/(b-db).
	between := func(series string, a, da, b, db float64) {
		t.Helper()
		p := value(series)
		if b == 0 {
			if p.Value != nil {
				t.Errorf("%s at %s is %v, and the log has nothing to divide by", series, p.At, *p.Value)
			}
			return
		}
		if p.Value == nil || *p.Value < (a-da)/(b+db)-1e-5 || *p.Value > (a+da)/(b-db)+1e-5 {
			t.Errorf("%s at %s is %v, by the log %.4f of %.4f, and slips explain %.4f and %.4f", series, p.At, p.Value, a, b, da, db)
		}
	}
	heel := s.seconds["ex-heel"]
	between(measure.PositionError, log.Out, heel+sum(s.seconds, errors3...), log.Heel, heel)
	breaks := 0
	for _, stay := range log.Stays {
		breaks += len(stay.Breaks)
	}
	between(measure.BreaksPerMinute, float64(breaks), 0, log.StayS/60, (sum(s.seconds, stayCodes...)+s.seconds["broke"])/60)

	// The ranks of the default book.
	ranks := map[string]float64{"body": 1, "voice": 2, "leash-guide": 2, "tone": 3, "leash": 5, "stim": 6}
	worst, level := 0.0, math.Inf(-1)
	for channel := range log.Pressure {
		worst = max(worst, ranks[channel])
	}
	for _, levels := range log.Levels {
		for _, l := range levels {
			level = max(level, l)
		}
	}
	p := value(measure.EscalationRank)
	if p.Value == nil || *p.Value != worst {
		t.Errorf("the highest rank at %s is %v, by the log %v", p.At, p.Value, worst)
	}
	if want := map[bool]string{true: "stim@" + outing.GreyCollar}[level >= 0]; p.Scale != want {
		t.Errorf("the scale at %s is %q, want %q", p.At, p.Scale, want)
	}
}
