// Package exchange is files in and out: reading files, the built-in codebook,
// caption tracks, tables of events.
//
// It works on readers and writers, never on paths; opening, naming and replacing
// files is up to the caller. What is read is text from outside: each reader has a
// limit for its size, refuses with [annotate.Problems] that name the place, and
// returns either a whole valid value or none. What is written is stable: the same
// value gives the same bytes. JSON shapes are those of package wire.
//
//	r, err := exchange.ReadReading(file)
//	err = exchange.WriteReading(out, r)
package exchange
