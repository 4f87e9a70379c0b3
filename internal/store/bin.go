package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"time"

	"afterwalk/annotate"
)

// binKinds is what can lie in the bin, the table of each, and the view of those
// that don't lie there.
var binKinds = []struct{ kind, table, live string }{
	{"dog", "dogs", "live_dogs"},
	{"session", "sessions", "live_sessions"},
	{"clip", "clips", "live_clips"},
	{"reading", "readings", "live_readings"},
}

// tableOf returns where things of a kind are, annotate.ErrNotFound for a kind that
// there isn't.
func tableOf(kind string) (table, live string, err error) {
	for _, k := range binKinds {
		if k.kind == kind {
			return k.table, k.live, nil
		}
	}
	return "", "", fmt.Errorf("things of kind %q: %w", kind, annotate.ErrNotFound)
}

// binPayload is the payload of an act that put something into the bin.
type binPayload struct {
	Kind string `json:"kind"`
	ID   string `json:"id"`
}

// BinPayload returns what an act of the bin is about.
func BinPayload(a Act) (kind, id string, err error) {
	var p binPayload
	if err := json.Unmarshal(a.Payload, &p); err != nil {
		return "", "", fmt.Errorf("store: payload of act %s: %w", a.ID, err)
	}
	return p.Kind, p.ID, nil
}

// Bin puts a dog, session, clip or reading into the bin, with all that is below
// it, and keeps a as the act; a's payload is Bin's. It fails with
// annotate.ErrNotFound for what isn't there or lies in the bin already.
func (s *Store) Bin(ctx context.Context, a Act, kind, id string) error {
	table, live, err := tableOf(kind)
	if err == nil {
		err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
			now := s.now()
			err := one(tx.ExecContext(ctx, `
				UPDATE `+table+` SET binned_at = ? WHERE id = ? AND id IN (SELECT id FROM `+live+` WHERE id = ?)`, now.UnixMicro(), id, id))
			if err != nil {
				return err
			}
			payload, err := encodeJSON(binPayload{kind, id})
			if err != nil {
				return err
			}
			a.At, a.Payload = now, json.RawMessage(payload)
			return s.insertAct(ctx, tx, a)
		})
	}
	if err != nil {
		return fmt.Errorf("store: bin %s %s: %w", kind, id, err)
	}
	return nil
}

// Restore takes something out of the bin, with what is below it, and notes that
// the act which put it there is taken back. It fails with annotate.ErrNotFound for
// what isn't in the bin by itself, with ErrTaken where its name, or its footage
// with that dog, is taken meanwhile, with *Below where what it lies in is in the
// bin too, with *Outside where the clip's window leaves out what was coded.
func (s *Store) Restore(ctx context.Context, kind, id string) error {
	table, live, err := tableOf(kind)
	if err == nil {
		err = s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
			if err := one(tx.ExecContext(ctx, `UPDATE `+table+` SET binned_at = NULL WHERE id = ? AND binned_at IS NOT NULL`, id)); err != nil {
				return err
			}
			var seen bool
			if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM `+live+` WHERE id = ?)`, id).Scan(&seen); err != nil {
				return err
			}
			if !seen {
				return below(ctx, tx, kind, id)
			}
			if err := fitWindows(ctx, tx, kind, id); err != nil {
				return err
			}
			return s.outOfBin(ctx, tx, kind, id)
		})
	}
	if err != nil {
		return fmt.Errorf("store: restore %s %s: %w", kind, id, err)
	}
	return nil
}

// openBin picks the acts that put something into the bin and stand: its kind and id
// are asked for.
const openBin = `
	SELECT id FROM acts
	WHERE kind = 'bin' AND undone_at IS NULL AND json_extract(payload, '$.kind') = ? AND json_extract(payload, '$.id') = ?`

// outOfBin notes that the act which put something into the bin is taken back.
func (s *Store) outOfBin(ctx context.Context, tx *sql.Tx, kind, id string) error {
	_, err := tx.ExecContext(ctx, `UPDATE acts SET undone_at = ? WHERE id IN (`+openBin+`)`, s.now().UnixMicro(), kind, id)
	return err
}

// Below says that what something lies in is in the bin.
type Below struct{ Kind, Name string } // of the outermost: a dog's name, a session's venue, a clip's file

// Error says so.
func (b *Below) Error() string {
	return fmt.Sprintf("it lies below a %s in the bin (%s)", b.Kind, b.Name)
}

// below returns the outermost thing in the bin that hides another, as *Below.
func below(ctx context.Context, tx *sql.Tx, kind, id string) error {
	var b Below
	err := tx.QueryRowContext(ctx, `
		WITH it (dog, session, clip) AS (
			          SELECT dog_id, NULL, NULL FROM sessions WHERE ?1 = 'session' AND id = ?2
			UNION ALL SELECT dog_id, session_id, NULL FROM clips WHERE ?1 = 'clip' AND id = ?2
			UNION ALL SELECT c.dog_id, c.session_id, c.id FROM readings r JOIN clips c ON c.id = r.clip_id WHERE ?1 = 'reading' AND r.id = ?2)
		          SELECT 'dog', d.name FROM it JOIN dogs d ON d.id = it.dog WHERE d.binned_at IS NOT NULL
		UNION ALL SELECT 'session', s.venue FROM it JOIN sessions s ON s.id = it.session WHERE s.binned_at IS NOT NULL
		UNION ALL SELECT 'clip', f.name FROM it JOIN clips c ON c.id = it.clip JOIN footage f ON f.id = c.footage_id WHERE c.binned_at IS NOT NULL
		LIMIT 1`, kind, id).Scan(&b.Kind, &b.Name)
	if err != nil {
		return err
	}
	return &b
}

// fitWindows sees to it that the clips that came back with something still hold
// what was coded in them, and moves untouched readings to where the dog comes in:
// a clip's window may have been changed while its readings lay in the bin.
func fitWindows(ctx context.Context, tx *sql.Tx, kind, id string) error {
	if kind != "reading" {
		return nil // a window is set only where the clip and its readings are seen
	}
	var clip string
	if err := tx.QueryRowContext(ctx, `SELECT clip_id FROM readings WHERE id = ?`, id).Scan(&clip); err != nil {
		return err
	}
	return windowFits(ctx, tx, clip)
}

// Binned is something that lies in the bin by itself.
type Binned struct {
	Kind, ID string
	At       time.Time
	// What it is and lies in, as far as there is: a dog's name; a session's begin
	// and venue; a clip's file; a reading's reader.
	Dog, Venue, File, Reader string
	StartedAt                *time.Time // of the session
	Below                    *Below     // what has to come back first, nil if nothing has to
}

// Binned returns what lies in the bin by itself, the newest first.
func (s *Store) Binned(ctx context.Context) ([]Binned, error) {
	const first = `LEFT JOIN (
		SELECT c.session_id AS session_id, MIN(f.recorded_at) AS at, f.recorded_zone AS zone
		FROM clips c JOIN footage f ON f.id = c.footage_id WHERE f.recorded_at IS NOT NULL GROUP BY c.session_id
	) first ON first.session_id = s.id`
	rows, err := s.read.QueryContext(ctx, `
		          SELECT 'dog' AS kind, d.id AS id, d.binned_at AS at, d.name AS dog, '' AS venue, '' AS file, '' AS reader, NULL AS started, '' AS zone,
		                 NULL AS dog_at, NULL AS session_at, NULL AS clip_at
		          FROM dogs d WHERE d.binned_at IS NOT NULL
		UNION ALL SELECT 'session', s.id, s.binned_at, d.name, s.venue, '', '', first.at, COALESCE(first.zone, ''), d.binned_at, NULL, NULL
		          FROM sessions s JOIN dogs d ON d.id = s.dog_id `+first+` WHERE s.binned_at IS NOT NULL
		UNION ALL SELECT 'clip', c.id, c.binned_at, d.name, s.venue, f.name, '', first.at, COALESCE(first.zone, ''), d.binned_at, s.binned_at, NULL
		          FROM clips c JOIN footage f ON f.id = c.footage_id JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = c.dog_id `+first+`
		          WHERE c.binned_at IS NOT NULL
		UNION ALL SELECT 'reading', r.id, r.binned_at, d.name, s.venue, f.name, r.reader, first.at, COALESCE(first.zone, ''), d.binned_at, s.binned_at, c.binned_at
		          FROM readings r JOIN clips c ON c.id = r.clip_id JOIN footage f ON f.id = c.footage_id
		          JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = c.dog_id `+first+`
		          WHERE r.binned_at IS NOT NULL
		ORDER BY at DESC, kind, id`)
	list, err := collect(rows, err, func(rows *sql.Rows) (Binned, error) {
		var b Binned
		var at int64
		var started, dogAt, sessionAt, clipAt *int64
		var zone string
		err := rows.Scan(&b.Kind, &b.ID, &at, &b.Dog, &b.Venue, &b.File, &b.Reader, &started, &zone, &dogAt, &sessionAt, &clipAt)
		b.At, b.StartedAt = time.UnixMicro(at), inZone(started, zone)
		switch {
		case dogAt != nil:
			b.Below = &Below{"dog", b.Dog}
		case sessionAt != nil:
			b.Below = &Below{"session", b.Venue}
		case clipAt != nil:
			b.Below = &Below{"clip", b.File}
		}
		return b, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: what is in the bin: %w", translate(err))
	}
	return list, nil
}

// ReadingsBelow returns the ids of all readings of a dog, session or clip, or a
// reading's own id, also those in the bin.
func (s *Store) ReadingsBelow(ctx context.Context, kind, id string) ([]string, error) {
	column := map[string]string{"dog": "c.dog_id", "session": "c.session_id", "clip": "c.id", "reading": "r.id"}[kind]
	if column == "" {
		return nil, fmt.Errorf("store: readings of %s %s: %w", kind, id, annotate.ErrNotFound)
	}
	rows, err := s.read.QueryContext(ctx, `SELECT r.id FROM readings r JOIN clips c ON c.id = r.clip_id WHERE `+column+` = ?`, id)
	list, err := collect(rows, err, func(rows *sql.Rows) (string, error) {
		var id string
		err := rows.Scan(&id)
		return id, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: readings of %s %s: %w", kind, id, translate(err))
	}
	return list, nil
}
