package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"afterwalk/annotate"
)

// The facts of a library.
const (
	FactID   = "id"   // its own id, for good
	FactAddr = "addr" // address it was last served at
)

// Fact returns a fact of the library, "" if it isn't set.
func (s *Store) Fact(ctx context.Context, name string) (string, error) {
	var value string
	err := translate(s.read.QueryRowContext(ctx, `SELECT value FROM facts WHERE name = ?`, name).Scan(&value))
	if errors.Is(err, annotate.ErrNotFound) {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("store: fact %s: %w", name, err)
	}
	return value, nil
}

// SetFact sets a fact of the library.
func (s *Store) SetFact(ctx context.Context, name, value string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO facts (name, value) VALUES (?, ?)
			ON CONFLICT (name) DO UPDATE SET value = excluded.value`, name, value)
		return err
	})
	if err != nil {
		return fmt.Errorf("store: set fact %s: %w", name, err)
	}
	return nil
}
