package stat

import (
	"math"
	"slices"
)

// Quantile7 returns the p-quantile of x, type 7: with x sorted and counted from
// 0,
//
//	h = (n−1)·p; x[⌊h⌋] + (h−⌊h⌋)·(x[⌊h⌋+1] − x[⌊h⌋])
//
// x needs no order. NaN values are left out ([Summarize] counts them). Of no
// values it is undefined and ok is false; of one it is that value. A p outside
// [0, 1] and infinite values are errors.
//
// Source: Hyndman & Fan, The American Statistician 50 (1996) 361–365.
func Quantile7(x []float64, p float64) (q float64, ok bool, err error) {
	if !(p >= 0 && p <= 1) {
		return 0, false, badInput("a quantile at %v is not between 0 and 1", p)
	}
	sorted, err := sortedNumbers(x)
	if err != nil || len(sorted) == 0 {
		return 0, false, err
	}
	return quantileSorted(sorted, p), true, nil
}

// Summary is the type-7 quantiles of a sample ([Quantile7]).
type Summary struct {
	N       int // values used
	Dropped int // NaN values left out

	Q1, Median, Q3 float64
	P90            float64 // 90th percentile
}

// IQR returns the distance between the quartiles, 0 for one value.
func (s Summary) IQR() float64 { return s.Q3 - s.Q1 }

// Summarize returns the quantiles of x that are reported together. Of no values
// they are undefined and ok is false, with Dropped still counted. Infinite
// values are an error.
func Summarize(x []float64) (s Summary, ok bool, err error) {
	sorted, err := sortedNumbers(x)
	if err != nil {
		return Summary{}, false, err
	}
	s = Summary{N: len(sorted), Dropped: len(x) - len(sorted)}
	if s.N == 0 {
		return s, false, nil
	}
	s.Q1 = quantileSorted(sorted, 0.25)
	s.Median = quantileSorted(sorted, 0.5)
	s.Q3 = quantileSorted(sorted, 0.75)
	s.P90 = quantileSorted(sorted, 0.9)
	return s, true, nil
}

// sortedNumbers returns a sorted copy of x without its NaN values.
func sortedNumbers(x []float64) ([]float64, error) {
	kept := make([]float64, 0, len(x))
	for _, v := range x {
		if math.IsInf(v, 0) {
			return nil, badInput("an infinite value has no quantiles")
		}
		if !math.IsNaN(v) {
			kept = append(kept, v)
		}
	}
	slices.Sort(kept)
	return kept, nil
}

// quantileSorted returns the p-quantile of sorted, which is not empty.
func quantileSorted(sorted []float64, p float64) float64 {
	h := float64(len(sorted)-1) * p
	i := int(h)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	// Weights rather than a difference: that of two huge values may overflow.
	w := h - float64(i)
	return (1-w)*sorted[i] + w*sorted[i+1]
}
