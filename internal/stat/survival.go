package stat

import (
	"math"
	"slices"
	"sort"
)

// Observation is one subject, or one part of one, followed from the age Entry
// (late where it was not under observation before) to the age Exit, at which
// the event came or observation ended without it (censored).
//
// Ages are whole numbers of the caller's smallest unit, say microseconds, since
// who is at risk depends on ages being equal: seconds as floats that are equal
// on paper (0.1+0.2 and 0.3) would fall into two steps, and an event and a
// censoring at one age would no longer tie.
//
// It is at risk at the ages t with Entry < t ≤ Exit, and at age 0 if it entered
// at 0. An event may come at age 0.
type Observation struct {
	Entry, Exit int64
	Event       bool
}

// Bounds is an interval; a limit may be undefined.
type Bounds struct {
	Low, High Number
}

// Point is the curve at one age.
type Point struct {
	AtRisk int     // observations at risk at that age
	Value  float64 // share without the event up to and including that age
	SE     Number  // Greenwood; 0 before the first event, undefined where Value is 0

	// The interval of Value by three transformations. Undefined before the first
	// event, where the curve is 1 and cannot tell how sure that is, and where
	// Value is 0. Plain and Log are clipped to [0, 1]; LogLog never leaves it.
	LogLog, Plain, Log Bounds
}

// Step is the curve from an age at which events came until the next one.
type Step struct {
	Age    int64
	Events int
	Point
}

// Curve is a Kaplan–Meier curve: 1 until the first step, then the value of the
// last step reached.
type Curve struct {
	N      int // observations that were ever at risk
	Events int
	Steps  []Step // in order of age, one for each age with an event

	entries, exits []int64 // of all observations at risk, each sorted
	atZero         int     // how many entered at age 0
}

// Survival returns the Kaplan–Meier curve of the observations, with delayed
// entry:
//
//	S(t) = Π over ages a ≤ t with events of (1 − events(a)/at risk(a))
//	SE(t) = S(t)·√Σ events/(at risk·(at risk − events))        (Greenwood)
//
// An observation censored at an event's age is still at risk there. One with
// Exit = Entry > 0 was never at risk: without an event it is left out, with one
// it is an error, since it would be an event among nobody. Negative ages, an
// exit before the entry and a conf outside (0, 1) are errors. Without
// observations nothing is defined, and that is no error.
//
// With late entries few may be at risk early; if all of them have the event the
// curve is 0 from there on.
//
// Source: Kaplan & Meier, JASA 53 (1958) 457–481; intervals as in Kalbfleisch &
// Prentice, The Statistical Analysis of Failure Time Data (1980).
func Survival(obs []Observation, conf float64) (*Curve, error) {
	if err := checkConf(conf); err != nil {
		return nil, err
	}
	c := &Curve{}
	events := map[int64]int{}
	for i, o := range obs {
		switch {
		case o.Entry < 0:
			return nil, badInput("observation %d enters at the negative age %d", i, o.Entry)
		case o.Exit < o.Entry:
			return nil, badInput("observation %d leaves at %d, before it enters at %d", i, o.Exit, o.Entry)
		case o.Exit == o.Entry && o.Entry > 0:
			if o.Event {
				return nil, badInput("observation %d has its event at %d without ever being at risk", i, o.Exit)
			}
			continue
		}
		c.entries = append(c.entries, o.Entry)
		c.exits = append(c.exits, o.Exit)
		if o.Entry == 0 {
			c.atZero++
		}
		if o.Event {
			events[o.Exit]++
			c.Events++
		}
	}
	c.N = len(c.entries)
	slices.Sort(c.entries)
	slices.Sort(c.exits)

	ages := make([]int64, 0, len(events))
	for age := range events {
		ages = append(ages, age)
	}
	slices.Sort(ages)
	var (
		z    = zFor(conf)
		s    = 1.0
		sum  float64 // Greenwood's
		dead bool    // S is 0, exactly
	)
	for _, age := range ages {
		n, d := c.atRisk(age), events[age]
		if n == d {
			dead = true
		}
		if dead {
			s = 0
		} else {
			s *= float64(n-d) / float64(n)
			sum += float64(d) / (float64(n) * float64(n-d))
		}
		c.Steps = append(c.Steps, Step{Age: age, Events: d, Point: pointAt(n, s, sum, z)})
	}
	return c, nil
}

// pointAt returns the point of a curve after its first event, with value s and
// Greenwood sum.
func pointAt(atRisk int, s, sum, z float64) Point {
	p := Point{AtRisk: atRisk, Value: s}
	if s == 0 { // Greenwood's sum has 0/0 there
		return p
	}
	root := math.Sqrt(sum)
	p.SE = Finite(s * root)
	p.Plain = Bounds{Finite(max(0, s-z*s*root)), Finite(min(1, s+z*s*root))}
	p.Log = Bounds{Finite(s * math.Exp(-z*root)), Finite(min(1, s*math.Exp(z*root)))}
	theta := math.Exp(z * root / math.Log(s)) // below 1, since log s < 0
	p.LogLog = Bounds{Finite(math.Pow(s, 1/theta)), Finite(math.Pow(s, theta))}
	return p
}

// atRisk returns how many observations are at risk at age.
func (c *Curve) atRisk(age int64) int {
	if age <= 0 {
		if age < 0 {
			return 0
		}
		return c.atZero
	}
	before := func(sorted []int64) int { // how many are < age
		return sort.Search(len(sorted), func(i int) bool { return sorted[i] >= age })
	}
	return before(c.entries) - before(c.exits)
}

// At returns the curve at age. It is undefined, and ok is false, at ages before
// anyone is at risk, and beyond the last observed age unless the curve is 0 by
// then. Where nobody is at risk in between, the curve stays where it was.
func (c *Curve) At(age int64) (p Point, ok bool) {
	if c.N == 0 || age < 0 {
		return Point{}, false
	}
	if first := c.entries[0]; first > 0 && age <= first {
		return Point{}, false
	}
	p = Point{Value: 1, SE: Finite(0)}
	if i := sort.Search(len(c.Steps), func(i int) bool { return c.Steps[i].Age > age }); i > 0 {
		p = c.Steps[i-1].Point
	}
	if last := c.exits[c.N-1]; age > last && p.Value > 0 {
		return Point{}, false
	}
	p.AtRisk = c.atRisk(age)
	return p, true
}
