package library

import (
	"context"
	"errors"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// SetClipWindow says where the dog is in a clip, nil for in all of it. Readings that
// nobody has coded in begin there from now on; finishing a reading ends it there.
// It fails with annotate.Problems for a part that is empty or not inside the clip,
// and for one that leaves out what was coded; then nothing was changed.
func (l *Library) SetClipWindow(ctx context.Context, clipID string, w *annotate.Span) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	l.facts.Lock()
	defer l.facts.Unlock()
	l.framing.Lock() // readings begin where the dog comes in
	defer l.framing.Unlock()
	clip, err := l.store.Clip(ctx, clipID)
	if err != nil {
		return err
	}
	if w, err = windowIn(clip.Footage, w); err != nil {
		return err
	}
	ids, err := l.store.ReadingsOf(ctx, clip.Footage.ID, "")
	if err != nil {
		return err
	}
	err = l.changing(ctx, ids, func() error { return l.store.SetWindow(ctx, clipID, w) })
	var outside *store.Outside
	if errors.As(err, &outside) {
		return outsideWords(outside)
	}
	return err
}

// windowIn checks a window of footage; nil for one that is all of it.
func windowIn(f store.Footage, w *annotate.Span) (*annotate.Span, error) {
	if w == nil {
		return nil, nil
	}
	begin := max(0, f.Start)
	wrong := func(message, hint string) error {
		return annotate.Problems{{Field: "window", Message: message + " Nothing was changed.", Hint: hint}}
	}
	switch {
	case w.End <= w.Start:
		return nil, wrong(fmt.Sprintf("The part of the clip from %s to %s is empty.", clockOf(w.Start), clockOf(w.End)), "Its end lies after its start.")
	case f.Duration > begin && (w.Start < begin || w.End > f.Duration), w.Start < 0:
		return nil, wrong(fmt.Sprintf("The part from %s to %s is not inside the clip, which runs from %s to %s.", clockOf(w.Start), clockOf(w.End), clockOf(begin), clockOf(f.Duration)), "Choose a part of the clip.")
	case w.Start == begin && w.End == f.Duration:
		return nil, nil
	}
	return w, nil
}

// outsideWords is the error of a window that leaves out what was coded, in words.
func outsideWords(e *store.Outside) error {
	what := "One event"
	if e.Events > 1 {
		what = fmt.Sprintf("%d events", e.Events)
	}
	lies := "lies"
	if e.Events > 1 {
		lies = "lie"
	}
	return annotate.Problems{{Field: "window",
		Message: fmt.Sprintf("%s of the reading by %s %s outside that part of the clip, the first at %s. Nothing was changed.", what, e.Reader, lies, clockOf(e.First)),
		Hint:    "Choose a longer part, or move those events on the desk first."}}
}
