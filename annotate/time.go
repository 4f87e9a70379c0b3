package annotate

import "math"

// Micros is a time or a length on a clip's media timeline, in microseconds.
type Micros int64

// Second is one second of media time.
const Second Micros = 1_000_000

// Seconds returns m in seconds.
func (m Micros) Seconds() float64 { return float64(m) / 1e6 }

// FromSeconds returns s seconds as Micros, rounded to the nearest microsecond,
// halves away from zero. What lies beyond 10¹² s either way is taken as that, so
// that sums of a few limits stay in range.
func FromSeconds(s float64) Micros { return Micros(math.Round(max(-1e12, min(s, 1e12)) * 1e6)) }
