// Package coder plays the readers who code the demo's clips: people who know the
// book, work frame by frame and are nearly right. Each press comes a little late
// or early, a very short error or a flick of the ears is missed now and then, one
// thing taken for another that is like it. Every such slip is logged, so that a
// test can tell the readers' slips from faults of the program.
package coder
