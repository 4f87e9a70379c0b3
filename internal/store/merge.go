package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"strings"

	"afterwalk/annotate"
)

// merged is the payload of an act that made two dogs one.
type merged struct {
	From     image        `json:"from"` // the dog that is gone, as it was
	Into     string       `json:"into"` // the dog that stays
	Before   image        `json:"before"`
	After    image        `json:"after"`    // what stays of its facts, before and after
	Sessions []string     `json:"sessions"` // that have moved
	Gone     []goneClip   `json:"gone"`
	Hidden   []hiddenClip `json:"hidden"`
}

// goneClip is a clip of the dog that is gone, of footage of which the other has a
// clip too: that one took its readings.
type goneClip struct {
	Clip     image    `json:"clip"` // as it was
	Kept     string   `json:"kept"`
	Readings []string `json:"readings"`
	Before   image    `json:"before"` // the window of the one that was kept
	After    image    `json:"after"`
}

// hiddenClip is a clip below a session in the bin, put there by itself as well so
// that there are no two clips of the same footage and dog.
type hiddenClip struct {
	ID string `json:"id"`
	At int64  `json:"at"`
}

// Merge makes two dogs one and keeps a as the act; a's payload is Merge's. All
// sessions of from, with their clips and readings, become into's; none are joined.
// Where both have a clip of the same footage, the readings of from's move to into's,
// whose window then covers both. Into keeps its facts; of ceilings and wear limits
// the lower one counts, devices that it lacks and notes are added. It fails with
// annotate.ErrNotFound for a dog that isn't there or lies in the bin.
func (s *Store) Merge(ctx context.Context, a Act, from, into string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `PRAGMA defer_foreign_keys = ON`); err != nil { // until the commit
			return err
		}
		w := merged{Into: into}
		if err := w.facts(ctx, tx, from); err != nil {
			return err
		}
		var err error
		if w.Sessions, err = texts(ctx, tx, `SELECT id FROM sessions WHERE dog_id = ? ORDER BY id`, from); err != nil {
			return err
		}
		if err := w.doubles(ctx, tx, from); err != nil {
			return err
		}
		for _, q := range []string{`UPDATE sessions SET dog_id = ? WHERE dog_id = ?`, `UPDATE clips SET dog_id = ? WHERE dog_id = ?`} {
			if _, err := tx.ExecContext(ctx, q, into, from); err != nil {
				return err
			}
		}
		if err := one(tx.ExecContext(ctx, `DELETE FROM dogs WHERE id = ?`, from)); err != nil {
			return err
		}
		payload, err := encodeJSON(w)
		if err != nil {
			return err
		}
		a.Payload = json.RawMessage(payload)
		return s.insertAct(ctx, tx, a)
	})
	if err != nil {
		return fmt.Errorf("store: merge dog %s into %s: %w", from, into, err)
	}
	return nil
}

// mergedFacts are the columns of the dog that stays which a merge may change.
var mergedFacts = []string{"ceilings", "wear_limit_s", "devices", "notes"}

// facts sets what the facts of the dog that stays become.
func (w *merged) facts(ctx context.Context, tx *sql.Tx, from string) error {
	rows, err := images(ctx, tx, "live_dogs", "id", []string{from, w.Into})
	if err != nil {
		return err
	}
	if len(rows) != 2 {
		return annotate.ErrNotFound
	}
	dogs := map[string]Dog{}
	for _, row := range rows {
		if row.text("id") == from {
			w.From = row
		} else {
			w.Before = row.only(mergedFacts...)
		}
		d, err := scanDog(tx.QueryRowContext(ctx, `SELECT `+dogColumns+` FROM dogs d WHERE d.id = ?`, row.text("id")).Scan)
		if err != nil {
			return err
		}
		dogs[d.ID] = d
	}
	d := joined(dogs[w.Into], dogs[from])
	ceilings, devices, err := encodeDog(d)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, `
		UPDATE dogs SET ceilings = ?, wear_limit_s = ?, devices = ?, notes = ? WHERE id = ?`,
		ceilings, d.WearLimitS, devices, d.Notes, w.Into); err != nil {
		return err
	}
	if rows, err = images(ctx, tx, "dogs", "id", []string{w.Into}); err != nil {
		return err
	}
	w.After = rows[0].only(mergedFacts...)
	return nil
}

// joined returns the facts of a dog that another becomes part of: its own, with
// the lower of two limits, the other's further devices, and its notes below.
func joined(d, other Dog) Dog {
	if d.Ceilings == nil {
		d.Ceilings = map[string]float64{}
	}
	for scale, v := range other.Ceilings {
		if own, ok := d.Ceilings[scale]; !ok || v < own {
			d.Ceilings[scale] = v
		}
	}
	if v := other.WearLimitS; v != nil && (d.WearLimitS == nil || *v < *d.WearLimitS) {
		d.WearLimitS = v
	}
	scales := map[string]bool{}
	for _, v := range d.Devices {
		scales[annotate.Scale(v.Channel, v.Name)] = true
	}
	for _, v := range other.Devices {
		if !scales[annotate.Scale(v.Channel, v.Name)] {
			d.Devices = append(d.Devices, v)
		}
	}
	if !strings.Contains(d.Notes, other.Notes) {
		d.Notes = strings.TrimPrefix(d.Notes+"\n\n"+other.Notes, "\n\n")
	}
	return d
}

// doubles deals with footage of which both dogs have a clip.
func (w *merged) doubles(ctx context.Context, tx *sql.Tx, from string) error {
	type double struct {
		from, into          string
		fromHidden, intoHid *int64 // when their sessions were put into the bin
	}
	rows, err := tx.QueryContext(ctx, `
		SELECT c.id, k.id, s.binned_at, t.binned_at
		FROM clips c JOIN sessions s ON s.id = c.session_id
		JOIN clips k ON k.footage_id = c.footage_id AND k.dog_id = ? AND k.binned_at IS NULL JOIN sessions t ON t.id = k.session_id
		WHERE c.dog_id = ? AND c.binned_at IS NULL
		ORDER BY c.id`, w.Into, from)
	list, err := collect(rows, err, func(rows *sql.Rows) (d double, err error) {
		return d, rows.Scan(&d.from, &d.into, &d.fromHidden, &d.intoHid)
	})
	if err != nil {
		return err
	}
	for _, d := range list {
		switch {
		case d.fromHidden != nil:
			err = w.hide(ctx, tx, d.from, *d.fromHidden)
		case d.intoHid != nil:
			err = w.hide(ctx, tx, d.into, *d.intoHid)
		default:
			err = w.give(ctx, tx, d.from, d.into)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (w *merged) hide(ctx context.Context, tx *sql.Tx, clip string, at int64) error {
	w.Hidden = append(w.Hidden, hiddenClip{clip, at})
	return one(tx.ExecContext(ctx, `UPDATE clips SET binned_at = ? WHERE id = ?`, at, clip))
}

// clipWindow are the columns of a clip's window.
var clipWindow = []string{"window_start_us", "window_end_us"}

// give gives one clip's readings to another and removes it.
func (w *merged) give(ctx context.Context, tx *sql.Tx, from, into string) error {
	rows, err := images(ctx, tx, "clips", "id", []string{from})
	if err != nil {
		return err
	}
	g := goneClip{Clip: rows[0], Kept: into}
	if g.Readings, err = texts(ctx, tx, `SELECT id FROM readings WHERE clip_id = ? ORDER BY id`, from); err != nil {
		return err
	}
	if rows, err = images(ctx, tx, "clips", "id", []string{into}); err != nil {
		return err
	}
	g.Before = rows[0].only(clipWindow...)
	if _, err := tx.ExecContext(ctx, `UPDATE readings SET clip_id = ? WHERE clip_id = ?`, into, from); err != nil {
		return err
	}
	// Where one of the two had the whole clip, so has what becomes of them.
	if _, err := tx.ExecContext(ctx, `
		UPDATE clips SET (window_start_us, window_end_us) = (
			SELECT MIN(clips.window_start_us, c.window_start_us), MAX(clips.window_end_us, c.window_end_us) FROM clips c WHERE c.id = ?)
		WHERE id = ?`, from, into); err != nil {
		return err
	}
	if rows, err = images(ctx, tx, "clips", "id", []string{into}); err != nil {
		return err
	}
	g.After = rows[0].only(clipWindow...)
	w.Gone = append(w.Gone, g)
	if err := one(tx.ExecContext(ctx, `DELETE FROM clips WHERE id = ?`, from)); err != nil {
		return err
	}
	return moveFirstWindow(ctx, tx, into)
}

// only returns some columns of a row.
func (row image) only(columns ...string) image {
	some := image{}
	for _, name := range columns {
		some[name] = row[name]
	}
	return some
}
