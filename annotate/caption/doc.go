// Package caption turns the events of a reading into the cues of a caption
// track: wording from the codebook, times that can be read.
//
// It knows no file format; package exchange writes the tracks. Times are media
// time, [Start, End). Built so far is the coder's track: everything that was
// coded, terse, one cue for each event.
//
//	cues := caption.Coder(reading, caption.DefaultFit())
package caption
