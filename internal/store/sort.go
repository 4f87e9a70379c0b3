package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"afterwalk/annotate"
)

// SortPlan is what sorting footage of the inbox changes.
type SortPlan struct {
	Dogs     []Dog     // new ones
	Sessions []Session // new ones
	Footage  []SortedFootage
}

// SortedFootage is what one footage of the inbox is to be.
type SortedFootage struct {
	ID    string
	State InboxState
	Clips []SortedClip // all the clips that it is to be
}

// SortedClip is a clip that footage is to be. A clip of that dog that is there
// stays, with its readings, and only its window changes; one in the bin comes back.
type SortedClip struct {
	NewClip        // its id and session if it is new; its session also where the old one is in the bin
	DogID   string // the dog is not in the bin
}

// sorted is the payload of an act that sorted: the rows that it touched, as they
// were and as they became.
type sorted struct {
	Footage []string  `json:"footage,omitempty"` // whose clips are all in here
	Before  sortImage `json:"before"`
	After   sortImage `json:"after"`
}

type sortImage struct {
	Inbox    []image `json:"inbox"`
	Clips    []image `json:"clips,omitempty"`
	Sessions []image `json:"sessions,omitempty"` // before: removed since they were empty; after: made
	Dogs     []image `json:"dogs,omitempty"`     // after: made
	Acts     []image `json:"acts,omitempty"`     // before: those that put clips into the bin which came back
}

// Coded says that a clip can't be removed because it has readings.
type Coded struct {
	ClipID, Dog string // the dog's name
	Readings    int    // also those in the bin
}

// Error says so.
func (e *Coded) Error() string {
	return fmt.Sprintf("clip %s of %q has %d readings", e.ClipID, e.Dog, e.Readings)
}

// ErrChanged says that what an act did was changed since.
var ErrChanged = errors.New("this was changed since")

// Sort does what a plan says and keeps the act by which [Store.UndoSort] takes it
// back, whole or not at all. Sessions that are left without a clip are removed.
// It fails with *Coded where a clip with readings would have to go, with *Outside
// where a window leaves out something coded, with annotate.ErrNotFound where
// footage isn't in the inbox.
func (s *Store) Sort(ctx context.Context, p SortPlan, a Act) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var w sorted
		for _, f := range p.Footage {
			w.Footage = append(w.Footage, f.ID)
		}
		if err := w.Before.read(ctx, tx, w.Footage); err != nil {
			return err
		}
		if len(w.Before.Inbox) < len(w.Footage) {
			return annotate.ErrNotFound
		}
		for _, d := range p.Dogs {
			if err := s.insertDog(ctx, tx, d); err != nil {
				return err
			}
		}
		for _, v := range p.Sessions {
			if err := s.insertSession(ctx, tx, v); err != nil {
				return err
			}
		}
		for _, f := range p.Footage {
			if err := s.sortOne(ctx, tx, f, &w); err != nil {
				return err
			}
		}
		if err := w.After.read(ctx, tx, w.Footage); err != nil {
			return err
		}
		var err error
		if w.Before.Sessions, err = removeEmptied(ctx, tx, w.Before.Clips); err != nil {
			return err
		}
		if w.After.Sessions, err = images(ctx, tx, "sessions", "id", idsOf(p.Sessions, func(v Session) string { return v.ID })); err != nil {
			return err
		}
		if w.After.Dogs, err = images(ctx, tx, "dogs", "id", idsOf(p.Dogs, func(d Dog) string { return d.ID })); err != nil {
			return err
		}
		return s.keepAct(ctx, tx, a, w)
	})
	if err != nil {
		return fmt.Errorf("store: sort: %w", err)
	}
	return nil
}

// keepAct stores an act with the rows that it touched.
func (s *Store) keepAct(ctx context.Context, tx *sql.Tx, a Act, w sorted) error {
	payload, err := encodeJSON(w)
	if err != nil {
		return err
	}
	a.Payload = []byte(payload)
	return s.insertAct(ctx, tx, a)
}

// read reads the rows of footage as they are.
func (m *sortImage) read(ctx context.Context, tx *sql.Tx, footage []string) (err error) {
	if m.Inbox, err = images(ctx, tx, "inbox", "footage_id", footage); err != nil {
		return err
	}
	m.Clips, err = images(ctx, tx, "clips", "footage_id", footage)
	return err
}

func idsOf[T any](list []T, id func(T) string) []string {
	var ids []string
	for _, v := range list {
		ids = append(ids, id(v))
	}
	return ids
}

// sortOne makes of one footage what it is to be.
func (s *Store) sortOne(ctx context.Context, tx *sql.Tx, f SortedFootage, w *sorted) error {
	there, err := placesOf(ctx, tx, f.ID)
	if err != nil {
		return err
	}
	for _, c := range there {
		wanted := slices.ContainsFunc(f.Clips, func(to SortedClip) bool { return to.DogID == c.DogID })
		if wanted || !c.Live {
			continue
		}
		if err := removeClip(ctx, tx, c.ID); err != nil {
			return err
		}
	}
	for _, to := range f.Clips {
		i := slices.IndexFunc(there, func(c ClipPlace) bool { return c.DogID == to.DogID })
		if i < 0 {
			if _, err := tx.ExecContext(ctx, `
				INSERT INTO clips (id, session_id, dog_id, footage_id, window_start_us, window_end_us, added_at) VALUES (?, ?, ?, ?, ?, ?, ?)`,
				to.ID, to.SessionID, to.DogID, f.ID, startOf(to.Window), endOf(to.Window), s.now().UnixMicro()); err != nil {
				return err
			}
			continue
		}
		session := there[i].SessionID
		if !there[i].SessionLive {
			session = to.SessionID
		}
		if err := one(tx.ExecContext(ctx, `
			UPDATE clips SET session_id = ?, binned_at = NULL WHERE id = ?`, session, there[i].ID)); err != nil {
			return err
		}
		acts, err := texts(ctx, tx, openBin+` ORDER BY id`, "clip", there[i].ID)
		if err != nil {
			return err
		}
		rows, err := images(ctx, tx, "acts", "id", acts)
		if err != nil {
			return err
		}
		w.Before.Acts = append(w.Before.Acts, rows...)
		if err := s.outOfBin(ctx, tx, "clip", there[i].ID); err != nil {
			return err
		}
		if err := setWindow(ctx, tx, there[i].ID, to.Window); err != nil {
			return err
		}
	}
	return one(tx.ExecContext(ctx, `UPDATE inbox SET state = ? WHERE footage_id = ?`, f.State, f.ID))
}

// removeClip removes a clip that has no readings; *Coded for one that has.
func removeClip(ctx context.Context, tx *sql.Tx, id string) error {
	e := &Coded{ClipID: id}
	err := tx.QueryRowContext(ctx, `
		SELECT d.name, (SELECT COUNT(*) FROM readings r WHERE r.clip_id = c.id)
		FROM clips c JOIN dogs d ON d.id = c.dog_id WHERE c.id = ?`, id).Scan(&e.Dog, &e.Readings)
	if err != nil {
		return err
	}
	if e.Readings > 0 {
		return e
	}
	return one(tx.ExecContext(ctx, `DELETE FROM clips WHERE id = ?`, id))
}

// removeEmptied removes the sessions that some clips were in and that hold none
// any more, and returns what they were. Those in the bin stay there.
func removeEmptied(ctx context.Context, tx *sql.Tx, clips []image) ([]image, error) {
	var ids []string
	for _, c := range clips {
		id := c.text("session_id")
		var left bool
		if err := tx.QueryRowContext(ctx, `
			SELECT EXISTS (SELECT 1 FROM clips WHERE session_id = ?1) OR NOT EXISTS (SELECT 1 FROM live_sessions WHERE id = ?1)`, id).Scan(&left); err != nil {
			return nil, err
		}
		if !left && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	gone, err := images(ctx, tx, "sessions", "id", ids)
	if err != nil {
		return nil, err
	}
	for _, id := range ids {
		if err := one(tx.ExecContext(ctx, `DELETE FROM sessions WHERE id = ?`, id)); err != nil {
			return nil, err
		}
	}
	return gone, nil
}

// PutAway hides what is sorted or left out of some footage of the inbox, and keeps
// the act; it returns how many that were. With none it keeps no act.
func (s *Store) PutAway(ctx context.Context, footage []string, a Act) (n int, err error) {
	err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var ids []string
		for _, id := range footage {
			var settled bool
			if err := tx.QueryRowContext(ctx, `
				SELECT i.closed_at IS NULL AND `+inboxState+` <> 'waiting' FROM inbox i WHERE i.footage_id = ?`, id).Scan(&settled); err != nil {
				return err
			}
			if settled {
				ids = append(ids, id)
			}
		}
		if n = len(ids); n == 0 {
			return nil
		}
		var w sorted
		var err error
		if w.Before.Inbox, err = images(ctx, tx, "inbox", "footage_id", ids); err != nil {
			return err
		}
		at := s.now().UnixMicro()
		for _, id := range ids {
			if err := one(tx.ExecContext(ctx, `UPDATE inbox SET closed_at = ? WHERE footage_id = ?`, at, id)); err != nil {
				return err
			}
		}
		if w.After.Inbox, err = images(ctx, tx, "inbox", "footage_id", ids); err != nil {
			return err
		}
		return s.keepAct(ctx, tx, a, w)
	})
	if err != nil {
		return 0, fmt.Errorf("store: put away: %w", err)
	}
	return n, nil
}
