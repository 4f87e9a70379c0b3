package library

import (
	"context"
	"fmt"

	"afterwalk/annotate"
)

// HiddenBy returns the outermost thing in the bin that hides a dog, session, clip
// or reading (kind as for [Library.Bin]): itself or what it lies in. It fails with
// annotate.ErrNotFound for what isn't hidden or isn't there.
func (l *Library) HiddenBy(ctx context.Context, kind, id string) (Binned, error) {
	byKind, byID, err := l.store.HiddenBy(ctx, kind, id)
	if err != nil {
		return Binned{}, err
	}
	list, err := l.BinContents(ctx)
	if err != nil {
		return Binned{}, err
	}
	for _, b := range list {
		if b.Kind == byKind && b.ID == byID {
			return b, nil
		}
	}
	return Binned{}, fmt.Errorf("library: %s %s in the bin: %w", byKind, byID, annotate.ErrNotFound)
}
