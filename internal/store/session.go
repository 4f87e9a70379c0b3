package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"afterwalk/annotate"
)

// firstClip is when each session began, by its earliest clip with a date that isn't
// in the bin. SQLite takes the other columns from the row that has the minimum.
const firstClip = `
	SELECT c.session_id AS session_id, MIN(f.recorded_at) AS at, f.recorded_zone AS zone
	FROM clips c JOIN footage f ON f.id = c.footage_id
	WHERE f.recorded_at IS NOT NULL AND c.binned_at IS NULL
	GROUP BY c.session_id`

const sessionColumns = `s.id, s.dog_id, s.venue, s.handler, s.plan, s.notes, s.line, s.device, first.at, COALESCE(first.zone, '')`

func scanSession(scan func(...any) error) (Session, error) {
	var v Session
	var at *int64
	var zone string
	err := scan(&v.ID, &v.DogID, &v.Venue, &v.Handler, &v.Plan, &v.Notes, &v.Line, &v.Device, &at, &zone)
	v.StartedAt = inZone(at, zone)
	return v, err
}

// Sessions returns a dog's sessions by date; those without one come last, in the
// order in which they were made.
func (s *Store) Sessions(ctx context.Context, dogID string) ([]Session, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+sessionColumns+`
		FROM live_sessions s LEFT JOIN (`+firstClip+`) first ON first.session_id = s.id
		WHERE s.dog_id = ?
		ORDER BY first.at IS NULL, first.at, s.created_at, s.id`, dogID)
	list, err := collect(rows, err, func(rows *sql.Rows) (Session, error) { return scanSession(rows.Scan) })
	if err != nil {
		return nil, fmt.Errorf("store: sessions of dog %s: %w", dogID, translate(err))
	}
	return list, nil
}

// Session returns one session.
func (s *Store) Session(ctx context.Context, id string) (Session, error) {
	v, err := scanSession(s.read.QueryRowContext(ctx, `
		SELECT `+sessionColumns+`
		FROM live_sessions s LEFT JOIN (`+firstClip+`) first ON first.session_id = s.id
		WHERE s.id = ?`, id).Scan)
	if err != nil {
		return Session{}, fmt.Errorf("store: session %s: %w", id, translate(err))
	}
	return v, nil
}

// SetSession sets a session's venue, handler, plan, notes, line and device.
func (s *Store) SetSession(ctx context.Context, v Session) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return one(tx.ExecContext(ctx, `
			UPDATE sessions SET venue = ?, handler = ?, plan = ?, notes = ?, line = ?, device = ?
			WHERE id = ? AND id IN (SELECT id FROM live_sessions)`,
			v.Venue, v.Handler, v.Plan, v.Notes, v.Line, v.Device, v.ID))
	})
	if err != nil {
		return fmt.Errorf("store: set session %s: %w", v.ID, err)
	}
	return nil
}

// SessionExtent is the time from the start of a session's first clip to the end
// of its last one.
type SessionExtent struct {
	ID         string
	Start, End time.Time
}

// SessionExtents returns the extents of a dog's sessions that have a date, by
// start.
func (s *Store) SessionExtents(ctx context.Context, dogID string) ([]SessionExtent, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT c.session_id, MIN(f.recorded_at), MAX(f.recorded_at + MAX(f.duration_us - f.start_us, 0))
		FROM live_clips c JOIN footage f ON f.id = c.footage_id
		WHERE c.dog_id = ? AND f.recorded_at IS NOT NULL
		GROUP BY c.session_id
		ORDER BY 2, 1`, dogID)
	list, err := collect(rows, err, func(rows *sql.Rows) (SessionExtent, error) {
		var v SessionExtent
		var start, end int64
		err := rows.Scan(&v.ID, &start, &end)
		v.Start, v.End = time.UnixMicro(start), time.UnixMicro(end)
		return v, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: extents of sessions of dog %s: %w", dogID, translate(err))
	}
	return list, nil
}

// Length returns how long the picture of footage runs.
func (f Footage) Length() annotate.Micros { return max(0, f.Duration-f.Start) }

func (s *Store) insertSession(ctx context.Context, tx *sql.Tx, v Session) error {
	_, err := tx.ExecContext(ctx, `
		INSERT INTO sessions (id, dog_id, venue, handler, plan, notes, line, device, created_at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		v.ID, v.DogID, v.Venue, v.Handler, v.Plan, v.Notes, v.Line, v.Device, s.now().UnixMicro())
	return err
}
