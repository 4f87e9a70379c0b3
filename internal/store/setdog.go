package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
)

// renamed is the payload of an act that gave a dog another name.
type renamed struct {
	ID   string `json:"id"`
	From string `json:"from"`
	To   string `json:"to"`
}

// SetDog sets what a person can set of a dog, and keeps a as the act if its name
// becomes another; a's payload is SetDog's. It fails with ErrTaken for the name of
// another dog that isn't in the bin, with annotate.ErrNotFound for a dog that is.
func (s *Store) SetDog(ctx context.Context, d Dog, a Act) error {
	ceilings, devices, err := encodeDog(d)
	if err == nil {
		err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
			var before string
			if err := tx.QueryRowContext(ctx, `SELECT name FROM live_dogs WHERE id = ?`, d.ID).Scan(&before); err != nil {
				return err
			}
			if err := one(tx.ExecContext(ctx, `
				UPDATE dogs SET name = ?, name_key = ?, side = ?, ceilings = ?, wear_limit_s = ?, devices = ?, notes = ? WHERE id = ?`,
				d.Name, NameKey(d.Name), d.Side, ceilings, d.WearLimitS, devices, d.Notes, d.ID)); err != nil {
				return err
			}
			if before == d.Name {
				return nil
			}
			payload, err := encodeJSON(renamed{d.ID, before, d.Name})
			if err != nil {
				return err
			}
			a.Payload = json.RawMessage(payload)
			return s.insertAct(ctx, tx, a)
		})
	}
	if err != nil {
		return fmt.Errorf("store: set dog %s: %w", d.ID, err)
	}
	return nil
}

// UndoRename gives a dog the name back that it had before an act, and returns the
// dog's id. It fails with ErrChanged where it has another name by now than the act
// gave it, with ErrTaken where the old name is another dog's by now.
func (s *Store) UndoRename(ctx context.Context, a Act) (dogID string, err error) {
	var p renamed
	if err = json.Unmarshal(a.Payload, &p); err == nil {
		err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
			if err := s.undoAct(ctx, tx, a.ID); err != nil {
				return err
			}
			var now string
			if err := tx.QueryRowContext(ctx, `SELECT name FROM live_dogs WHERE id = ?`, p.ID).Scan(&now); err != nil {
				return err
			}
			if now != p.To {
				return ErrChanged
			}
			_, err := tx.ExecContext(ctx, `UPDATE dogs SET name = ?, name_key = ? WHERE id = ?`, p.From, NameKey(p.From), p.ID)
			return err
		})
	}
	if err != nil {
		return "", fmt.Errorf("store: undo act %s: %w", a.ID, err)
	}
	return p.ID, nil
}

// encodeDog writes a dog's ceilings and devices as their columns hold them.
func encodeDog(d Dog) (ceilings, devices string, err error) {
	if d.Ceilings == nil {
		d.Ceilings = map[string]float64{}
	}
	if ceilings, err = encodeJSON(d.Ceilings); err != nil {
		return "", "", err
	}
	if d.Devices == nil {
		d.Devices = []Device{}
	}
	devices, err = encodeJSON(d.Devices)
	return ceilings, devices, err
}
