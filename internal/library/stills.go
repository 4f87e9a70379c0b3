package library

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Stiller is a [Prober] that can take pictures out of footage as well. media.Tools
// is one.
type Stiller interface {
	Prober
	// Still is [media.Tools.Still].
	Still(ctx context.Context, path, to string, at annotate.Micros) error
}

// kindStills is the kind of the jobs that take pictures of footage.
const kindStills = "stills"

func (l *Library) stillPath(footageID string) string {
	return filepath.Join(l.dir, mediaName, stillName(footageID))
}

func stillName(footageID string) string { return footageID + ".jpg" }

// HasStill reports whether there is a picture of footage.
func (l *Library) HasStill(footageID string) bool {
	info, err := os.Stat(l.stillPath(footageID))
	return err == nil && info.Mode().IsRegular()
}

// OpenStill opens the picture of footage, a JPEG; annotate.ErrNotFound where there
// is none.
func (l *Library) OpenStill(ctx context.Context, footageID string) (*os.File, error) {
	f, err := l.store.FootageByID(ctx, footageID) // so that no other name gets into the path
	if err != nil {
		return nil, err
	}
	r, err := os.OpenRoot(filepath.Join(l.dir, mediaName))
	if err == nil {
		defer r.Close()
		var file *os.File
		if file, _, err = openPlain(r, stillName(f.ID)); err == nil {
			return file, nil
		}
	}
	if errors.Is(err, fs.ErrNotExist) {
		err = errors.Join(annotate.ErrNotFound, err)
	}
	return nil, fmt.Errorf("library: picture of footage %s: %w", footageID, err)
}

// startStills begins to take a picture of each footage, at a third of its length.
// Without ffmpeg there are none.
func (l *Library) startStills(list []store.Footage) {
	s, ok := l.cfg.Prober.(Stiller)
	if !ok || len(list) == 0 || l.cfg.ReadOnly {
		return
	}
	title := fmt.Sprintf("Taking pictures of %d clips", len(list))
	if len(list) == 1 {
		title = "Taking a picture of " + nameOf(list[0])
	}
	l.jobs.start(Job{Kind: kindStills, Title: title}, func(ctx context.Context, t *task) (string, error) {
		failed := 0
		for i, f := range list {
			if err := l.takeStill(ctx, s, f); err != nil {
				if ctx.Err() != nil {
					return "It was stopped; the rest is taken when the library is opened next.", ctx.Err()
				}
				failed++
				l.words("take a picture of "+nameOf(f), err) // into the log: the clip is as good without
			}
			l.jobs.progress(t, float64(i+1)/float64(len(list)), "")
		}
		if failed > 0 {
			return fmt.Sprintf("Of %d no picture could be taken; they can be sorted all the same.", failed), nil
		}
		return "", nil
	})
}

func (l *Library) takeStill(ctx context.Context, s Stiller, f store.Footage) error {
	if l.HasStill(f.ID) {
		return nil
	}
	file, err := l.find(ctx, f)
	if err != nil {
		return err
	}
	path := file.Name()
	if err := file.Close(); err != nil {
		return err
	}
	return s.Still(ctx, path, l.stillPath(f.ID), f.Length()/3)
}

// WaitStills returns when no picture is being taken or waits to be, or ctx ends.
func (l *Library) WaitStills(ctx context.Context) error { return l.jobs.idle(ctx, kindStills) }
