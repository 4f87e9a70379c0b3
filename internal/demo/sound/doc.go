// Package sound makes the sound of an outing: steps, words as tones, the
// collar's tone, what comes by, wind and birds. Nothing is recorded; all is
// computed, and the same every time.
//
// Samples are mono, [Rate] a second, from -1 to 1.
//
//	samples := sound.Mix(run.Sounds, run.Length.Seconds())
package sound
