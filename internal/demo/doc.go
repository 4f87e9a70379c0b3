// Package demo is the demo library: eight outings of two invented dogs with two
// handlers over six weeks, filmed, coded, and known to the last step, because a
// program played them; and one more film that lies in no session yet. The films
// are built in, with what ffprobe says of them, so that showing them needs neither
// ffmpeg nor a network.
//
// The parts: outing plays what happens, scene and paint draw it, sound makes it
// heard, coder codes it, and render, which developers run, puts it all together
// into the folder footage. This package builds a library from that folder.
//
//	lib, err := demo.Build(ctx, library.Config{Dir: dir, Now: time.Now, Log: log})
package demo
