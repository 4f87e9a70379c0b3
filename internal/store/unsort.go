package store

import (
	"context"
	"database/sql"
	"fmt"
)

// SortAct is what an act that sorted touched.
type SortAct struct {
	Footage []string // all of it
	Clips   []string // that it made, changed, removed or brings back
}

// SortActOf reads the payload of an act that sorted or put away.
func SortActOf(a Act) (SortAct, error) {
	var w sorted
	if err := decodeImages(a.Payload, &w); err != nil {
		return SortAct{}, fmt.Errorf("store: act %s: %w", a.ID, err)
	}
	var out SortAct
	for _, v := range w.After.Inbox {
		out.Footage = append(out.Footage, v.text("footage_id"))
	}
	for _, list := range [][]image{w.Before.Clips, w.After.Clips} {
		for _, c := range list {
			out.Clips = append(out.Clips, c.text("id"))
		}
	}
	return out, nil
}

// UndoSort takes back an act of [Store.Sort] or [Store.PutAway] exactly: the rows
// that it touched become what they were, sessions and dogs that it made go unless
// something else is in them now, sessions that it removed come back. It fails with
// ErrChanged where the rows aren't what the act left, with *Coded where a clip
// that it made has readings, with *Outside where an earlier window leaves out
// what was coded since; then nothing is changed.
func (s *Store) UndoSort(ctx context.Context, a Act) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := s.undoAct(ctx, tx, a.ID); err != nil {
			return err
		}
		var w sorted
		if err := decodeImages(a.Payload, &w); err != nil {
			return err
		}
		if err := w.stands(ctx, tx); err != nil {
			return err
		}
		if err := w.restore(ctx, tx); err != nil {
			return err
		}
		if err := removeUnchanged(ctx, tx, "sessions", `NOT EXISTS (SELECT 1 FROM clips WHERE session_id = t.id)`, w.After.Sessions); err != nil {
			return err
		}
		if err := removeBare(ctx, tx, w.After.Clips); err != nil {
			return err
		}
		return removeUnchanged(ctx, tx, "dogs", `NOT EXISTS (SELECT 1 FROM sessions WHERE dog_id = t.id)`, w.After.Dogs)
	})
	if err != nil {
		return fmt.Errorf("store: undo act %s: %w", a.ID, err)
	}
	return nil
}

// stands reports whether the rows are still what the act left.
func (w sorted) stands(ctx context.Context, tx *sql.Tx) error {
	var ids []string
	for _, v := range w.After.Inbox {
		ids = append(ids, v.text("footage_id"))
	}
	inbox, err := images(ctx, tx, "inbox", "footage_id", ids)
	if err != nil {
		return err
	}
	clips, err := images(ctx, tx, "clips", "footage_id", w.Footage)
	if err != nil {
		return err
	}
	for _, pair := range [][2][]image{{inbox, w.After.Inbox}, {clips, w.After.Clips}} {
		same, err := alike(pair[0], pair[1])
		if err != nil {
			return err
		}
		if !same {
			return ErrChanged
		}
	}
	return nil
}

// restore makes the rows what they were.
func (w sorted) restore(ctx context.Context, tx *sql.Tx) error {
	was := map[string]image{}
	for _, c := range w.Before.Clips {
		was[c.text("id")] = c
	}
	for _, c := range w.After.Clips {
		if was[c.text("id")] == nil {
			if err := removeClip(ctx, tx, c.text("id")); err != nil {
				return err
			}
		}
	}
	for _, v := range w.Before.Sessions {
		if err := putImage(ctx, tx, "sessions", "id", v); err != nil {
			return err
		}
	}
	for _, c := range w.Before.Clips {
		var there bool
		if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM sessions WHERE id = ? AND dog_id = ?)`, c.cell("session_id"), c.cell("dog_id")).Scan(&there); err != nil {
			return err
		}
		if !there { // a later act removed it
			return ErrChanged
		}
		if err := putImage(ctx, tx, "clips", "id", c); err != nil {
			return err
		}
		if err := windowFits(ctx, tx, c.text("id")); err != nil {
			return err
		}
	}
	for _, v := range w.Before.Inbox {
		if err := putImage(ctx, tx, "inbox", "footage_id", v); err != nil {
			return err
		}
	}
	for _, v := range w.Before.Acts {
		if err := putImage(ctx, tx, "acts", "id", v); err != nil {
			return err
		}
	}
	return nil
}

// removeUnchanged removes those rows that are still what their images say and that
// a condition holds for.
func removeUnchanged(ctx context.Context, tx *sql.Tx, table, condition string, rows []image) error {
	for _, row := range rows {
		id := row.text("id")
		now, err := images(ctx, tx, table, "id", []string{id})
		if err != nil {
			return err
		}
		same, err := alike(now, []image{row})
		if err != nil {
			return err
		}
		if !same {
			continue
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM `+table+` AS t WHERE id = ? AND `+condition, id); err != nil {
			return err
		}
	}
	return nil
}

// removeBare removes the sessions that some clips were in, and in which there is
// neither a clip nor a word any more: other acts that put clips there were taken
// back before.
func removeBare(ctx context.Context, tx *sql.Tx, clips []image) error {
	for _, c := range clips {
		if _, err := tx.ExecContext(ctx, `
			DELETE FROM sessions AS t
			WHERE id = ? AND binned_at IS NULL AND venue = '' AND handler = '' AND plan = '' AND notes = '' AND line = '' AND device = ''
			  AND NOT EXISTS (SELECT 1 FROM clips WHERE session_id = t.id)`, c.text("session_id")); err != nil {
			return err
		}
	}
	return nil
}
