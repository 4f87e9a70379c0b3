package store

import (
	"context"
	"database/sql"
	"fmt"
)

// ForgetFolder takes a folder out of those known to the library; it fails with
// annotate.ErrNotFound if it isn't one of them. Footage stays where it is.
func (s *Store) ForgetFolder(ctx context.Context, path string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return one(tx.ExecContext(ctx, `DELETE FROM folders WHERE path = ?`, path))
	})
	if err != nil {
		return fmt.Errorf("store: forget folder %s: %w", path, err)
	}
	return nil
}
