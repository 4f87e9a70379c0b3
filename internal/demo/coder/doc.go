// Package coder plays the reader who codes the demo's outings: someone who
// knows the book, works frame by frame and is nearly right. Each press comes a
// little late or early, a very short error or a flick of the ears is missed now
// and then. Every such slip is logged, so that a test can tell the reader's
// slips from faults of the program.
package coder
