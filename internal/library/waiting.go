package library

import (
	"context"

	"afterwalk/internal/store"
)

// Waiting is what waits to be done for a dog.
type Waiting = store.Waiting

// Waiting returns what waits for each dog, by its id; a dog without clips is left
// out.
func (l *Library) Waiting(ctx context.Context) (map[string]Waiting, error) {
	return l.store.Waiting(ctx)
}
