package stat

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// ev and cens are observations from age 0.
func ev(exit int64) Observation   { return Observation{Exit: exit, Event: true} }
func cens(exit int64) Observation { return Observation{Exit: exit} }

// eachAge is one event at each age from first to last.
func eachAge(first, last int64) (obs []Observation) {
	for age := first; age <= last; age++ {
		obs = append(obs, ev(age))
	}
	return obs
}

// ask is one age at which a curve is asked for its value.
type ask struct {
	age    int64
	value  float64
	atRisk int
	ok     bool
}

// Worked by hand; each row says how.
func TestSurvivalByHand(t *testing.T) {
	for _, row := range []struct {
		name   string
		obs    []Observation
		asks   []ask
		median Number
	}{
		{name: "no observations", asks: []ask{{age: 0}, {age: 5}}},
		{
			name:   "all censored: 1 as far as was looked",
			obs:    []Observation{cens(4), cens(6)},
			asks:   []ask{{0, 1, 2, true}, {4, 1, 2, true}, {5, 1, 1, true}, {6, 1, 1, true}, {age: 7}, {age: -1}},
			median: Number{},
		},
		{
			name:   "one event: 0 from there on, also beyond the last observed age",
			obs:    []Observation{ev(5)},
			asks:   []ask{{4, 1, 1, true}, {5, 0, 1, true}, {6, 0, 0, true}, {1000, 0, 0, true}},
			median: Finite(5),
		},
		{
			name:   "event at age 0 among two that enter at 0: 1 − 1/2",
			obs:    []Observation{ev(0), cens(10)},
			asks:   []ask{{0, 0.5, 2, true}, {10, 0.5, 1, true}, {age: 11}},
			median: Finite(5), // ½ from 0 to the last observed age
		},
		{
			name: "all have the event at age 0",
			obs:  []Observation{ev(0), ev(0)},
			asks: []ask{{0, 0, 2, true}, {7, 0, 0, true}}, median: Finite(0),
		},
		{
			// One that enters at 3 is not at risk at 0 nor at 3, but at 4: the event
			// at 3 is among two, 1 − 1/2; the one at 5 among two, ½ · ½.
			name:   "late entry is open on the left",
			obs:    []Observation{ev(3), cens(8), {Entry: 3, Exit: 5, Event: true}},
			asks:   []ask{{0, 1, 2, true}, {2, 1, 2, true}, {3, 0.5, 2, true}, {4, 0.5, 2, true}, {5, 0.25, 2, true}, {8, 0.25, 1, true}, {age: 9}},
			median: Finite(4), // exactly ½ from 3 until the next event at 5
		},
		{
			name:   "nobody at risk before the first entry",
			obs:    []Observation{{Entry: 5, Exit: 9, Event: true}, {Entry: 7, Exit: 12}},
			asks:   []ask{{age: 0}, {age: 5}, {6, 1, 1, true}, {9, 0.5, 2, true}, {12, 0.5, 1, true}, {age: 13}},
			median: Finite(10.5), // ½ from 9 to the last observed age 12
		},
		{
			// One subject seen in two parts counts once at each age, and nobody is
			// at risk from 11 to 20: the curve stays.
			name:   "a gap in being at risk",
			obs:    []Observation{{Entry: 0, Exit: 10}, {Entry: 20, Exit: 30, Event: true}},
			asks:   []ask{{10, 1, 1, true}, {15, 1, 0, true}, {20, 1, 0, true}, {21, 1, 1, true}, {30, 0, 1, true}, {31, 0, 0, true}},
			median: Finite(30),
		},
		{
			// At 2 only the first is at risk: 0 from there on, whoever enters later.
			name:   "0 early stays 0",
			obs:    []Observation{ev(2), {Entry: 4, Exit: 9, Event: true}, {Entry: 4, Exit: 12}},
			asks:   []ask{{2, 0, 1, true}, {6, 0, 2, true}, {9, 0, 2, true}, {12, 0, 1, true}, {13, 0, 0, true}},
			median: Finite(2),
		},
		{
			name:   "event before censoring at one age: 1 − 1/2",
			obs:    []Observation{cens(4), ev(4)},
			asks:   []ask{{4, 0.5, 2, true}, {age: 5}},
			median: Finite(4), // ½ is reached at the last observed age
		},
		{
			name:   "exactly ½ at the end: midpoint to the last observed age",
			obs:    []Observation{ev(2), cens(8)},
			asks:   []ask{{8, 0.5, 1, true}, {age: 9}},
			median: Finite(5),
		},
		{
			// 23/24 · 22/23 · … · 12/13 is ½; in floats 0.5000000000000001.
			name:   "½ missed upward by rounding is ½",
			obs:    append(eachAge(1, 12), eachAge(20, 31)...),
			asks:   []ask{{12, 0.5, 13, true}},
			median: Finite(16),
		},
		{
			// 11/12 · 10/11 · … · 6/7 is ½; in floats 0.4999999999999999.
			name:   "½ missed downward by rounding is ½",
			obs:    append(eachAge(1, 6), eachAge(20, 25)...),
			asks:   []ask{{6, 0.5, 7, true}},
			median: Finite(13),
		},
		{
			name:   "stays above ½: not reached",
			obs:    []Observation{ev(1), cens(5), cens(5)},
			asks:   []ask{{5, 2. / 3, 2, true}},
			median: Number{},
		},
		{
			name:   "one that was never at risk changes nothing",
			obs:    []Observation{ev(2), cens(4), {Entry: 9, Exit: 9}},
			asks:   []ask{{4, 0.5, 1, true}, {age: 9}},
			median: Finite(3),
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			before := slices.Clone(row.obs)
			c, err := Survival(row.obs, Conf95)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range row.asks {
				p, ok := c.At(want.age)
				got := ask{want.age, p.Value, p.AtRisk, ok}
				if math.Abs(got.value-want.value) > 1e-12 || got.atRisk != want.atRisk || got.ok != want.ok {
					t.Errorf("At(%d) = %+v, want %+v", want.age, got, want)
				}
			}
			if got := c.Median(); got != row.median {
				t.Errorf("Median() = %v, want %v", got, row.median)
			}
			if diff := cmp.Diff(before, row.obs); diff != "" {
				t.Errorf("the caller's slice was changed:\n%s", diff)
			}
		})
	}
}

// Before the first event the SE is 0 and there is no interval; where the curve
// is 0 both are missing.
func TestSurvivalIntervalMissing(t *testing.T) {
	c, err := Survival([]Observation{ev(3), ev(6)}, Conf95)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		age          int64
		se, interval bool
	}{{2, true, false}, {3, true, true}, {6, false, false}} {
		p, ok := c.At(row.age)
		if !ok || p.SE.Defined() != row.se {
			t.Errorf("At(%d).SE = %v, %v, want defined %v", row.age, p.SE, ok, row.se)
		}
		for name, b := range map[string]Bounds{"LogLog": p.LogLog, "Plain": p.Plain, "Log": p.Log} {
			if b.Low.Defined() != row.interval || b.High.Defined() != row.interval {
				t.Errorf("At(%d).%s = %v, want defined %v", row.age, name, b, row.interval)
			}
		}
	}
	if p, _ := c.At(2); p.SE != Finite(0) {
		t.Errorf("SE before the first event = %v, want 0", p.SE)
	}
}

func TestSurvivalSenseless(t *testing.T) {
	for _, row := range []struct {
		name string
		obs  Observation
		conf float64
	}{
		{"negative entry", Observation{Entry: -1, Exit: 2}, Conf95},
		{"negative exit", Observation{Exit: -2}, Conf95},
		{"exit before entry", Observation{Entry: 5, Exit: 4}, Conf95},
		{"event without time at risk", Observation{Entry: 5, Exit: 5, Event: true}, Conf95},
		{"certainty", Observation{Exit: 5}, 1},
	} {
		if c, err := Survival([]Observation{ev(1), row.obs}, row.conf); c != nil || !errors.Is(err, ErrInput) {
			t.Errorf("%s: Survival = %v, %v, want bad input", row.name, c, err)
		}
	}
}

// A curve falls and never leaves [0, 1]; its limits enclose it; at risk is what
// counting one by one says; order does not matter, and nothing is NaN.
func TestSurvivalProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := make([]Observation, rapid.IntRange(0, 30).Draw(t, "n"))
		for i := range obs {
			entry := rapid.Int64Range(0, 12).Draw(t, "entry")
			exit := entry + rapid.Int64Range(0, 12).Draw(t, "length")
			obs[i] = Observation{Entry: entry, Exit: exit, Event: rapid.Bool().Draw(t, "event") && (exit > entry || entry == 0)}
		}
		c, err := Survival(obs, Conf95)
		if err != nil {
			t.Fatal(err)
		}
		value := 1.0 // by the definition, age by age
		for age := int64(0); age < 30; age++ {
			risk, events := 0, 0
			for _, o := range obs {
				if o.Entry < age && age <= o.Exit || age == 0 && o.Entry == 0 {
					risk++
				}
				if o.Event && o.Exit == age {
					events++
				}
			}
			if events > 0 {
				value *= 1 - float64(events)/float64(risk)
			}
			p, ok := c.At(age)
			if !ok {
				if risk > 0 {
					t.Fatalf("At(%d) is undefined with %d at risk", age, risk)
				}
				continue
			}
			if p.AtRisk != risk || math.Abs(p.Value-value) > 1e-12 {
				t.Fatalf("At(%d) = %v of %d at risk, want %v of %d", age, p.Value, p.AtRisk, value, risk)
			}
			for _, b := range []Bounds{p.LogLog, p.Plain, p.Log} {
				low, okLow := b.Low.Float()
				high, okHigh := b.High.Float()
				if okLow != okHigh || okLow && !(0 <= low && low <= p.Value && p.Value <= high && high <= 1) {
					t.Fatalf("At(%d) = %+v: limits do not enclose the value", age, p)
				}
			}
		}
		reversed := slices.Clone(obs)
		slices.Reverse(reversed)
		if d, err := Survival(reversed, Conf95); err != nil || d.Median() != c.Median() || d.N != c.N {
			t.Fatalf("reversed observations: median %v of %d, %v, want %v of %d", d.Median(), d.N, err, c.Median(), c.N)
		}
	})
}
