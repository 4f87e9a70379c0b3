package stat

import "math"

// halfTolerance is how near to ½ a curve counts as ½: products of fractions
// miss it by a few last bits.
const halfTolerance = 1e-9

// Median returns the median age, in the unit of the ages: the first age at which
// the curve lies below ½. Where the curve is exactly ½ (to 1e-9) it is the
// midpoint of the flat piece: between the age at which ½ is reached and the
// next event, or the last observed age if no event follows. It is undefined
// where the curve stays above ½ (not reached).
func (c *Curve) Median() Number {
	return c.crossing(func(p Point) Number { return Finite(p.Value) })
}

// Transform names the transformation behind an interval of a curve.
type Transform int

// The transformations of [Point].
const (
	LogLog Transform = iota
	Plain
	Log
)

// MedianBounds returns the interval of the median: the ages at which the lower
// and the upper limits of the curve cross ½, found like [Curve.Median]; ages
// with undefined limits are passed over. A limit that is not reached is
// undefined; for the upper one that is common and means "not known to end".
//
// Source: Brookmeyer & Crowley, Biometrics 38 (1982) 29–41.
func (c *Curve) MedianBounds(t Transform) Bounds {
	bounds := func(p Point) Bounds {
		switch t {
		case Plain:
			return p.Plain
		case Log:
			return p.Log
		}
		return p.LogLog
	}
	return Bounds{
		Low:  c.crossing(func(p Point) Number { return bounds(p).Low }),
		High: c.crossing(func(p Point) Number { return bounds(p).High }),
	}
}

// crossing returns the first age at which value, a quantity of each step, lies
// below ½; where it is ½ the midpoint to the age at which it is lower, or to
// the last observed age. Steps where it is undefined are passed over.
func (c *Curve) crossing(value func(Point) Number) Number {
	for i, s := range c.Steps {
		v, ok := value(s.Point).Float()
		switch {
		case !ok || v > 0.5+halfTolerance:
			continue
		case math.Abs(v-0.5) > halfTolerance:
			return Finite(float64(s.Age))
		}
		end := c.exits[c.N-1]
		for _, next := range c.Steps[i+1:] {
			if w, ok := value(next.Point).Float(); ok && w < v-halfTolerance {
				end = next.Age
				break
			}
		}
		return Finite((float64(s.Age) + float64(end)) / 2)
	}
	return Number{}
}
