package demo

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/demo/coder"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/exchange"
)

// slack is how far a reader's slips may take numbers from the log's.
type slack struct {
	seconds map[string]float64 // by code, of time that events of it fill
	events  map[string]int     // by code, missed or taken for or from another
	kinds   map[string]int     // by code, given another kind
	trials  []float64          // by trial, how much of its latency is the reader's
}

// allowance adds up a coding's slips.
func allowance(t *testing.T, truth []annotate.Event, slips []coder.Slip) slack {
	t.Helper()
	s := slack{map[string]float64{}, map[string]int{}, map[string]int{}, nil}
	of := map[string]coder.Slip{}
	for _, slip := range slips {
		of[slip.Truth] = slip
	}
	for _, e := range truth {
		slip, ok := of[e.ID]
		switch length := (e.End - e.Start).Seconds(); {
		case !ok:
			t.Fatalf("no slip says how %s, %s was coded", e.ID, e.Code)
		case slip.Missed:
			s.events[e.Code]++
			s.seconds[e.Code] += length
		default:
			off := max(slip.Start, -slip.Start).Seconds() + max(slip.End, -slip.End).Seconds()
			s.seconds[e.Code] += off
			if slip.Kind != "" {
				s.kinds[e.Code]++
			}
			if slip.Code != "" {
				for _, code := range []string{e.Code, slip.Code} {
					s.events[code]++
					s.seconds[code] += length + off
				}
			}
		}
	}
	for _, trial := range outing.Count(truth, 0).Trials {
		off := annotate.Micros(0)
		for _, e := range truth { // its cue, and the did that closed it
			if e.Start == trial.At && (e.Code == trial.Command || e.Code == "halt") {
				off -= of[e.ID].Start
			}
			if e.Code == "did" && trial.Did && math.Abs((e.Start-trial.At).Seconds()-trial.Latency) < 1e-5 {
				off += of[e.ID].Start
			}
		}
		s.trials = append(s.trials, off.Seconds())
	}
	return s
}

func (s *slack) add(o slack) {
	for code, v := range o.seconds {
		s.seconds[code] += v
	}
	for code, v := range o.events {
		s.events[code] += v
	}
	for code, v := range o.kinds {
		s.kinds[code] += v
	}
	s.trials = slices.Concat(s.trials, o.trials)
}

var (
	errors3   = []string{"ahead", "behind", "wide", "crowding"}
	stayCodes = []string{"ex-sit", "ex-down", "ex-place"}
)

// sum adds up what a map has for some codes.
func sum[N int | float64](m map[string]N, codes ...string) (total N) {
	for _, code := range codes {
		total += m[code]
	}
	return total
}

// compare holds measures against the log.
func compare(t *testing.T, name string, log outing.Tally, s slack, m *measure.Measures) {
	t.Helper()
	// The log counts in ticks, of which it writes the µs.
	seconds := func(what string, got, want, slack float64) {
		t.Helper()
		if math.Abs(got-want) > slack+1e-4 {
			t.Errorf("%s: %s is %.4f s, by the log %.4f s, and slips explain %.4f s", name, what, got, want, slack)
		}
	}
	count := func(what string, got, want, slack int) {
		t.Helper()
		if got < want-slack || got > want+slack {
			t.Errorf("%s: %s is %d, by the log %d, and slips explain %d", name, what, got, want, slack)
		}
	}
	heel := s.seconds["ex-heel"]
	seconds("heel work", m.Heel.HeelS, log.Heel, heel)
	seconds("out of position", m.Heel.ErrorS, log.Out, heel+sum(s.seconds, errors3...))
	for _, kind := range errors3 {
		slack := s.seconds[kind]
		if log.OutBy[kind] > 0 || slack > 0 {
			slack += heel
		}
		seconds(kind, m.Heel.ByKindS[kind], log.OutBy[kind], slack)
	}
	seconds("off-task", *m.Heel.OffTaskS, log.OffTask, heel+s.seconds["off-task"])
	count("turns", m.Heel.TurnsKept.N+*m.Heel.TurnsOut+*m.Heel.TurnsUnknown, log.Turns, 0)

	held, breaks, how := 0, 0, map[string]int{}
	for _, stay := range log.Stays {
		if len(stay.Breaks) == 0 {
			held++
		}
		for _, k := range stay.Breaks {
			breaks++
			how[k]++
		}
	}
	count("stays", m.Stays.Stays, len(log.Stays), 0)
	count("stays held", m.Stays.StaysHeld.K, held, 0)
	count("stays judged", m.Stays.StaysHeld.N, len(log.Stays), 0)
	count("breaks", m.Stays.Breaks, breaks, 0)
	if diff := cmp.Diff(how, m.Stays.BreaksByKind); diff != "" {
		t.Errorf("%s: breaks by kind (-log +measured):\n%s", name, diff)
	}
	staying := sum(s.seconds, stayCodes...) + s.seconds["broke"]
	seconds("stays", m.Stays.StayS, log.StayS, staying)
	d := m.Stays.UnderDistraction
	seconds("stays under distraction", 60*d.With.Minutes, log.DistractS, staying+s.seconds["distraction"])

	if len(m.Cues.Trials) != len(log.Trials) {
		t.Fatalf("%s: %d trials, by the log %d", name, len(m.Cues.Trials), len(log.Trials))
	}
	for i, want := range log.Trials {
		got, off := m.Cues.Trials[i], s.trials[i]
		what := fmt.Sprintf("trial %d, %s at %d µs", i+1, want.Command, want.At)
		if got.Command != want.Command || got.FirstAnswer != want.First || got.Repeats != want.Repeats || (got.LatencyS != nil) != want.Did {
			t.Errorf("%s: %s is %+v, by the log %+v", name, what, got, want)
			continue
		}
		if want.Did { // the reader's part of it is known to the µs
			seconds("latency of "+what, *got.LatencyS, want.Latency+off, 0)
		}
		if string(*got.Grade) != want.Grade && want.Close > math.Abs(off) {
			t.Errorf("%s: %s is %s, by the log %s", name, what, *got.Grade, want.Grade)
		}
	}

	if diff := cmp.Diff(log.Pressure, m.Pressure.ByChannel); diff != "" {
		t.Errorf("%s: pressure by channel (-log +measured):\n%s", name, diff)
	}
	for channel, on := range log.On {
		seconds(channel+" held", m.Pressure.OnS[channel], on, s.seconds[channel])
	}
	for device, levels := range log.Levels {
		got := m.Pressure.Levels["stim@"+device]
		if got.N != len(levels) || got.Min != slices.Min(levels) || got.Max != slices.Max(levels) {
			t.Errorf("%s: levels of the %s are %+v, by the log %v", name, device, got, levels)
		}
	}
	if len(log.Levels) != len(m.Pressure.Levels) {
		t.Errorf("%s: levels %v, by the log %v", name, m.Pressure.Levels, log.Levels)
	}
	exercises := sum(s.seconds, append([]string{"ex-heel", "ex-recall"}, stayCodes...)...)
	seconds("work", *m.Pressure.WorkS, log.Work, exercises)
	count("rewards", m.Rewards.Rewards, log.Rewards-sum(s.events, "marker", "praise", "paid"), 0)
	if diff := cmp.Diff(log.Stress, m.Stress.ByKind); diff != "" {
		t.Errorf("%s: stress signs (-log +measured):\n%s", name, diff)
	}
}

// perfect is the truth as a reading without slips.
func perfect(s Story, c outing.Clip, truth []annotate.Event) *annotate.Reading {
	end := annotate.Micros(0)
	for _, e := range truth {
		end = max(end, e.End)
	}
	return &annotate.Reading{
		ID: s.Name, Clip: annotate.Clip{File: s.File, Duration: end}, Dog: annotate.Dog{Name: c.Dog}, Reader: "nobody", Window: annotate.Span{End: end},
		Side: outing.Side(c.Dog), Finished: true, Book: exchange.DefaultBook(), Events: truth,
	}
}

// Of the log itself the measures say, to the tick, what counting it says.
func TestMeasuresOfTheLog(t *testing.T) {
	for i, c := range outing.Clips() {
		s := Stories()[i]
		truth := events(t, s.Truth)
		r := perfect(s, c, truth)
		m, err := measure.Of([]*annotate.Reading{r})
		if err != nil {
			t.Fatal(err)
		}
		log := outing.Count(truth, r.Window.End)
		none := slack{map[string]float64{}, map[string]int{}, map[string]int{}, make([]float64, len(log.Trials))}
		compare(t, s.Name, log, none, m)
	}
}

// What the library has stored and measures equals the log of what happened, as
// far as the readers' own slips, which are logged too, don't explain it: for each
// reading, each session, and each point of the charts.
func TestMeasuresOfTheLibrary(t *testing.T) {
	without(t)
	lib := build(t, t.TempDir())
	ctx := context.Background()
	readings := 0
	for _, o := range sessionsOf(t, lib) {
		total, allowed, all := outing.Tally{}, slack{map[string]float64{}, map[string]int{}, map[string]int{}, nil}, []*annotate.Reading{}
		for k, clip := range o.Clips {
			s := o.stories[k]
			truth := events(t, s.Truth)
			list, err := lib.Readings(ctx, clip.ID)
			if err != nil {
				t.Fatal(err)
			}
			if len(list) != len(s.Codings) {
				t.Fatalf("%s has %d readings, want %d", s.Name, len(list), len(s.Codings))
			}
			log := outing.Count(truth, clip.Footage.Duration)
			for n, coding := range s.Codings {
				if !coding.Finished {
					continue
				}
				r, err := lib.Reading(ctx, list[n].ID)
				if err != nil {
					t.Fatal(err)
				}
				m, err := measure.Of([]*annotate.Reading{r})
				if err != nil {
					t.Fatal(err)
				}
				compare(t, s.Name+" by "+coding.Reader, log, allowance(t, truth, coding.Slips), m)
				readings++
			}
			if o.Readings[k] != nil {
				total.Add(log)
				allowed.add(allowance(t, truth, s.Codings[0].Slips))
				all = append(all, o.Readings[k])
			}
		}
		m, err := measure.Of(all)
		if err != nil {
			t.Fatal(err)
		}
		compare(t, fmt.Sprintf("session of %s", o.Session.StartedAt), total, allowed, m)
		o.points(t, total, allowed, all)
	}
	if readings != 10 {
		t.Errorf("%d readings were compared, want 10", readings)
	}
}
