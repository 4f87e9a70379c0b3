package store

import (
	"context"
	"database/sql"
	"fmt"

	"afterwalk/annotate"
)

// placed is all clips outside the bin with their places: within a session by recording time,
// those without one last, then by name.
const placed = `
	SELECT c.id, c.session_id, c.dog_id, c.footage_id, c.window_start_us, c.window_end_us,
	       ROW_NUMBER() OVER (PARTITION BY c.session_id ORDER BY f.recorded_at IS NULL, f.recorded_at, f.name, f.path, c.id) - 1 AS position
	FROM live_clips c JOIN footage f ON f.id = c.footage_id`

// clips queries clips of the sessions that a condition on c picks, and of those
// the ones that a condition on p (placed) and f (footage) picks.
func (s *Store) clips(ctx context.Context, sessions, which string, args ...any) ([]Clip, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT p.id, p.session_id, p.dog_id, p.position, p.window_start_us, p.window_end_us, `+footageColumns+`
		FROM (`+placed+` WHERE c.session_id IN (`+sessions+`)) p
		JOIN footage f ON f.id = p.footage_id
		WHERE `+which+`
		ORDER BY p.session_id, p.position`, args...)
	list, err := collect(rows, err, func(rows *sql.Rows) (Clip, error) {
		var c Clip
		var start, end *annotate.Micros
		f, err := scanFootage(rows.Scan, &c.ID, &c.SessionID, &c.DogID, &c.Position, &start, &end)
		c.Footage = f
		if start != nil && end != nil {
			c.Window = &annotate.Span{Start: *start, End: *end}
		}
		return c, err
	})
	return list, translate(err)
}

// Clips returns a session's clips in order.
func (s *Store) Clips(ctx context.Context, sessionID string) ([]Clip, error) {
	list, err := s.clips(ctx, `?`, `TRUE`, sessionID)
	if err != nil {
		return nil, fmt.Errorf("store: clips of session %s: %w", sessionID, err)
	}
	return list, nil
}

// Clip returns one clip.
func (s *Store) Clip(ctx context.Context, id string) (Clip, error) {
	list, err := s.clips(ctx, `SELECT session_id FROM clips WHERE id = ?`, `p.id = ?`, id, id)
	if err == nil && len(list) == 0 {
		err = sql.ErrNoRows
	}
	if err != nil {
		return Clip{}, fmt.Errorf("store: clip %s: %w", id, translate(err))
	}
	return list[0], nil
}

// ClipsOf returns the clips, of all dogs, whose footage has a fingerprint.
func (s *Store) ClipsOf(ctx context.Context, fingerprint string) ([]Clip, error) {
	list, err := s.clips(ctx, `
		SELECT c.session_id FROM live_clips c JOIN footage f ON f.id = c.footage_id WHERE f.fingerprint = ?`,
		`f.fingerprint = ?`, fingerprint, fingerprint)
	if err != nil {
		return nil, fmt.Errorf("store: clips of footage %s: %w", fingerprint, err)
	}
	return list, nil
}

// ClipsNamed returns the clips, of all dogs, whose file has a name.
func (s *Store) ClipsNamed(ctx context.Context, name string) ([]Clip, error) {
	list, err := s.clips(ctx, `
		SELECT c.session_id FROM live_clips c JOIN footage f ON f.id = c.footage_id WHERE f.name = ?`,
		`f.name = ?`, name, name)
	if err != nil {
		return nil, fmt.Errorf("store: clips named %q: %w", name, err)
	}
	return list, nil
}

// ClipsWanting returns one clip of each footage whose frame table is wanted, in
// the order of sessions and places.
func (s *Store) ClipsWanting(ctx context.Context) ([]Clip, error) {
	list, err := s.clips(ctx, `
		SELECT c.session_id FROM live_clips c JOIN footage f ON f.id = c.footage_id WHERE f.frames = 'wanted'`,
		`f.frames = 'wanted' AND p.id = (SELECT MIN(id) FROM live_clips WHERE footage_id = f.id)`)
	if err != nil {
		return nil, fmt.Errorf("store: clips wanting frames: %w", err)
	}
	return list, nil
}

// NewClip is a clip to be stored.
type NewClip struct {
	ID, SessionID, FootageID string
	Window                   *annotate.Span // where the dog is in it; nil: in all of it
}

// Addition is what one call of adding brings in.
type Addition struct {
	Dog      Dog // with a new id if NewDog
	NewDog   bool
	Sessions []Session // new ones
	Footage  []Footage // new ones
	Clips    []NewClip
	Back     []NewClip // clips in the bin that come back, into these sessions
	Folders  []string  // known from now on
}

// Add stores an addition whole or not at all.
func (s *Store) Add(ctx context.Context, a Addition) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if a.NewDog {
			if err := s.insertDog(ctx, tx, a.Dog); err != nil {
				return err
			}
		}
		for _, folder := range a.Folders {
			if err := s.insertFolder(ctx, tx, folder); err != nil {
				return err
			}
		}
		for _, v := range a.Sessions {
			if err := s.insertSession(ctx, tx, v); err != nil {
				return err
			}
		}
		for _, f := range a.Footage {
			if err := s.insertFootage(ctx, tx, f); err != nil {
				return err
			}
		}
		for _, c := range a.Clips {
			if _, err := tx.ExecContext(ctx, `
				INSERT INTO clips (id, session_id, dog_id, footage_id, window_start_us, window_end_us, added_at) VALUES (?, ?, ?, ?, ?, ?, ?)`,
				c.ID, c.SessionID, a.Dog.ID, c.FootageID, startOf(c.Window), endOf(c.Window), s.now().UnixMicro()); err != nil {
				return err
			}
		}
		for _, c := range a.Back {
			if err := one(tx.ExecContext(ctx, `UPDATE clips SET binned_at = NULL, session_id = ? WHERE id = ?`, c.SessionID, c.ID)); err != nil {
				return err
			}
			if err := s.outOfBin(ctx, tx, "clip", c.ID); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("store: add clips of %q: %w", a.Dog.Name, err)
	}
	return nil
}

// startOf and endOf return the ends of a span as they are stored, NULL for none.
func startOf(s *annotate.Span) *annotate.Micros {
	if s == nil {
		return nil
	}
	return &s.Start
}

func endOf(s *annotate.Span) *annotate.Micros {
	if s == nil {
		return nil
	}
	return &s.End
}
