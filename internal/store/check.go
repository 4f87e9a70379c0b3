package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Checked is what a check found.
type Checked struct {
	Readings, Edits, Events int
	Problems                []string // sentences; none if all is well
}

// Check compares the database with itself, and for each reading its events and
// facts with what its journal leads to. All of it is one state, also while the
// library is in use. What is wrong is reported, not returned as an error.
func (s *Store) Check(ctx context.Context) (Checked, error) {
	var c Checked
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) error {
		for _, part := range []func(context.Context, *sql.Tx, *Checked) error{checkFile, checkForeign, s.checkBooks, s.checkFrames, s.checkReadings, checkTyped, checkClips, checkActs, checkInbox} {
			if err := translate(part(ctx, tx, &c)); err != nil {
				if ctx.Err() != nil || !errors.Is(err, ErrDamaged) {
					return err
				}
				c.add("%v", err)
			}
		}
		return nil
	})
	if err != nil {
		return c, fmt.Errorf("store: check: %w", err)
	}
	return c, nil
}

func (c *Checked) add(format string, args ...any) {
	c.Problems = append(c.Problems, fmt.Sprintf(format, args...))
}

func texts(ctx context.Context, tx *sql.Tx, query string, args ...any) ([]string, error) {
	rows, err := tx.QueryContext(ctx, query, args...)
	return collect(rows, err, func(rows *sql.Rows) (string, error) {
		var s string
		err := rows.Scan(&s)
		return s, err
	})
}

// checkFile asks SQLite about its own pages and indices. (CHECK constraints aren't
// among what it looks at: a connection that only reads doesn't know them.)
func checkFile(ctx context.Context, tx *sql.Tx, c *Checked) error {
	lines, err := texts(ctx, tx, `SELECT integrity_check FROM pragma_integrity_check`)
	for _, line := range lines {
		if line != "ok" {
			c.add("The database file: %s.", line)
		}
	}
	return err
}

// checkForeign looks for rows that belong to rows which aren't there.
func checkForeign(ctx context.Context, tx *sql.Tx, c *Checked) error {
	lines, err := texts(ctx, tx, `
		SELECT 'A row of ' || "table" || ' belongs to a row of ' || parent || ' that is not there (' || COUNT(*) || ' times).'
		FROM pragma_foreign_key_check GROUP BY "table", parent`)
	c.Problems = append(c.Problems, lines...)
	return err
}

// checkBooks looks for versions of books that were changed.
func (s *Store) checkBooks(ctx context.Context, tx *sql.Tx, c *Checked) error {
	hashes, err := texts(ctx, tx, `SELECT hash FROM books ORDER BY hash`)
	if err != nil {
		return err
	}
	for _, hash := range hashes {
		var text string
		if err := tx.QueryRowContext(ctx, `SELECT content FROM books WHERE hash = ?`, hash).Scan(&text); err != nil {
			return err
		}
		b, err := decodeBook(text)
		if err != nil {
			c.add("Codebook %s can't be read: %v.", hash, err)
			continue
		}
		if _, is, err := encodeBook(b); err != nil || is != hash {
			c.add("Codebook %q version %d is not what was stored: its content has the hash %s, not %s.", b.ID, b.Version, is, hash)
		}
	}
	return nil
}

// checkFrames looks for frame tables that are missing or can't be read.
func (s *Store) checkFrames(ctx context.Context, tx *sql.Tx, c *Checked) error {
	rows, err := tx.QueryContext(ctx, `
		SELECT f.name, f.duration_us, f.start_us, t.packed FROM footage f LEFT JOIN frame_tables t ON t.footage_id = f.id
		WHERE f.frames = 'ready'`)
	_, err = collect(rows, err, func(rows *sql.Rows) (struct{}, error) {
		var name string
		var duration, start int64
		var packed []byte
		if err := rows.Scan(&name, &duration, &start, &packed); err != nil {
			return struct{}{}, err
		}
		if t, err := unpack(packed); err != nil {
			c.add("The frame table of %s: %v.", name, err)
		} else if int64(t.End) != duration || int64(t.PTS[0]) != start {
			c.add("The frame table of %s runs from %d to %d µs, but its clip from %d to %d µs.", name, t.PTS[0], t.End, start, duration)
		}
		return struct{}{}, nil
	})
	return err
}

// checkReadings follows each journal.
func (s *Store) checkReadings(ctx context.Context, tx *sql.Tx, c *Checked) error {
	ids, err := texts(ctx, tx, `SELECT id FROM readings ORDER BY id`)
	if err != nil {
		return err
	}
	for _, id := range ids {
		c.Readings++
		l, err := s.load(ctx, tx, id)
		if err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			c.add("Reading %s can't be read: %v.", id, translate(err))
			continue
		}
		c.Edits += len(l.rows)
		c.Events += len(l.now.Events)
		for _, wrong := range l.differences() {
			c.add("Reading %s (%s, %s): %s.", id, l.now.Reader, l.now.Clip.File, wrong)
		}
	}
	return nil
}
