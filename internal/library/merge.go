package library

import (
	"context"
	"errors"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// MergeDogs makes two dogs one: the sessions, clips and readings of from become
// into's, and from is gone. It returns the id of the act that takes it back.
//
// Sessions stay apart, also those that overlap in time. A film of which both have a
// clip is one clip afterwards, with the readings of both. Into keeps its name, side
// and notes, below which from's are added; where both have a ceiling for a scale,
// or a limit of collar time, the lower one counts, and devices that into lacks are
// added. It fails with annotate.ErrNotFound for a dog that isn't there, with
// annotate.Problems for one dog twice.
func (l *Library) MergeDogs(ctx context.Context, from, into string) (actID string, err error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	if from == into {
		return "", annotate.Problems{{Field: "into", Message: "A dog can't be merged with itself.", Hint: "Choose another one."}}
	}
	l.adding.Lock() // clips may be coming in for one of the two
	defer l.adding.Unlock()
	l.facts.Lock()
	defer l.facts.Unlock()
	gone, err := l.store.Dog(ctx, from)
	if err != nil {
		return "", err
	}
	stays, err := l.store.Dog(ctx, into)
	if err != nil {
		return "", err
	}
	a := store.Act{ID: newID(), Kind: ActMerge, Title: fmt.Sprintf("%s was merged into %s.", gone.Name, stays.Name)}
	if err := l.store.Merge(ctx, a, from, into); err != nil {
		return "", err
	}
	return a.ID, l.refreshDog(ctx, into)
}

// undoMerge makes two dogs again of one.
func (l *Library) undoMerge(ctx context.Context, a store.Act) error {
	l.adding.Lock()
	defer l.adding.Unlock()
	l.facts.Lock()
	defer l.facts.Unlock()
	dogs, err := l.store.UndoMerge(ctx, a)
	switch {
	case errors.Is(err, store.ErrTaken):
		return refused("Another dog has the name by now. Nothing was changed.", "Give that one another name, then take the merging back.")
	case errors.Is(err, store.ErrChanged):
		return refused("The dog was merged on since, or clips of it were sorted anew. Nothing was changed.", "Take back what was done last first.")
	case errors.Is(err, annotate.ErrNotFound):
		return refused("The dog that the other became part of isn't there any more, or lies in the bin. Nothing was changed.", "Put it back from the bin first.")
	case err != nil:
		return err
	}
	for _, id := range dogs {
		if err := l.refreshDog(ctx, id); err != nil {
			return err
		}
	}
	return nil
}
