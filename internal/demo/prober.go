package demo

import (
	"context"
	"os"
	"sync"

	"afterwalk/internal/library"
	"afterwalk/internal/media"
)

// prober knows the demo's films, whatever they are called; other files it leaves
// to ffprobe, if there is one.
type prober struct {
	find func() (*media.Tools, error)
}

// Prober returns a prober that needs no ffprobe for the demo's films. For others
// it looks for one when it is first asked.
func Prober() library.Prober {
	return prober{sync.OnceValues(media.Find)}
}

// known returns the facts of the film at path.
func known(path string) (Fact, bool) {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return Fact{}, false
	}
	for _, f := range facts() {
		if f.Probe.Size != info.Size() {
			continue
		}
		if sum, err := checksum(path); err == nil && sum == f.SHA256 {
			return f, true
		}
	}
	return Fact{}, false
}

// Probe says what the file at path is.
func (p prober) Probe(ctx context.Context, path string) (media.Probe, error) {
	if f, ok := known(path); ok {
		return f.Probe, nil
	}
	tools, err := p.find()
	if err != nil {
		return media.Probe{}, err
	}
	return tools.Probe(ctx, path)
}

// Frames says when each frame of the file at path is shown.
func (p prober) Frames(ctx context.Context, path string, progress func(done float64)) (media.FrameTable, error) {
	if f, ok := known(path); ok {
		if progress != nil {
			progress(1)
		}
		return f.Frames, nil
	}
	tools, err := p.find()
	if err != nil {
		return media.FrameTable{}, err
	}
	return tools.Frames(ctx, path, progress)
}
