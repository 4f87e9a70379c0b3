// Package stat holds the statistics that measures are made of: shares, rates,
// curves of time to an event and quantiles, each with its interval.
//
// It knows nothing of what is counted: in go numbers, out come numbers. Which
// events count, and in which unit, is the caller's business.
//
// There are three outcomes, told apart by type:
//
//   - a value;
//   - undefined, because the data cannot say (no cases, curve at 0): ok is
//     false, or a [Number] that is not defined. Never 0, 1 or NaN by default;
//   - an error that matches [ErrInput], because the question makes no sense
//     (a negative count, no exposure, a confidence of 1).
//
// No function returns NaN, and none returns an infinity in a float64: a bound
// that lies at infinity is a [Number] that says so. No function changes a slice
// that it was given. Confidence is given as 0.95, and normal quantiles are
// computed from it (1.959964, not 1.96). Shares and probabilities are 0 to 1.
//
//	share, ok, err := stat.Wilson(7, 9, stat.Conf95)
//	rate, err := stat.Garwood(3, minutes, stat.Conf95)
//	curve, err := stat.Survival(stretches, stat.Conf95)
//	median := curve.Median().Ptr() // nil where it is not reached
package stat
