package store

import (
	"context"
	"database/sql"
	"fmt"
)

// Waiting is what waits to be done for a dog.
type Waiting struct {
	Unread     int // clips without a reading
	Unfinished int // readings that aren't finished
}

// Any reports whether something waits.
func (w Waiting) Any() bool { return w.Unread+w.Unfinished > 0 }

// Waiting returns what waits for each dog, by its id; a dog without clips is left
// out.
func (s *Store) Waiting(ctx context.Context) (map[string]Waiting, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT c.dog_id,
		       SUM(NOT EXISTS (SELECT 1 FROM readings r WHERE r.clip_id = c.id AND r.binned_at IS NULL)),
		       SUM((SELECT COUNT(*) FROM readings r WHERE r.clip_id = c.id AND r.binned_at IS NULL AND r.finished_at IS NULL AND r.agreed = 0))
		FROM live_clips c GROUP BY c.dog_id`)
	out := map[string]Waiting{}
	_, err = collect(rows, err, func(rows *sql.Rows) (struct{}, error) {
		var dog string
		var w Waiting
		err := rows.Scan(&dog, &w.Unread, &w.Unfinished)
		out[dog] = w
		return struct{}{}, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: what waits: %w", translate(err))
	}
	return out, nil
}
