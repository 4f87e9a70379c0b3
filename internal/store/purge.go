package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"
)

// goneReadings, goneClips and goneSessions pick what was put into the bin at a time
// or before, by itself or with what it lies in; ?1 is that time.
const (
	goneSessions = `SELECT s.id FROM sessions s JOIN dogs d ON d.id = s.dog_id WHERE s.binned_at <= ?1 OR d.binned_at <= ?1`
	goneClips    = `SELECT c.id FROM clips c WHERE c.binned_at <= ?1 OR c.session_id IN (` + goneSessions + `)`
	goneReadings = `SELECT r.id FROM readings r WHERE r.binned_at <= ?1 OR r.clip_id IN (` + goneClips + `)`
)

// Purge removes for good what was put into the bin at a time or before, with all
// that is below it, and the acts from then. Footage that is a clip no more goes too,
// with its frame table, unless it is in the inbox and not put away; the ids of that
// are returned. Files are the caller's.
func (s *Store) Purge(ctx context.Context, before time.Time) (footage []string, err error) {
	at := before.UnixMicro()
	err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		was, err := texts(ctx, tx, `SELECT DISTINCT footage_id FROM clips WHERE id IN (`+goneClips+`) ORDER BY footage_id`, at)
		if err != nil {
			return err
		}
		for _, q := range []string{
			`DELETE FROM events WHERE reading_id IN (` + goneReadings + `)`,
			`DELETE FROM journal WHERE reading_id IN (` + goneReadings + `)`,
			`DELETE FROM beginnings WHERE reading_id IN (` + goneReadings + `)`,
			`DELETE FROM readings WHERE id IN (` + goneReadings + `)`,
			`DELETE FROM clips WHERE id IN (` + goneClips + `)`,
			`DELETE FROM sessions WHERE id IN (` + goneSessions + `)`,
			`DELETE FROM dogs WHERE binned_at <= ?1`,
			`DELETE FROM acts WHERE at <= ?1`,
		} {
			if _, err := tx.ExecContext(ctx, q, at); err != nil {
				return err
			}
		}
		for _, id := range was {
			var used bool
			if err := tx.QueryRowContext(ctx, `
				SELECT EXISTS (SELECT 1 FROM clips WHERE footage_id = ?1) OR EXISTS (SELECT 1 FROM inbox WHERE footage_id = ?1 AND closed_at IS NULL)`, id).Scan(&used); err != nil {
				return err
			}
			if used {
				continue
			}
			for _, q := range []string{`DELETE FROM frame_tables WHERE footage_id = ?`, `DELETE FROM inbox WHERE footage_id = ?`, `DELETE FROM footage WHERE id = ?`} {
				if _, err := tx.ExecContext(ctx, q, id); err != nil {
					return err
				}
			}
			footage = append(footage, id)
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("store: empty the bin: %w", err)
	}
	return footage, nil
}
