package coder

import "afterwalk/internal/demo/outing"

// Reader is who codes: how late they press, and what they overlook or mix up.
type Reader struct {
	Name    string
	seed    uint64
	late    float64 // seconds, in the middle
	spread  float64 // seconds
	misses  float64 // share of what the first reader misses
	mixesUp float64 // chance of naming one thing for another, where they are alike
}

// The readers of the demo.
var (
	Varga = Reader{Name: outing.Varga, seed: 1, late: 0.05, spread: 0.06, misses: 1, mixesUp: 0.06}
	Quill = Reader{Name: outing.Quill, seed: 2, late: 0.1, spread: 0.08, misses: 1.4, mixesUp: 0.12}
)
