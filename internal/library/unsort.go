package library

import (
	"context"
	"errors"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// PutAway hides what is sorted or left out of some footage of the inbox, and
// returns the id of the act that takes this back, "" where none of it is.
func (l *Library) PutAway(ctx context.Context, footage []string) (actID string, err error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	l.adding.Lock()
	defer l.adding.Unlock()
	settled := 0
	for _, id := range footage {
		item, err := l.store.InboxItem(ctx, id)
		if err != nil {
			return "", err
		}
		if item.State != store.InboxWaiting {
			settled++
		}
	}
	title := fmt.Sprintf("%d clips put away.", settled)
	if settled == 1 {
		title = "One clip put away."
	}
	act := store.Act{ID: newID(), Kind: ActSort, Title: title}
	n, err := l.store.PutAway(ctx, footage, act)
	if err != nil || n == 0 {
		return "", err
	}
	return act.ID, nil
}

// LastSort returns the act that [Library.UndoSort] would take back; ok is false if
// there is none.
func (l *Library) LastSort(ctx context.Context) (a store.Act, ok bool, err error) {
	a, err = l.store.LastAct(ctx, ActSort)
	if errors.Is(err, annotate.ErrNotFound) {
		return a, false, nil
	}
	return a, err == nil, err
}

// UndoSort takes back what was done last in the inbox, and returns the act and the
// footage that it was about. It fails with annotate.Problems where there is nothing
// to take back, or it no longer fits.
func (l *Library) UndoSort(ctx context.Context) (a store.Act, footage []string, err error) {
	a, ok, err := l.LastSort(ctx)
	if err != nil {
		return a, nil, err
	}
	if !ok {
		return a, nil, refused("There is nothing to take back.", "What is done in the inbox can be taken back for 30 days.")
	}
	if err := l.Undo(ctx, a.ID); err != nil {
		return a, nil, err
	}
	touched, err := store.SortActOf(a)
	return a, touched.Footage, err
}

// undoSort takes back an act of sorting or putting away.
func (l *Library) undoSort(ctx context.Context, a store.Act) error {
	l.adding.Lock()
	defer l.adding.Unlock()
	l.facts.Lock()
	defer l.facts.Unlock()
	l.framing.Lock()
	defer l.framing.Unlock()
	touched, err := store.SortActOf(a)
	if err != nil {
		return err
	}
	readings, err := l.readingsOf(ctx, touched.Footage)
	if err != nil {
		return err
	}
	var coded *store.Coded
	var outside *store.Outside
	err = l.changing(ctx, readings, func() error { return l.store.UndoSort(ctx, a) }) // also out of memory, what goes back into the bin
	switch {
	case errors.Is(err, store.ErrChanged):
		return refused("This clip has been changed since: sorted anew, merged, given another part, or put into the bin. Nothing was taken back.", "Take back what was done after it first, or sort the clip anew.")
	case errors.As(err, &coded):
		return refused(fmt.Sprintf("The clip of %s has been coded since. Nothing was taken back.", coded.Dog), "If the coding is not wanted, put that clip into the bin on the page of its session.")
	case errors.As(err, &outside):
		return outsideWords(outside)
	case err != nil:
		return err
	}
	return l.claim(ctx, touched.Footage)
}
