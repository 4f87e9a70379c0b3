package store

import (
	"context"
	"database/sql"
	"fmt"

	"afterwalk/annotate"
)

// AddBook stores a version of the library's own book. It fails with ErrTaken if
// that version is there with other content; a version never changes.
func (s *Store) AddBook(ctx context.Context, b *annotate.Codebook) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		hash, err := s.keepBook(ctx, tx, b)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `UPDATE books SET own = 1 WHERE hash = ?`, hash)
		return err
	})
	if err != nil {
		return fmt.Errorf("store: add version %d of book %q: %w", b.Version, b.ID, err)
	}
	return nil
}

// NewestBook returns the newest version of the library's own book.
func (s *Store) NewestBook(ctx context.Context) (*annotate.Codebook, error) {
	var b *annotate.Codebook
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var hash string
		err := tx.QueryRowContext(ctx, `
			SELECT hash FROM books WHERE own = 1 ORDER BY version DESC, added_at DESC, hash LIMIT 1`).Scan(&hash)
		if err != nil {
			return err
		}
		b, err = s.book(ctx, tx, hash)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("store: newest book: %w", err)
	}
	return b, nil
}

// keepBook stores a book unless it is there, and returns its hash.
func (s *Store) keepBook(ctx context.Context, tx *sql.Tx, b *annotate.Codebook) (hash string, err error) {
	text, hash, err := encodeBook(b)
	if err != nil {
		return "", err
	}
	_, err = tx.ExecContext(ctx, `
		INSERT INTO books (hash, id, version, content, own, added_at) VALUES (?, ?, ?, ?, 0, ?)
		ON CONFLICT (hash) DO NOTHING`, hash, b.ID, b.Version, text, s.now().UnixMicro())
	return hash, err
}

// book returns the book with a hash; the same one each time.
func (s *Store) book(ctx context.Context, tx *sql.Tx, hash string) (*annotate.Codebook, error) {
	if b, ok := s.books.Load(hash); ok {
		return b.(*annotate.Codebook), nil
	}
	var text string
	if err := tx.QueryRowContext(ctx, `SELECT content FROM books WHERE hash = ?`, hash).Scan(&text); err != nil {
		return nil, err
	}
	b, err := decodeBook(text)
	if err != nil {
		return nil, err
	}
	kept, _ := s.books.LoadOrStore(hash, b)
	return kept.(*annotate.Codebook), nil
}
