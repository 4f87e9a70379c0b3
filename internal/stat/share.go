package stat

import "math"

// Wilson returns the share k/n with its score interval, without continuity
// correction:
//
//	(p + z²/2n ± z·√(p(1−p)/n + z²/4n²)) / (1 + z²/n)
//
// The lower limit is exactly 0 for k = 0, the upper exactly 1 for k = n. For
// n = 0 the share is undefined and ok is false. Negative counts, k > n and a
// conf outside (0, 1) are errors.
//
// Source: Wilson (1927), as method 3 in Newcombe, Statistics in Medicine 17
// (1998) 857–872.
func Wilson(k, n int, conf float64) (e Estimate, ok bool, err error) {
	if err := checkConf(conf); err != nil {
		return Estimate{}, false, err
	}
	if n < 0 || k < 0 || k > n {
		return Estimate{}, false, badInput("%d of %d is no share", k, n)
	}
	if n == 0 {
		return Estimate{}, false, nil
	}
	var (
		nf    = float64(n)
		p     = float64(k) / nf
		z     = zFor(conf)
		zz    = z * z / nf
		mid   = p + zz/2
		half  = z * math.Sqrt(p*(1-p)/nf+zz/(4*nf))
		share = Estimate{Value: p, Low: (mid - half) / (1 + zz), High: (mid + half) / (1 + zz)}
	)
	// Rounding must not carry a limit past the share, nor past 0 or 1: with the
	// share at an end, that end is the limit.
	share.Low = min(max(share.Low, 0), p)
	share.High = max(min(share.High, 1), p)
	return share, true, nil
}
