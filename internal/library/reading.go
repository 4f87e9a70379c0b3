package library

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// Readings returns a clip's readings: the finished ones first, in the order in
// which they were finished, then the others as they were made.
func (l *Library) Readings(ctx context.Context, clipID string) ([]store.ReadingSummary, error) {
	return l.store.Readings(ctx, clipID)
}

// ReadingClip returns the id of the clip that a reading codes.
func (l *Library) ReadingClip(ctx context.Context, id string) (string, error) {
	return l.store.ReadingClip(ctx, id)
}

// Reading returns a reading as it is now. Callers must not change it.
func (l *Library) Reading(ctx context.Context, id string) (*annotate.Reading, error) {
	if l.cfg.ReadOnly { // another process may be writing
		return l.store.Reading(ctx, id)
	}
	v, give := l.take(id)
	defer give()
	if h := v.now.Load(); h != nil && h.edits != nil {
		return h.reading, nil
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	h, err := l.whole(ctx, v)
	if err != nil {
		return nil, err
	}
	return h.reading, nil
}

// NewReading begins one person's reading of a clip and returns its id.
//
// Its window is the first frame of the clip's window, of the whole clip where it
// has none (1 µs from its start, the container's, while the frames aren't known):
// a window can't be empty, and this one grows as coding gets on. It follows the
// frame table when that comes, as long as nothing was coded.
func (l *Library) NewReading(ctx context.Context, clipID, reader string) (string, error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	reader = strings.TrimSpace(reader)
	if reader == "" {
		return "", annotate.Problems{{Field: "reader", Message: "A reading needs the name of who codes it.", Hint: "Give a name or initials."}}
	}
	book, err := l.Book(ctx)
	if err != nil {
		return "", err
	}
	l.framing.Lock()
	defer l.framing.Unlock()
	clip, err := l.store.Clip(ctx, clipID)
	if err != nil {
		return "", err
	}
	window, err := l.firstWindow(ctx, clip)
	if err != nil {
		return "", err
	}
	r := &annotate.Reading{ID: newID(), Reader: reader, Window: window, Book: book}
	if err := l.store.AddReading(ctx, clipID, r); err != nil {
		return "", err
	}
	return r.ID, nil
}

// firstWindow returns the window of a new reading.
func (l *Library) firstWindow(ctx context.Context, clip store.Clip) (annotate.Span, error) {
	t, state, err := l.store.Frames(ctx, clip.ID)
	if err != nil {
		return annotate.Span{}, err
	}
	if state == store.FramesReady {
		return t.FirstWindow(clip.Window), nil
	}
	w := annotate.Span{Start: max(0, clip.Footage.Start)}
	if clip.Window != nil {
		w.Start = max(w.Start, clip.Window.Start)
	}
	w.End = w.Start + 1
	if w.End > clip.Footage.Duration {
		f := &media.Fault{Kind: "no-length", Message: "The clip can't be coded yet: how long it is stands nowhere in the file.",
			Hint: "Its frames are being read; try again when that is done.", Cause: fmt.Errorf("library: clip %s has no length", clip.ID)}
		if state == store.FramesFailed {
			f.Message, f.Hint = "The clip can't be coded: neither its length nor its frames can be read.", "Copy the file from the camera again, and add it."
		}
		return annotate.Span{}, f
	}
	return w, nil
}

// Book returns the newest version of the library's book.
func (l *Library) Book(ctx context.Context) (*annotate.Codebook, error) {
	return l.store.NewestBook(ctx)
}

// provideBook stores the default book in a library that has none, as version 1 of
// a book of its own unless it brings id and version. A library that
// has one keeps it, also when the program comes with another.
func (l *Library) provideBook(ctx context.Context) error {
	if l.cfg.DefaultBook == nil {
		return nil
	}
	_, err := l.store.NewestBook(ctx)
	if errors.Is(err, annotate.ErrNotFound) {
		first := *l.cfg.DefaultBook
		first.ID = cmp.Or(first.ID, newID())
		first.Version = cmp.Or(first.Version, 1)
		return l.store.AddBook(ctx, &first)
	}
	return err
}
