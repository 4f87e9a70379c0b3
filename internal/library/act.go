package library

import (
	"context"
	"errors"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// The kinds of acts: what is done outside readings and can be taken back.
const (
	ActBin    = "bin"
	ActMerge  = "merge"
	ActRename = "rename"
	ActSort   = "sort"
)

// undoing is how an act of each kind is taken back. Each takes it back and notes
// that in one transaction, or changes nothing and says why: an act that no longer
// fits fails with annotate.Problems.
func undoing(kind string) func(*Library, context.Context, store.Act) error {
	switch kind {
	case ActBin:
		return (*Library).undoBin
	case ActMerge:
		return (*Library).undoMerge
	case ActRename:
		return (*Library).undoRename
	case ActSort:
		return (*Library).undoSort
	}
	return nil
}

// Act returns one act.
func (l *Library) Act(ctx context.Context, id string) (store.Act, error) { return l.store.Act(ctx, id) }

// Acts returns the acts of some kinds (nil: of all) from a time on, the newest
// first, also those that were taken back.
func (l *Library) Acts(ctx context.Context, kinds []string, since time.Time) ([]store.Act, error) {
	return l.store.Acts(ctx, kinds, since)
}

// Undo takes an act back. It fails with annotate.ErrNotFound for one that isn't
// there, with annotate.Problems for one that was taken back before or no longer
// fits; then nothing was changed.
func (l *Library) Undo(ctx context.Context, actID string) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	a, err := l.store.Act(ctx, actID)
	if err != nil {
		return err
	}
	undo := undoing(a.Kind)
	if undo == nil {
		return refused("This can't be taken back: the program doesn't know what it was.", "Start the newest afterwalk.")
	}
	err = undo(l, ctx, a)
	if errors.Is(err, store.ErrUndone) {
		return refused("This has been taken back already. Nothing was changed.", "Reload the page to see how things stand.")
	}
	return err
}

// refused is the error of something that can't be done as things stand.
func refused(message, hint string) error {
	return annotate.Problems{{Field: "act", Message: message, Hint: hint}}
}
