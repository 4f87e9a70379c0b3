package stat

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// RateRatio compares two rates.
type RateRatio struct {
	Rate1, Rate2 float64
	Ratio        Number  // Rate1 / Rate2: infinite where only count 2 is 0, undefined where both are
	Low, High    Number  // exact central interval of Ratio; High is infinite where count 2 is 0
	P            float64 // two-sided: the smaller tail doubled, at most 1
}

// TwoRates compares count1/exposure1 with count2/exposure2 by the exact
// conditional test: with equal rates count1 is, of the total, binomial with
//
//	p = exposure1 / (exposure1 + exposure2)
//
// The interval comes from the Clopper–Pearson limits of that binomial share q,
//
//	ratio = q/(1−q) · exposure2/exposure1
//
// and P is the doubled tail, the one definition that agrees with this interval
// (P < 1−conf where it leaves out 1). With both counts 0 the ratio is
// undefined, the interval (0, infinite) and P = 1. Errors are those of
// [Garwood].
//
// Source: Przyborowski & Wilenski, Biometrika 31 (1940) 313–323; Clopper &
// Pearson, Biometrika 26 (1934) 404–413.
func TwoRates(count1 int, exposure1 float64, count2 int, exposure2 float64, conf float64) (RateRatio, error) {
	if err := checkConf(conf); err != nil {
		return RateRatio{}, err
	}
	if err := checkRates(count1, exposure1, count2, exposure2); err != nil {
		return RateRatio{}, err
	}
	var (
		x, y   = float64(count1), float64(count2)
		tail   = (1 - conf) / 2
		scale  = exposure2 / exposure1
		result = RateRatio{Rate1: x / exposure1, Rate2: y / exposure2, Low: Finite(0), High: Infinite}
	)
	switch {
	case count2 > 0:
		result.Ratio = Finite(x / y * scale)
	case count1 > 0:
		result.Ratio = Infinite
	}
	if count1 > 0 {
		q := distuv.Beta{Alpha: x, Beta: y + 1}.Quantile(tail)
		result.Low = Finite(q / (1 - q) * scale)
	}
	if count2 > 0 {
		q := distuv.Beta{Alpha: x + 1, Beta: y}.Quantile(1 - tail)
		result.High = Finite(q / (1 - q) * scale)
	}

	// The tails by the incomplete beta function, each by itself: one taken as
	// 1 minus the other would lose all digits of a small one.
	var (
		all     = exposure1 + exposure2
		atLeast = 1.0 // P(X ≥ count1)
		atMost  = 1.0 // P(X ≤ count1)
	)
	if count1 > 0 {
		atLeast = mathext.RegIncBeta(x, y+1, exposure1/all)
	}
	if count2 > 0 {
		atMost = mathext.RegIncBeta(y, x+1, exposure2/all)
	}
	result.P = min(1, 2*min(atLeast, atMost))
	return result, nil
}

// MinlikeP returns the other common two-sided p of the test of [TwoRates]: the
// probability of all outcomes that are not more probable than the one observed.
// It may disagree with the central interval, which is why TwoRates reports the
// doubled tail; it is here to compare with software that reports this one.
// Outcomes as probable as the observed one, up to a factor of 1 + 1e-7, count.
func MinlikeP(count1 int, exposure1 float64, count2 int, exposure2 float64) (float64, error) {
	if err := checkRates(count1, exposure1, count2, exposure2); err != nil {
		return 0, err
	}
	var (
		total  = count1 + count2
		all    = exposure1 + exposure2
		log1   = math.Log(exposure1 / all)
		log2   = math.Log(exposure2 / all)
		factor = func(n int) float64 { l, _ := math.Lgamma(float64(n) + 1); return l }
		logP   = func(k int) float64 {
			return factor(total) - factor(k) - factor(total-k) + float64(k)*log1 + float64(total-k)*log2
		}
		limit = logP(count1) + math.Log1p(1e-7)
		sum   float64
	)
	for k := range total + 1 {
		if l := logP(k); l <= limit {
			sum += math.Exp(l)
		}
	}
	return min(1, sum), nil
}

// checkRates returns an error unless both pairs make a rate.
func checkRates(count1 int, exposure1 float64, count2 int, exposure2 float64) error {
	if err := checkRate(count1, exposure1); err != nil {
		return err
	}
	return checkRate(count2, exposure2)
}
