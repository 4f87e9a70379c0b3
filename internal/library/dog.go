package library

import (
	"context"
	"errors"

	"afterwalk/internal/store"
)

// SetDog sets a dog's name, side, devices, ceilings, wear limit and notes. It
// fails with annotate.Problems for what can't be right, also for the name of
// another dog: then the two may be merged. A new name is an act, which can be
// taken back.
func (l *Library) SetDog(ctx context.Context, d store.Dog) error {
	return errors.New("library: set dog: not there yet")
}

func (l *Library) undoRename(ctx context.Context, a store.Act) error {
	return errors.New("library: undo rename: not there yet")
}
