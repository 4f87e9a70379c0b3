package annotate

import "math"

// Micros is a time or a length on a clip's media timeline, in microseconds.
type Micros int64

// Second is one second of media time.
const Second Micros = 1_000_000

// Seconds returns m in seconds.
func (m Micros) Seconds() float64 { return float64(m) / 1e6 }

// FromSeconds returns s seconds as Micros, rounded to the nearest microsecond,
// halves away from zero.
func FromSeconds(s float64) Micros { return Micros(math.Round(s * 1e6)) }
