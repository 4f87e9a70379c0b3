package stat

import "gonum.org/v1/gonum/stat/distuv"

// Garwood returns the rate count/exposure with its exact Poisson interval:
//
//	χ²(2·count; (1−conf)/2) / 2·exposure … χ²(2·count+2; 1−(1−conf)/2) / 2·exposure
//
// The lower limit is exactly 0 for count = 0; the upper is then 3.6889/exposure
// at 95 %, two-sided like the others. An exposure of 0 is an error: a caller who
// observed for no time has no rate to ask for. So are an exposure that is
// negative or not finite, a negative count and a conf outside (0, 1).
//
// Source: Garwood, Biometrika 28 (1936) 437–442.
func Garwood(count int, exposure, conf float64) (Estimate, error) {
	if err := checkConf(conf); err != nil {
		return Estimate{}, err
	}
	if err := checkRate(count, exposure); err != nil {
		return Estimate{}, err
	}
	var (
		tail = (1 - conf) / 2
		n    = float64(count)
		rate = Estimate{Value: n / exposure}
	)
	if count > 0 {
		rate.Low = distuv.ChiSquared{K: 2 * n}.Quantile(tail) / 2 / exposure
	}
	rate.High = distuv.ChiSquared{K: 2*n + 2}.Quantile(1-tail) / 2 / exposure
	return rate, nil
}

// The counts and exposures that the distributions compute reliably, and with
// which no rate and no ratio of two leaves the range of a float64.
const (
	maxCount    = 1_000_000
	minExposure = 1e-100
	maxExposure = 1e100
)

// checkRate returns an error unless count and exposure make a rate.
func checkRate(count int, exposure float64) error {
	if count < 0 || count > maxCount {
		return badInput("a count of %d is not between 0 and %d", count, maxCount)
	}
	if !(exposure >= minExposure && exposure <= maxExposure) {
		return badInput("an exposure of %v gives no rate", exposure)
	}
	return nil
}
