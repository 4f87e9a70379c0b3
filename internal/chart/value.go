package chart

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// Plain writes a value with as many digits as it needs, at most 10.
func Plain(x float64) string {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
	if a := math.Abs(x); a != 0 && (a < 1e-6 || a >= 1e12) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(x+0, 'f', -1, 64) // +0: no "-0"
}

// threeDigits returns x rounded to three significant digits.
func threeDigits(x float64) float64 {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return x
}

// Percent writes a share of 1 as "23 %"; below 10 % with one decimal if it has
// one, "9.4 %".
func Percent(x float64) string {
	x *= 100
	unit := 1.0
	if math.Abs(x) < 9.95 {
		unit = 10
	}
	return Plain(math.Round(x*unit)/unit) + " %"
}

// valueRange returns the ends of the y axis, low < high.
func (f Figure) valueRange(marks []mark) (low, high float64) {
	low, high = 0, math.Inf(-1)
	whisker := 0.0
	for _, m := range marks {
		if m.hasValue {
			low, high = min(low, m.value), max(high, m.value)
			if m.hasHigh {
				whisker = max(whisker, m.high)
			}
			if m.hasLow {
				low = min(low, max(m.low, -3*math.Abs(m.value)))
			}
		}
	}
	switch {
	case high > 0:
		high = max(high, min(whisker, 3*high))
	default:
		high = max(high, whisker, 0)
	}
	if len(f.Ticks) > 0 {
		low, high = f.ladderRange(low, high)
	} else if f.YMax == nil {
		if step := roundStep(high - low); step > 0 {
			high = math.Ceil(high/step-1e-9) * step
			low = math.Floor(low/step+1e-9) * step
		}
	}
	if x, ok := number(f.YMin); ok {
		low = x
	}
	if x, ok := number(f.YMax); ok {
		high = x
	}
	// A range must have a length that differences of floats can tell.
	if least := 1e-9 * max(1e-9, math.Abs(low), math.Abs(high)); !(high-low > least) {
		high = low + max(1, math.Abs(low)*0.1)
	}
	return low, high
}

// ladderRange widens low and high to the ticks and half a step beyond, but not
// below a tick at 0.
func (f Figure) ladderRange(low, high float64) (float64, float64) {
	first, last, step := math.Inf(1), math.Inf(-1), math.Inf(1)
	for i, t := range f.Ticks {
		if _, ok := number(&t.Value); !ok {
			continue
		}
		first, last = min(first, t.Value), max(last, t.Value)
		for _, u := range f.Ticks[:i] {
			if d := math.Abs(t.Value - u.Value); d > 0 {
				step = min(step, d)
			}
		}
	}
	if math.IsInf(first, 0) {
		return low, high
	}
	if math.IsInf(step, 0) {
		step = 1
	}
	high = max(high, last+step/2)
	if first > 0 && low >= 0 {
		return first - step/2, high
	}
	return min(low, first), high
}

// valueTicks returns the ticks of the y axis inside [low, high], lowest first.
func (f Figure) valueTicks(low, high float64) []Tick {
	var ticks []Tick
	slack := (high - low) * 1e-9
	if len(f.Ticks) > 0 {
		for _, t := range f.Ticks {
			if t.Value >= low-slack && t.Value <= high+slack { // also drops NaN
				ticks = append(ticks, Tick{Value: t.Value, Label: f.format(t.Value)})
			}
		}
		return sortTicks(ticks)
	}
	step := roundStep(high - low)
	first := math.Ceil(low/step - 1e-9)
	for i := range 20 {
		x := (first + float64(i)) * step
		if x > high+slack {
			break
		}
		label := f.format(x)
		if n := len(ticks); n > 0 && ticks[n-1].Label == label {
			continue // Format tells less than the step
		}
		ticks = append(ticks, Tick{Value: x, Label: label})
	}
	return ticks
}

// roundStep returns a distance of 1, 2 or 5 times a power of ten that divides
// length into two to six parts; 0 for no length.
func roundStep(length float64) float64 {
	if !(length > 0) {
		return 0
	}
	power := math.Pow(10, math.Floor(math.Log10(length/3.5)))
	for _, by := range []float64{1, 2, 5, 10} {
		if length/(power*by) <= 6 {
			return power * by
		}
	}
	return power * 10
}

// sortTicks orders ticks by value and leaves out a second one of a value.
func sortTicks(ticks []Tick) []Tick {
	slices.SortStableFunc(ticks, func(a, b Tick) int { return cmp.Compare(a.Value, b.Value) })
	return slices.CompactFunc(ticks, func(a, b Tick) bool { return a.Value == b.Value })
}
