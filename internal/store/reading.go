package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"afterwalk/annotate"
)

// Readings returns a clip's readings: the finished ones first, in the order in
// which they were finished, then the others as they were made.
func (s *Store) Readings(ctx context.Context, clipID string) ([]ReadingSummary, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT r.id, r.clip_id, r.reader, b.id, b.version, r.window_start_us, r.window_end_us,
		       r.finished_at IS NOT NULL, r.agreed, r.revision,
		       (SELECT COUNT(*) FROM events WHERE reading_id = r.id), r.updated_at
		FROM live_readings r JOIN books b ON b.hash = r.book
		WHERE r.clip_id = ?
		ORDER BY r.finished_at IS NULL, r.finished_at, r.created_at, r.id`, clipID)
	list, err := collect(rows, err, func(rows *sql.Rows) (ReadingSummary, error) {
		var v ReadingSummary
		var updated int64
		err := rows.Scan(&v.ID, &v.ClipID, &v.Reader, &v.BookID, &v.BookVersion, &v.Window.Start, &v.Window.End,
			&v.Finished, &v.Agreed, &v.Revision, &v.Events, &updated)
		v.UpdatedAt = time.UnixMicro(updated)
		return v, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: readings of clip %s: %w", clipID, translate(err))
	}
	return list, nil
}

// ReadingClip returns the id of the clip that a reading codes.
func (s *Store) ReadingClip(ctx context.Context, id string) (string, error) {
	var clip string
	if err := s.read.QueryRowContext(ctx, `SELECT clip_id FROM live_readings WHERE id = ?`, id).Scan(&clip); err != nil {
		return "", fmt.Errorf("store: clip of reading %s: %w", id, translate(err))
	}
	return clip, nil
}

// ReadingsOf returns the ids of the readings of all clips that a footage or a
// session has, but those in the bin; either id may be "".
func (s *Store) ReadingsOf(ctx context.Context, footageID, sessionID string) ([]string, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT r.id FROM live_readings r JOIN clips c ON c.id = r.clip_id
		WHERE c.footage_id = ? OR c.session_id = ?`, footageID, sessionID)
	list, err := collect(rows, err, func(rows *sql.Rows) (string, error) {
		var id string
		err := rows.Scan(&id)
		return id, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: readings of footage %q or session %q: %w", footageID, sessionID, translate(err))
	}
	return list, nil
}

// AddReading stores a new reading of a clip as it is, at its revision and with
// its events; its journal begins after that. Handler, venue and side stay empty
// where they are to follow session and dog. It fails with ErrTaken if there is a
// reading of that id.
func (s *Store) AddReading(ctx context.Context, clipID string, r *annotate.Reading) error {
	if err := s.addReading(ctx, clipID, r); err != nil {
		return fmt.Errorf("store: add reading %s: %w", r.ID, err)
	}
	return nil
}

func (s *Store) addReading(ctx context.Context, clipID string, r *annotate.Reading) error {
	coded, err := encodeCoded(r.Coded)
	if err != nil {
		return err
	}
	extra, err := encodeReadingExtra(r)
	if err != nil {
		return err
	}
	return s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		hash, err := s.keepBook(ctx, tx, r.Book)
		if err != nil {
			return err
		}
		now := s.now().UnixMicro()
		var finished *int64
		if r.Finished {
			finished = &now
		}
		if _, err := tx.ExecContext(ctx, `
			INSERT INTO readings (id, clip_id, reader, handler, venue, side, mirrored, window_start_us, window_end_us,
				chosen, coded, finished_at, agreed, book, revision, extra, created_at, updated_at)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0, ?, ?, ?, ?, ?)`,
			r.ID, clipID, r.Reader, r.Handler, r.Venue, r.Side, r.Mirrored, r.Window.Start, r.Window.End,
			r.Chosen, coded, finished, hash, r.Revision, extra, now, now); err != nil {
			return err
		}
		for i := range r.Events {
			values, err := eventValues(r.ID, &r.Events[i])
			if err != nil {
				return err
			}
			if _, err := tx.StmtContext(ctx, s.edits.put).ExecContext(ctx, values...); err != nil {
				return err
			}
		}
		return addBeginning(ctx, tx, r, hash)
	})
}

// Reading returns a reading as it is now, with its history. Its events and facts
// are compared with what the journal leads to; where they differ it fails with
// ErrDamaged, since an edit on top would hide that. It fails with ErrBinned for one
// that lies in the bin.
func (s *Store) Reading(ctx context.Context, id string) (*annotate.Reading, error) {
	var r *annotate.Reading
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := live(ctx, tx, id); err != nil {
			return err
		}
		l, err := s.load(ctx, tx, id)
		if err != nil {
			return err
		}
		if wrong := l.differences(); len(wrong) > 0 {
			return fmt.Errorf("%w (%s)", ErrDamaged, strings.Join(wrong, "; "))
		}
		r = l.now
		r.History = annotate.NewHistory(l.rows)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("store: reading %s: %w", id, err)
	}
	return r, nil
}

// ReadingNow returns a reading as it is now without its history, which is much
// quicker: for measuring, not for editing.
func (s *Store) ReadingNow(ctx context.Context, id string) (*annotate.Reading, error) {
	var r *annotate.Reading
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		if err := live(ctx, tx, id); err != nil {
			return err
		}
		r, _, err = s.current(ctx, tx, id)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("store: reading %s as it is now: %w", id, err)
	}
	return r, nil
}

// live fails with ErrBinned for a reading that lies in the bin, by itself or below
// something else.
func live(ctx context.Context, tx *sql.Tx, readingID string) error {
	var is bool
	err := tx.QueryRowContext(ctx, `
		SELECT EXISTS (SELECT 1 FROM live_readings WHERE id = r.id) FROM readings r WHERE r.id = ?`, readingID).Scan(&is)
	if err == nil && !is {
		err = ErrBinned
	}
	return err
}

// current reads a reading's row, its events, and what it needs to know of its
// clip, session and dog. It also returns the hash of its book.
func (s *Store) current(ctx context.Context, tx *sql.Tx, id string) (r *annotate.Reading, hash string, err error) {
	r = &annotate.Reading{ID: id}
	var coded *string
	var extra, ceilings, zone, sessionHandler, sessionVenue, dogSide string
	var recorded *int64
	err = tx.QueryRowContext(ctx, `
		SELECT r.reader, r.handler, r.venue, r.side, r.mirrored, r.window_start_us, r.window_end_us, r.chosen, r.coded,
		       r.finished_at IS NOT NULL, r.book, r.revision, r.extra,
		       f.name, f.fingerprint, f.duration_us, f.recorded_at, f.recorded_zone,
		       v.handler, v.venue, d.name, d.side, d.ceilings, d.wear_limit_s
		FROM readings r
		JOIN clips c ON c.id = r.clip_id
		JOIN footage f ON f.id = c.footage_id
		JOIN sessions v ON v.id = c.session_id
		JOIN dogs d ON d.id = c.dog_id
		WHERE r.id = ?`, id).Scan(
		&r.Reader, &r.Handler, &r.Venue, &r.Side, &r.Mirrored, &r.Window.Start, &r.Window.End, &r.Chosen, &coded,
		&r.Finished, &hash, &r.Revision, &extra,
		&r.Clip.File, &r.Clip.Fingerprint, &r.Clip.Duration, &recorded, &zone,
		&sessionHandler, &sessionVenue, &r.Dog.Name, &dogSide, &ceilings, &r.Dog.WearLimitS)
	if err != nil {
		return nil, "", err
	}
	r.Clip.RecordedAt = inZone(recorded, zone)
	for _, f := range []struct {
		own       *string
		otherwise string
	}{{&r.Handler, sessionHandler}, {&r.Venue, sessionVenue}, {&r.Side, dogSide}} {
		if *f.own == "" {
			*f.own = f.otherwise
		}
	}
	if err := json.Unmarshal([]byte(ceilings), &r.Dog.Ceilings); err != nil {
		return nil, "", err
	}
	if err := decodeReadingExtra(extra, r); err != nil {
		return nil, "", err
	}
	if coded != nil {
		if err := json.Unmarshal([]byte(*coded), &r.Coded); err != nil {
			return nil, "", err
		}
	}
	if r.Book, err = s.book(ctx, tx, hash); err != nil {
		return nil, "", err
	}
	if r.Events, err = events(ctx, tx, id); err != nil {
		return nil, "", err
	}
	r.Clip.Duration = lastOf(r)
	return r, hash, nil
}

// lastOf returns the end of a reading's clip. What was coded while the container
// alone had told the clip's length may reach beyond the frame table's end; the
// clip then counts as that long, so that nothing coded lies outside it.
func lastOf(r *annotate.Reading) annotate.Micros {
	end := max(r.Clip.Duration, r.Window.End)
	for i := range r.Events {
		end = max(end, r.Events[i].Start, r.Events[i].End)
	}
	return end
}
