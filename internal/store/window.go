package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"afterwalk/annotate"
)

// Outside says that a clip's window would leave out what was coded.
type Outside struct {
	ClipID, Reader string          // whose reading it is
	Window         annotate.Span   // that was asked for
	Events         int             // how many of that reading's events lie outside, in part or whole
	First          annotate.Micros // where the first of them starts
}

// Error says so.
func (e *Outside) Error() string {
	return fmt.Sprintf("%d events of %q lie outside the window %v of clip %s", e.Events, e.Reader, e.Window, e.ClipID)
}

// SetWindow says where the dog is in a clip, nil for in all of it. Readings that
// nobody has coded in begin there from now on. It fails with *Outside where
// something coded would be left out.
func (s *Store) SetWindow(ctx context.Context, clipID string, w *annotate.Span) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error { return setWindow(ctx, tx, clipID, w) })
	if err != nil {
		return fmt.Errorf("store: window of clip %s: %w", clipID, err)
	}
	return nil
}

func setWindow(ctx context.Context, tx *sql.Tx, clipID string, w *annotate.Span) error {
	err := one(tx.ExecContext(ctx, `UPDATE clips SET window_start_us = ?, window_end_us = ? WHERE id = ?`, startOf(w), endOf(w), clipID))
	if err != nil {
		return err
	}
	return windowFits(ctx, tx, clipID)
}

// windowFits fails with *Outside where a clip's window leaves out what was coded
// in it, and otherwise moves the untouched readings to where it begins.
func windowFits(ctx context.Context, tx *sql.Tx, clipID string) error {
	var start, end *annotate.Micros
	if err := tx.QueryRowContext(ctx, `SELECT window_start_us, window_end_us FROM clips WHERE id = ?`, clipID).Scan(&start, &end); err != nil {
		return err
	}
	if w := windowOf(start, end); w != nil {
		e := &Outside{ClipID: clipID, Window: *w}
		err := tx.QueryRowContext(ctx, `
			SELECT r.reader, COUNT(*), MIN(e.start_us)
			FROM live_readings r JOIN events e ON e.reading_id = r.id
			WHERE r.clip_id = ? AND (e.start_us < ? OR COALESCE(e.end_us, e.start_us) > ?)
			GROUP BY r.id ORDER BY r.id LIMIT 1`, clipID, w.Start, w.End).Scan(&e.Reader, &e.Events, &e.First)
		if err == nil {
			return e
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
	}
	return moveFirstWindow(ctx, tx, clipID)
}

// moveFirstWindow sets the window of a clip's readings that are untouched, where
// the frames of its footage are known.
func moveFirstWindow(ctx context.Context, tx *sql.Tx, clipID string) error {
	const untouched = `SELECT id FROM readings WHERE clip_id = ? AND revision = 0`
	var packed []byte
	var start, end *annotate.Micros
	err := tx.QueryRowContext(ctx, `
		SELECT t.packed, c.window_start_us, c.window_end_us
		FROM clips c JOIN footage f ON f.id = c.footage_id JOIN frame_tables t ON t.footage_id = f.id
		WHERE c.id = ? AND f.frames = 'ready' AND EXISTS (`+untouched+`)`, clipID, clipID).Scan(&packed, &start, &end)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	t, err := unpack(packed)
	if err != nil {
		return err
	}
	w := t.FirstWindow(windowOf(start, end))
	if _, err := tx.ExecContext(ctx, `
		UPDATE beginnings SET payload = json_set(payload, '$.window.start_us', ?, '$.window.end_us', ?)
		WHERE reading_id IN (`+untouched+`)`, w.Start, w.End, clipID); err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `
		UPDATE readings SET window_start_us = ?, window_end_us = ?
		WHERE id IN (`+untouched+`)`, w.Start, w.End, clipID)
	return err
}

// moveFirstWindows is moveFirstWindow for all clips of footage.
func moveFirstWindows(ctx context.Context, tx *sql.Tx, footageID string) error {
	rows, err := tx.QueryContext(ctx, `SELECT id FROM clips WHERE footage_id = ?`, footageID)
	ids, err := collect(rows, err, func(rows *sql.Rows) (id string, err error) { return id, rows.Scan(&id) })
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := moveFirstWindow(ctx, tx, id); err != nil {
			return err
		}
	}
	return nil
}
