package stat

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"
)

// Conf95 is the confidence of the usual intervals.
const Conf95 = 0.95

// ErrInput is matched by every error of this package: the input makes no sense,
// as opposed to input that leaves a result undefined.
var ErrInput = errors.New("statistics: senseless input")

// badInput returns an error that matches ErrInput and says what is wrong.
func badInput(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrInput, fmt.Sprintf(format, args...))
}

// Estimate is a value with the limits of its interval; all three are finite and
// Low ≤ Value ≤ High.
type Estimate struct {
	Value, Low, High float64
}

// Number is a result that may be missing: undefined (its zero value), finite, or
// infinite in the positive direction (a ratio to nothing, an open upper bound).
type Number struct {
	x     float64 // finite; 0 unless state is isFinite
	state numberState
}

type numberState uint8

const (
	isUndefined numberState = iota
	isFinite
	isInfinite
)

// Infinite is the Number beyond all bounds.
var Infinite = Number{state: isInfinite}

// Finite returns x as a Number: undefined where x is NaN, and infinite or
// undefined where x is +Inf or -Inf.
func Finite(x float64) Number {
	switch {
	case math.IsNaN(x), math.IsInf(x, -1):
		return Number{}
	case math.IsInf(x, 1):
		return Infinite
	}
	return Number{x: x, state: isFinite}
}

// Float returns the value; ok is false where it is undefined or infinite.
func (n Number) Float() (x float64, ok bool) { return n.x, n.state == isFinite }

// Ptr returns a pointer to a copy of the value, nil where it is undefined or
// infinite: what a JSON field that may be null wants.
func (n Number) Ptr() *float64 {
	if n.state != isFinite {
		return nil
	}
	x := n.x
	return &x
}

// Defined reports whether n is finite or infinite.
func (n Number) Defined() bool { return n.state != isUndefined }

// IsInfinite reports whether n lies beyond all bounds.
func (n Number) IsInfinite() bool { return n.state == isInfinite }

// String returns the value in its shortest form, "infinite" or "undefined".
func (n Number) String() string {
	switch n.state {
	case isFinite:
		return strconv.FormatFloat(n.x, 'g', -1, 64)
	case isInfinite:
		return "infinite"
	}
	return "undefined"
}

// maxConf bounds a confidence from above; nearer to 1 its tail drowns in
// rounding and a limit would come out infinite.
const maxConf = 0.999999

// checkConf returns an error unless conf lies in (0, maxConf].
func checkConf(conf float64) error {
	if !(conf > 0 && conf <= maxConf) {
		return badInput("a confidence of %v is not between 0 and %v", conf, maxConf)
	}
	return nil
}

// zFor returns the normal quantile of a two-sided interval of confidence conf.
func zFor(conf float64) float64 {
	return distuv.UnitNormal.Quantile(1 - (1-conf)/2)
}
