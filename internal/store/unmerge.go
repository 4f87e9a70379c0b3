package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"afterwalk/annotate"
)

// UndoMerge makes two dogs again of what an act of [Store.Merge] made one, exactly,
// and returns their ids. What happened to the sessions, clips and readings of the
// one that was gone since then stays with them; facts that the other was given
// since stay too. It fails with ErrTaken where the name is another dog's by now,
// with ErrChanged where a session has become another dog's, with
// annotate.ErrNotFound where the dog that stayed isn't there or lies in the bin;
// then nothing is changed.
func (s *Store) UndoMerge(ctx context.Context, a Act) (dogs []string, err error) {
	var w merged
	if err = decodeImages(a.Payload, &w); err == nil {
		err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
			if err := s.undoAct(ctx, tx, a.ID); err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, `PRAGMA defer_foreign_keys = ON`); err != nil { // until the commit
				return err
			}
			if err := w.fits(ctx, tx); err != nil {
				return err
			}
			return w.undo(ctx, tx)
		})
	}
	if err != nil {
		return nil, fmt.Errorf("store: undo act %s: %w", a.ID, err)
	}
	return []string{w.From.text("id"), w.Into}, nil
}

// fits reports whether the act can still be taken back.
func (w *merged) fits(ctx context.Context, tx *sql.Tx) error {
	var there, taken bool
	err := tx.QueryRowContext(ctx, `
		SELECT EXISTS (SELECT 1 FROM live_dogs WHERE id = ?), EXISTS (SELECT 1 FROM live_dogs WHERE name_key = ?)`,
		w.Into, w.From.text("name_key")).Scan(&there, &taken)
	switch {
	case err != nil:
		return err
	case !there:
		return annotate.ErrNotFound
	case taken:
		return ErrTaken
	}
	for _, id := range w.Sessions {
		var moved bool
		if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM sessions WHERE id = ? AND dog_id <> ?)`, id, w.Into).Scan(&moved); err != nil {
			return err
		}
		if moved {
			return ErrChanged
		}
	}
	for _, g := range w.Gone {
		var there bool
		if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM sessions WHERE id = ?)`, g.Clip.text("session_id")).Scan(&there); err != nil {
			return err
		}
		if !there {
			return ErrChanged
		}
	}
	return nil
}

func (w *merged) undo(ctx context.Context, tx *sql.Tx) error {
	from := w.From.text("id")
	if err := putImage(ctx, tx, "dogs", "id", w.From); err != nil {
		return err
	}
	for _, id := range w.Sessions {
		if _, err := tx.ExecContext(ctx, `UPDATE sessions SET dog_id = ? WHERE id = ?`, from, id); err != nil {
			return err
		}
		if err := changedIfTaken(tx.ExecContext(ctx, `UPDATE clips SET dog_id = ? WHERE session_id = ?`, from, id)); err != nil {
			return err
		}
	}
	for _, g := range w.Gone {
		if err := g.back(ctx, tx); err != nil {
			return err
		}
	}
	for _, h := range w.Hidden {
		if err := changedIfTaken(tx.ExecContext(ctx, `UPDATE clips SET binned_at = NULL WHERE id = ? AND binned_at = ?`, h.ID, h.At)); err != nil {
			return err
		}
	}
	return backTo(ctx, tx, "dogs", w.Into, w.Before, w.After)
}

// back brings a clip back, with the readings that it had.
func (g *goneClip) back(ctx context.Context, tx *sql.Tx) error {
	if err := changedIfTaken(nil, putImage(ctx, tx, "clips", "id", g.Clip)); err != nil {
		return err
	}
	id := g.Clip.text("id")
	for _, r := range g.Readings {
		if _, err := tx.ExecContext(ctx, `UPDATE readings SET clip_id = ? WHERE id = ? AND clip_id = ?`, id, r, g.Kept); err != nil {
			return err
		}
	}
	// What was coded since may need the wider window.
	var outside *Outside
	if err := windowFits(ctx, tx, id); errors.As(err, &outside) {
		if err := setColumns(ctx, tx, "clips", id, g.After); err != nil {
			return err
		}
		err = windowFits(ctx, tx, id)
		if err != nil {
			return err
		}
	} else if err != nil {
		return err
	}
	if err := backTo(ctx, tx, "clips", g.Kept, g.Before, g.After); err != nil {
		return err
	}
	err := windowFits(ctx, tx, g.Kept)
	if errors.As(err, &outside) {
		if err := setColumns(ctx, tx, "clips", g.Kept, g.After); err != nil {
			return err
		}
		err = windowFits(ctx, tx, g.Kept)
	}
	if errors.Is(err, sql.ErrNoRows) { // the one that was kept is gone for good
		err = nil
	}
	return err
}

// backTo sets those columns of a row that are as an act left them to what they were
// before.
func backTo(ctx context.Context, tx *sql.Tx, table, id string, before, after image) error {
	rows, err := images(ctx, tx, table, "id", []string{id})
	if err != nil || len(rows) == 0 {
		return err
	}
	back := image{}
	for name := range after {
		same, err := alike([]image{rows[0].only(name)}, []image{after.only(name)})
		if err != nil {
			return err
		}
		if same {
			back[name] = before[name]
		}
	}
	if table == "clips" && len(back) < len(after) { // a window changes whole
		return nil
	}
	return setColumns(ctx, tx, table, id, back)
}

// setColumns sets some columns of a row.
func setColumns(ctx context.Context, tx *sql.Tx, table, id string, columns image) error {
	set, args := "", []any{}
	for name := range columns {
		if set != "" {
			set += ", "
		}
		set += name + ` = ?`
		args = append(args, columns.cell(name))
	}
	if set == "" {
		return nil
	}
	_, err := tx.ExecContext(ctx, `UPDATE `+table+` SET `+set+` WHERE id = ?`, append(args, id)...)
	return err
}

// changedIfTaken turns ErrTaken into ErrChanged: a place that was free when the act
// was done has been filled since.
func changedIfTaken(_ sql.Result, err error) error {
	if errors.Is(translate(err), ErrTaken) {
		return ErrChanged
	}
	return err
}
