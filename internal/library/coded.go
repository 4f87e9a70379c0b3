package library

import (
	"context"
	"iter"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Coded is a reading with where it belongs.
type Coded struct {
	Session store.Session
	Clip    store.Clip
	Reading *annotate.Reading
	Counts  bool // measures across clips use this one
}

// CodedOf yields all readings of a dog, or of one session if sessionID is not "",
// in order of session, clip and reading. Each is loaded when it is asked for, so
// that a long record needs no more memory than a short one. After an error nothing
// follows.
func (l *Library) CodedOf(ctx context.Context, dogID, sessionID string) iter.Seq2[Coded, error] {
	return func(yield func(Coded, error) bool) {
		sessions, err := l.codedSessions(ctx, dogID, sessionID)
		if err != nil {
			yield(Coded{}, err)
			return
		}
		for _, s := range sessions {
			clips, err := l.store.Clips(ctx, s.ID)
			if err != nil {
				yield(Coded{}, err)
				return
			}
			for _, clip := range clips {
				if !l.yieldClip(ctx, s, clip, yield) {
					return
				}
			}
		}
	}
}

func (l *Library) codedSessions(ctx context.Context, dogID, sessionID string) ([]store.Session, error) {
	if sessionID != "" {
		s, err := l.store.Session(ctx, sessionID)
		return []store.Session{s}, err
	}
	if _, err := l.store.Dog(ctx, dogID); err != nil {
		return nil, err
	}
	return l.store.Sessions(ctx, dogID)
}

// yieldClip yields the readings of one clip; false where nothing may follow.
func (l *Library) yieldClip(ctx context.Context, s store.Session, clip store.Clip, yield func(Coded, error) bool) bool {
	readings, err := l.store.Readings(ctx, clip.ID)
	if err != nil {
		yield(Coded{}, err)
		return false
	}
	counts := CountingOf(readings)
	for _, summary := range readings {
		r, err := l.light(ctx, summary.ID)
		if err != nil {
			yield(Coded{}, err)
			return false
		}
		if !yield(Coded{Session: s, Clip: clip, Reading: r, Counts: summary.ID == counts}, nil) {
			return false
		}
	}
	return true
}
