package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"afterwalk/annotate"
)

// InboxState says what became of footage that came in without a dog.
type InboxState string

// The states of footage in the inbox.
const (
	InboxWaiting InboxState = "waiting"
	InboxSorted  InboxState = "sorted"   // it is a clip of at least one dog
	InboxLeftOut InboxState = "left out" // nobody wants to code it
)

// InboxItem is footage in the inbox. One whose clips have all gone to the bin
// waits again.
type InboxItem struct {
	Footage Footage
	State   InboxState
	AddedAt time.Time // the same for all that came in together
	Clips   []InboxClip
}

// InboxClip is a clip that footage in the inbox has become.
type InboxClip struct {
	ID, DogID, Dog, SessionID string         // Dog is its name
	Window                    *annotate.Span // where the dog is in it; nil: in all of it
	Readings                  int
}

// inboxOrder is the order of footage in the inbox: by recording time, those without
// one last, then by name.
const inboxOrder = `f.recorded_at IS NULL, f.recorded_at, f.name, f.path, f.id`

// inboxState is what state footage is in, as its clips say.
const inboxState = `CASE
	WHEN EXISTS (SELECT 1 FROM live_clips c WHERE c.footage_id = i.footage_id) THEN 'sorted'
	WHEN i.state = 'left out' THEN 'left out'
	ELSE 'waiting' END`

// Inbox returns what is in the inbox and not put away, in order.
func (s *Store) Inbox(ctx context.Context) ([]InboxItem, error) {
	var list []InboxItem
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		list, err = inbox(ctx, tx, `i.closed_at IS NULL`)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("store: inbox: %w", err)
	}
	return list, nil
}

// InboxItem returns one footage of the inbox, also one that was put away.
func (s *Store) InboxItem(ctx context.Context, footageID string) (InboxItem, error) {
	var list []InboxItem
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		list, err = inbox(ctx, tx, `i.footage_id = ?`, footageID)
		return err
	})
	if err == nil && len(list) == 0 {
		err = annotate.ErrNotFound
	}
	if err != nil {
		return InboxItem{}, fmt.Errorf("store: footage %s of the inbox: %w", footageID, err)
	}
	return list[0], nil
}

func inbox(ctx context.Context, tx *sql.Tx, which string, args ...any) ([]InboxItem, error) {
	rows, err := tx.QueryContext(ctx, `
		SELECT `+inboxState+`, i.added_at, `+footageColumns+`
		FROM inbox i JOIN footage f ON f.id = i.footage_id
		WHERE `+which+`
		ORDER BY `+inboxOrder, args...)
	at := map[string]int{}
	list, err := collect(rows, err, func(rows *sql.Rows) (InboxItem, error) {
		var v InboxItem
		var added int64
		f, err := scanFootage(rows.Scan, &v.State, &added)
		v.Footage, v.AddedAt = f, time.UnixMicro(added)
		return v, err
	})
	if err != nil {
		return nil, err
	}
	for i, v := range list {
		at[v.Footage.ID] = i
	}
	rows, err = tx.QueryContext(ctx, `
		SELECT c.footage_id, c.id, c.dog_id, d.name, c.session_id, c.window_start_us, c.window_end_us,
		       (SELECT COUNT(*) FROM live_readings r WHERE r.clip_id = c.id)
		FROM inbox i JOIN live_clips c ON c.footage_id = i.footage_id JOIN dogs d ON d.id = c.dog_id
		WHERE `+which+`
		ORDER BY d.name_key, c.id`, args...)
	type placed struct {
		footage string
		clip    InboxClip
	}
	clips, err := collect(rows, err, func(rows *sql.Rows) (placed, error) {
		var p placed
		var start, end *annotate.Micros
		err := rows.Scan(&p.footage, &p.clip.ID, &p.clip.DogID, &p.clip.Dog, &p.clip.SessionID, &start, &end, &p.clip.Readings)
		p.clip.Window = windowOf(start, end)
		return p, err
	})
	for _, p := range clips {
		v := &list[at[p.footage]]
		v.Clips = append(v.Clips, p.clip)
	}
	return list, err
}

// windowOf is the span that two columns hold, nil where they hold none.
func windowOf(start, end *annotate.Micros) *annotate.Span {
	if start == nil || end == nil {
		return nil
	}
	return &annotate.Span{Start: *start, End: *end}
}

// InboxWaiting returns how many footage wait in the inbox to be sorted.
func (s *Store) InboxWaiting(ctx context.Context) (int, error) {
	var n int
	err := s.read.QueryRowContext(ctx, `
		SELECT COUNT(*) FROM inbox i WHERE i.closed_at IS NULL AND `+inboxState+` = 'waiting'`).Scan(&n)
	if err != nil {
		return 0, fmt.Errorf("store: what waits in the inbox: %w", translate(err))
	}
	return n, nil
}

// FootageByID returns one footage, whether it is a clip or not.
func (s *Store) FootageByID(ctx context.Context, id string) (Footage, error) {
	f, err := scanFootage(s.read.QueryRowContext(ctx, `SELECT `+footageColumns+` FROM footage f WHERE f.id = ?`, id).Scan)
	if err != nil {
		return Footage{}, fmt.Errorf("store: footage %s: %w", id, translate(err))
	}
	return f, nil
}

// InboxAddition is what one call brings into the inbox.
type InboxAddition struct {
	Footage []Footage // new ones
	Put     []string  // footage that goes into the inbox, or comes back into it
	Folders []string  // known from now on
}

// AddToInbox stores an addition whole or not at all. Footage that was put away is
// shown again.
func (s *Store) AddToInbox(ctx context.Context, a InboxAddition) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		for _, folder := range a.Folders {
			if err := s.insertFolder(ctx, tx, folder); err != nil {
				return err
			}
		}
		for _, f := range a.Footage {
			if err := s.insertFootage(ctx, tx, f); err != nil {
				return err
			}
		}
		at := s.now().UnixMicro()
		for _, id := range a.Put {
			if _, err := tx.ExecContext(ctx, `
				INSERT INTO inbox (footage_id, added_at, state) VALUES (?, ?, 'waiting')
				ON CONFLICT (footage_id) DO UPDATE SET added_at = excluded.added_at, state = 'waiting', closed_at = NULL`, id, at); err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, `
				UPDATE inbox SET state = 'sorted' WHERE footage_id = ? AND EXISTS (SELECT 1 FROM live_clips c WHERE c.footage_id = inbox.footage_id)`, id); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("store: add to the inbox: %w", err)
	}
	return nil
}

// InInbox returns how footage stands in the inbox: its state, and whether it was
// put away; ErrNotFound for footage that isn't there.
func (s *Store) InInbox(ctx context.Context, footageID string) (state InboxState, away bool, err error) {
	err = s.read.QueryRowContext(ctx, `
		SELECT `+inboxState+`, i.closed_at IS NOT NULL FROM inbox i WHERE i.footage_id = ?`, footageID).Scan(&state, &away)
	if err != nil {
		return "", false, fmt.Errorf("store: footage %s in the inbox: %w", footageID, translate(err))
	}
	return state, away, nil
}

// FootageWanting returns the footage whose frame table is wanted and that is no
// clip yet, in the order of the inbox.
func (s *Store) FootageWanting(ctx context.Context) ([]Footage, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+footageColumns+`
		FROM inbox i JOIN footage f ON f.id = i.footage_id
		WHERE f.frames = 'wanted' AND NOT EXISTS (SELECT 1 FROM clips c WHERE c.footage_id = f.id)
		ORDER BY `+inboxOrder)
	list, err := collect(rows, err, func(rows *sql.Rows) (Footage, error) { return scanFootage(rows.Scan) })
	if err != nil {
		return nil, fmt.Errorf("store: footage of the inbox wanting frames: %w", translate(err))
	}
	return list, nil
}

// WantFrames says that footage's frame table is to be read again.
func (s *Store) WantFrames(ctx context.Context, footageID string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return one(tx.ExecContext(ctx, `UPDATE footage SET frames = 'wanted', warning = '' WHERE id = ?`, footageID))
	})
	if err != nil && !errors.Is(err, annotate.ErrNotFound) {
		return fmt.Errorf("store: want frames of footage %s: %w", footageID, err)
	}
	return err
}

// RememberFolder says that a folder is known from now on.
func (s *Store) RememberFolder(ctx context.Context, folder string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error { return s.insertFolder(ctx, tx, folder) })
	if err != nil {
		return fmt.Errorf("store: remember folder %s: %w", folder, err)
	}
	return nil
}

// ClipPlace is where footage is a clip.
type ClipPlace struct {
	ID, DogID, SessionID string
	Live                 bool // neither it nor what it lies in is in the bin
	SessionLive          bool // its session isn't, nor its dog
}

// PlacesOf returns all clips of footage, also those in the bin.
func (s *Store) PlacesOf(ctx context.Context, footageID string) ([]ClipPlace, error) {
	var list []ClipPlace
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		list, err = placesOf(ctx, tx, footageID)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("store: places of footage %s: %w", footageID, err)
	}
	return list, nil
}

func placesOf(ctx context.Context, tx *sql.Tx, footageID string) ([]ClipPlace, error) {
	rows, err := tx.QueryContext(ctx, `
		SELECT c.id, c.dog_id, c.session_id, EXISTS (SELECT 1 FROM live_clips l WHERE l.id = c.id), EXISTS (SELECT 1 FROM live_sessions s WHERE s.id = c.session_id)
		FROM clips c WHERE c.footage_id = ? ORDER BY c.binned_at IS NOT NULL, c.id`, footageID)
	return collect(rows, err, func(rows *sql.Rows) (ClipPlace, error) {
		var p ClipPlace
		err := rows.Scan(&p.ID, &p.DogID, &p.SessionID, &p.Live, &p.SessionLive)
		return p, err
	})
}

// UndatedSession returns the dog's session that holds footage without a recording
// time which came into the inbox at the same time, "" if there is none.
func (s *Store) UndatedSession(ctx context.Context, dogID string, addedAt time.Time) (string, error) {
	var id string
	err := s.read.QueryRowContext(ctx, `
		SELECT c.session_id
		FROM inbox i JOIN footage f ON f.id = i.footage_id JOIN live_clips c ON c.footage_id = f.id
		WHERE c.dog_id = ? AND i.added_at = ? AND f.recorded_at IS NULL
		ORDER BY c.session_id LIMIT 1`, dogID, addedAt.UnixMicro()).Scan(&id)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return "", fmt.Errorf("store: undated session of dog %s: %w", dogID, translate(err))
	}
	return id, nil
}

// LastAct returns the newest act of a kind that stands; annotate.ErrNotFound where
// there is none.
func (s *Store) LastAct(ctx context.Context, kind string) (Act, error) {
	a, err := scanAct(s.read.QueryRowContext(ctx, `
		SELECT `+actColumns+` FROM acts a WHERE a.kind = ? AND a.undone_at IS NULL ORDER BY a.at DESC, a.id DESC LIMIT 1`, kind).Scan)
	if err != nil {
		return Act{}, fmt.Errorf("store: last act of kind %s: %w", kind, translate(err))
	}
	return a, nil
}
