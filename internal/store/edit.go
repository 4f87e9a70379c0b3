package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// editStatements are the statements of an edit, ready on the one connection that
// writes.
type editStatements struct{ journal, put, remove, reading *sql.Stmt }

func prepareEdits(ctx context.Context, db *sql.DB) (*editStatements, error) {
	var e editStatements
	for _, s := range []struct {
		to   **sql.Stmt
		text string
	}{
		{&e.journal, `
			INSERT INTO journal (reading_id, revision, edit_id, at, version, payload) VALUES (?, ?, ?, ?, ?, ?)`},
		{&e.put, putEvent},
		{&e.remove, `
			DELETE FROM events WHERE reading_id = ? AND id = ?`},
		{&e.reading, `
			UPDATE readings
			SET revision = ?, window_start_us = ?, window_end_us = ?, chosen = ?, coded = ?,
			    finished_at = CASE WHEN ? THEN COALESCE(finished_at, ?) END, updated_at = ?
			WHERE id = ? AND revision = ?`},
	} {
		stmt, err := db.PrepareContext(ctx, s.text)
		if err != nil {
			return nil, errors.Join(err, e.close())
		}
		*s.to = stmt
	}
	return &e, nil
}

func (e *editStatements) close() error {
	var errs []error
	for _, s := range []*sql.Stmt{e.journal, e.put, e.remove, e.reading} {
		if s != nil {
			errs = append(errs, s.Close())
		}
	}
	return errors.Join(errs...)
}

// Append writes one edit of a reading: its row of the journal, the events it
// changed and the reading's facts, in one transaction that is on the disk when
// Append returns. after is the reading with the edit applied.
//
// It fails with ErrTaken if the library has an edit of that id already, with
// annotate.ErrConflict if the stored reading isn't at the revision before.
func (s *Store) Append(ctx context.Context, after *annotate.Reading, row annotate.Applied) error {
	if err := s.append(ctx, after, row); err != nil {
		return fmt.Errorf("store: append edit %s to reading %s: %w", row.Edit, after.ID, err)
	}
	return nil
}

func (s *Store) append(ctx context.Context, after *annotate.Reading, row annotate.Applied) error {
	payload, err := encodeApplied(row)
	if err != nil {
		return err
	}
	coded, err := encodeCoded(after.Coded)
	if err != nil {
		return err
	}
	return s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		at := s.now().UnixMicro()
		if _, err := tx.StmtContext(ctx, s.edits.journal).ExecContext(ctx, after.ID, row.Revision, row.Edit, at, wire.AppliedVersion, payload); err != nil {
			return err
		}
		for _, c := range row.Changes {
			if c.After == nil {
				if _, err := tx.StmtContext(ctx, s.edits.remove).ExecContext(ctx, after.ID, c.ID); err != nil {
					return err
				}
				continue
			}
			values, err := eventValues(after.ID, c.After)
			if err != nil {
				return err
			}
			if _, err := tx.StmtContext(ctx, s.edits.put).ExecContext(ctx, values...); err != nil {
				return err
			}
		}
		err := one(tx.StmtContext(ctx, s.edits.reading).ExecContext(ctx, row.Revision, int64(after.Window.Start), int64(after.Window.End),
			after.Chosen, coded, after.Finished, at, at, after.ID, row.Revision-1))
		if errors.Is(err, annotate.ErrNotFound) {
			return annotate.ErrConflict
		}
		if err != nil || row.FactsAfter == nil || row.FactsAfter.Book == nil {
			return err
		}
		hash, err := s.keepBook(ctx, tx, after.Book)
		if err != nil {
			return err
		}
		return one(tx.ExecContext(ctx, `UPDATE readings SET book = ? WHERE id = ?`, hash, after.ID))
	})
}
