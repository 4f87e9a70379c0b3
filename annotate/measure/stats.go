package measure

import (
	"strconv"

	"afterwalk/annotate"
	"afterwalk/internal/stat"
)

// numbers computes statistics and keeps the first error, which [Of] returns:
// package stat refuses only what makes no sense, such as more than a million
// events at a rate.
type numbers struct{ err error }

func (n *numbers) note(err error) {
	if n.err == nil && err != nil {
		n.err = err
	}
}

// share returns k of of with Wilson's interval.
func (n *numbers) share(k, of int) Share {
	s := Share{K: k, N: of}
	e, ok, err := stat.Wilson(k, of, stat.Conf95)
	n.note(err)
	if ok {
		s.Value, s.Low, s.High = &e.Value, &e.Low, &e.High
	}
	return s
}

// rate returns count per minute over a length of time, with Garwood's interval.
func (n *numbers) rate(count int, over annotate.Micros) Rate {
	r := Rate{Count: count, Minutes: minutes(over)}
	if over <= 0 {
		return r
	}
	e, err := stat.Garwood(count, r.Minutes, stat.Conf95)
	n.note(err)
	if err == nil {
		r.Value, r.Low, r.High = &e.Value, &e.Low, &e.High
	}
	return r
}

// compare returns the ratio of two rates with its exact central interval and the
// doubled tail; all nil where one of them has no time.
func (n *numbers) compare(with, without Rate) UnderDistraction {
	u := UnderDistraction{With: with, Without: without}
	if with.Minutes <= 0 || without.Minutes <= 0 {
		return u
	}
	r, err := stat.TwoRates(with.Count, with.Minutes, without.Count, without.Minutes, stat.Conf95)
	n.note(err)
	if err == nil {
		u.Ratio, u.Low, u.High, u.P = r.Ratio.Ptr(), r.Low.Ptr(), r.High.Ptr(), &r.P
	}
	return u
}

// length is a time that was followed from its start, or from late, to its end or
// until it was seen no more.
type length struct {
	from, to annotate.Micros // ages
	ended    bool            // false: censored
}

// survival returns the Kaplan–Meier curve of lengths, with delayed entry.
func (n *numbers) survival(lengths []length) *stat.Curve {
	obs := make([]stat.Observation, len(lengths))
	for i, l := range lengths {
		obs[i] = stat.Observation{Entry: int64(l.from), Exit: int64(l.to), Event: l.ended}
	}
	c, err := stat.Survival(obs, stat.Conf95)
	n.note(err)
	if err != nil {
		c = &stat.Curve{}
	}
	return c
}

// medianLength returns the Kaplan–Meier median of lengths in seconds, nil where
// it is not reached.
func (n *numbers) medianLength(lengths []length) *float64 {
	return secondsOf(n.survival(lengths).Median().Ptr())
}

// holdAges are the ages, in seconds, at which the hold curve is reported.
var holdAges = []int{10, 30, 60, 120, 180}

// hold returns the hold curve of seen parts of n stretches.
func (n *numbers) hold(stretches int, parts []length) Hold {
	c := n.survival(parts)
	h := Hold{N: stretches, Broken: c.Events, MedianS: secondsOf(c.Median().Ptr()), At: map[string]*HoldSeen{}}
	for _, age := range holdAges {
		var seen *HoldSeen
		if p, ok := c.At(int64(age) * int64(annotate.Second)); ok {
			seen = &HoldSeen{Value: p.Value, Low: p.LogLog.Low.Ptr(), High: p.LogLog.High.Ptr(), AtRisk: p.AtRisk}
		}
		h.At[strconv.Itoa(age)] = seen
	}
	return h
}

// quantile returns the type-7 quantile of x (Hyndman & Fan 1996), nil of nothing.
func (n *numbers) quantile(x []float64, p float64) *float64 {
	q, ok, err := stat.Quantile7(x, p)
	n.note(err)
	if !ok {
		return nil
	}
	return &q
}

// quantileS is quantile for times, in seconds. It interpolates in microseconds,
// which are whole.
func (n *numbers) quantileS(times []annotate.Micros, p float64) *float64 {
	x := make([]float64, len(times))
	for i, t := range times {
		x[i] = float64(t)
	}
	return secondsOf(n.quantile(x, p))
}

// secondsOf turns microseconds into seconds.
func secondsOf(micros *float64) *float64 {
	if micros == nil {
		return nil
	}
	return new(*micros / 1e6)
}

func minutes(t annotate.Micros) float64 { return float64(t) / 60e6 }

// ratio returns a/b, nil where b is 0.
func ratio(a, b float64) *float64 {
	if b == 0 {
		return nil
	}
	return new(a / b)
}
