package library

import (
	"context"

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

// DayOf returns the day that footage was recorded on, in the zone it was recorded
// in, as 2026-05-09; "" where that isn't known.
func DayOf(f store.Footage) string {
	if f.RecordedAt == nil {
		return ""
	}
	return f.RecordedAt.Format("2006-01-02")
}

// resumeInbox begins what was left to do for footage that is no clip yet.
func (l *Library) resumeInbox(ctx context.Context) error {
	wanting, err := l.store.FootageWanting(ctx)
	if err != nil {
		return err
	}
	for _, f := range wanting {
		l.startFrames(store.Clip{Footage: f})
	}
	items, err := l.store.Inbox(ctx)
	if err != nil {
		return err
	}
	var bare []store.Footage
	for _, i := range items {
		f, err := l.proxyGone(ctx, i.Footage)
		if err != nil {
			return err
		}
		if len(i.Clips) == 0 {
			if err := l.wantProxy(ctx, f, ""); err != nil {
				return err
			}
		}
		if !l.HasStill(f.ID) {
			bare = append(bare, f)
		}
	}
	l.startStills(bare)
	return nil
}
