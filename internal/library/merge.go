package library

import (
	"context"
	"errors"

	"afterwalk/internal/store"
)

// MergeDogs makes two dogs one: the sessions, clips and readings of from become
// into's, and from is gone. It returns the id of the act that takes it back.
func (l *Library) MergeDogs(ctx context.Context, from, into string) (actID string, err error) {
	return "", errors.New("library: merge: not there yet")
}

func (l *Library) undoMerge(ctx context.Context, a store.Act) error {
	return errors.New("library: undo merge: not there yet")
}
