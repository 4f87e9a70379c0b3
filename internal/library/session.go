package library

import (
	"context"
	"path"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// Dogs returns all dogs by name, but those in the bin. So it is with whatever
// follows: what lies in the bin, or below something in it, isn't there.
func (l *Library) Dogs(ctx context.Context) ([]store.DogSummary, error) { return l.store.Dogs(ctx) }

// Dog returns one dog.
func (l *Library) Dog(ctx context.Context, id string) (store.Dog, error) { return l.store.Dog(ctx, id) }

// Sessions returns a dog's sessions by date, those without one last.
func (l *Library) Sessions(ctx context.Context, dogID string) ([]store.Session, error) {
	return l.store.Sessions(ctx, dogID)
}

// Session returns one session.
func (l *Library) Session(ctx context.Context, id string) (store.Session, error) {
	return l.store.Session(ctx, id)
}

// SetSession sets a session's venue, handler, plan, notes, line and device.
func (l *Library) SetSession(ctx context.Context, s store.Session) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	l.facts.Lock()
	defer l.facts.Unlock()
	if err := l.store.SetSession(ctx, s); err != nil {
		return err
	}
	ids, err := l.store.ReadingsOf(ctx, "", s.ID)
	if err != nil {
		return err
	}
	return l.refresh(ctx, ids)
}

// Clips returns a session's clips: by recording time, those without one last,
// then by name.
func (l *Library) Clips(ctx context.Context, sessionID string) ([]store.Clip, error) {
	return l.store.Clips(ctx, sessionID)
}

// Clip returns one clip.
func (l *Library) Clip(ctx context.Context, id string) (store.Clip, error) {
	return l.store.Clip(ctx, id)
}

// nameOf returns the name of footage's file.
func nameOf(f store.Footage) string { return path.Base(f.Path) }

// Frames returns a clip's frame table, or the state it is in.
func (l *Library) Frames(ctx context.Context, clipID string) (media.FrameTable, store.FrameState, error) {
	t, state, err := l.store.Frames(ctx, clipID)
	return media.FrameTable(t), state, err
}

// Counting returns, for each session of a dog in order of date, the readings
// that count: one for each clip, the agreed one, else the first finished. What
// lies in the bin doesn't count.
func (l *Library) Counting(ctx context.Context, dogID string) ([]Counted, error) {
	l.facts.RLock() // so that all readings say the same of the dog
	defer l.facts.RUnlock()
	sessions, err := l.store.Sessions(ctx, dogID)
	if err != nil {
		return nil, err
	}
	list := make([]Counted, 0, len(sessions))
	for _, s := range sessions {
		c := Counted{Session: s}
		if c.Clips, err = l.store.Clips(ctx, s.ID); err != nil {
			return nil, err
		}
		for _, clip := range c.Clips {
			r, err := l.counts(ctx, clip.ID)
			if err != nil {
				return nil, err
			}
			c.Readings = append(c.Readings, r)
		}
		list = append(list, c)
	}
	return list, nil
}

// counts returns the reading of a clip that counts, nil if none does.
func (l *Library) counts(ctx context.Context, clipID string) (*annotate.Reading, error) {
	readings, err := l.store.Readings(ctx, clipID)
	if err != nil {
		return nil, err
	}
	id := CountingOf(readings)
	if id == "" {
		return nil, nil
	}
	return l.light(ctx, id)
}

// CountingOf returns the id of the reading that counts of those of a clip, given
// in the order of [Library.Readings]: the agreed one, else the first finished; ""
// if none does.
func CountingOf(readings []store.ReadingSummary) string {
	id := ""
	for _, r := range readings {
		if r.Agreed {
			return r.ID
		}
		if r.Finished && id == "" {
			id = r.ID
		}
	}
	return id
}

// Counted is a session with the readings of its clips that count.
type Counted struct {
	Session  store.Session
	Clips    []store.Clip
	Readings []*annotate.Reading // by clip; nil where none counts yet
}
