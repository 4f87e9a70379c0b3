package library

import (
	"context"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Inbox returns the footage that came in without a dog and isn't put away: by
// recording time, that without one last.
func (l *Library) Inbox(ctx context.Context) ([]store.InboxItem, error) { return l.store.Inbox(ctx) }

// InboxItem returns one footage of the inbox, also one that was put away.
func (l *Library) InboxItem(ctx context.Context, footageID string) (store.InboxItem, error) {
	return l.store.InboxItem(ctx, footageID)
}

// InboxWaiting returns how many clips wait in the inbox to be sorted.
func (l *Library) InboxWaiting(ctx context.Context) (int, error) { return l.store.InboxWaiting(ctx) }

// Choice is what footage of the inbox is to be.
type Choice struct {
	State store.InboxState // sorted: to Dogs; otherwise Dogs is empty
	Dogs  []DogChoice
}

// DogChoice is a dog that footage is a clip of.
type DogChoice struct {
	ID     string         // of a dog that is there, or
	Name   string         // its name; a new name makes a new dog
	Window *annotate.Span // where the dog is in it; nil: in all of it. Windows of two dogs may overlap
}

// Sorting says what one footage is to be.
type Sorting struct {
	FootageID string
	Choice
}
