package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"afterwalk/annotate"
)

// BookVersion is a version of the library's own book with what a list of versions
// shows.
type BookVersion struct {
	Book     *annotate.Codebook // not to be changed
	AddedAt  time.Time
	Readings int // that use it, those in the bin left out
}

// Books returns the versions of the library's own book, the newest first.
func (s *Store) Books(ctx context.Context) ([]BookVersion, error) {
	var list []BookVersion
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) error {
		rows, err := tx.QueryContext(ctx, `
			SELECT b.hash, b.added_at, (SELECT COUNT(*) FROM live_readings r WHERE r.book = b.hash)
			FROM books b WHERE b.own = 1 ORDER BY b.version DESC, b.added_at DESC, b.hash`)
		type row struct {
			hash  string
			added int64
			v     BookVersion
		}
		found, err := collect(rows, err, func(rows *sql.Rows) (row, error) {
			var r row
			err := rows.Scan(&r.hash, &r.added, &r.v.Readings)
			return r, err
		})
		if err != nil {
			return err
		}
		for _, r := range found {
			r.v.AddedAt = time.UnixMicro(r.added)
			if r.v.Book, err = s.book(ctx, tx, r.hash); err != nil {
				return err
			}
			list = append(list, r.v)
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("store: books: %w", translate(err))
	}
	return list, nil
}

// Book returns a version of the library's own book.
func (s *Store) Book(ctx context.Context, version int) (*annotate.Codebook, error) {
	var b *annotate.Codebook
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var hash string
		err := tx.QueryRowContext(ctx, `
			SELECT hash FROM books WHERE own = 1 AND version = ? ORDER BY added_at DESC, hash LIMIT 1`, version).Scan(&hash)
		if err != nil {
			return err
		}
		b, err = s.book(ctx, tx, hash)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("store: version %d of the book: %w", version, err)
	}
	return b, nil
}

// ForeignBooks returns how many readings use a book that came with their file,
// those in the bin left out.
func (s *Store) ForeignBooks(ctx context.Context) (readings int, err error) {
	err = s.read.QueryRowContext(ctx, `
		SELECT COUNT(*) FROM live_readings r JOIN books b ON b.hash = r.book WHERE b.own = 0`).Scan(&readings)
	if err != nil {
		return 0, fmt.Errorf("store: readings with books of their own: %w", translate(err))
	}
	return readings, nil
}

// CodeUse is how often a code was used.
type CodeUse struct{ Events, Readings int }

// CodeUses returns by code how many events of how many readings carry it, readings
// in the bin and readings of books that came with their file left out.
func (s *Store) CodeUses(ctx context.Context) (map[string]CodeUse, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT e.code, COUNT(*), COUNT(DISTINCT e.reading_id)
		FROM events e JOIN live_readings r ON r.id = e.reading_id JOIN books b ON b.hash = r.book
		WHERE b.own = 1 GROUP BY e.code`)
	uses := map[string]CodeUse{}
	_, err = collect(rows, err, func(rows *sql.Rows) (struct{}, error) {
		var code string
		var u CodeUse
		err := rows.Scan(&code, &u.Events, &u.Readings)
		uses[code] = u
		return struct{}{}, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: uses of codes: %w", translate(err))
	}
	return uses, nil
}
