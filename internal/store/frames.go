package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"

	"afterwalk/annotate"
)

// FrameTable is when each frame of footage is shown: the start of each frame,
// rising, and the end of the last one. It has at least one frame.
type FrameTable struct {
	PTS     []annotate.Micros
	End     annotate.Micros
	Warning string // what is wrong with a file that is usable all the same, "" if nothing
}

// framesPacked is the form that pack writes.
const framesPacked = 1

// pack writes a table as the byte framesPacked, the number of frames (uvarint),
// the first start (varint), and for each frame its length (uvarint).
func (t FrameTable) pack() ([]byte, error) {
	if len(t.PTS) == 0 {
		return nil, errors.New("a frame table without frames")
	}
	b := binary.AppendUvarint([]byte{framesPacked}, uint64(len(t.PTS)))
	b = binary.AppendVarint(b, int64(t.PTS[0]))
	for i, at := range t.PTS {
		next := t.End
		if i+1 < len(t.PTS) {
			next = t.PTS[i+1]
		}
		if next <= at {
			return nil, fmt.Errorf("frame %d at %d µs ends at %d µs", i, at, next)
		}
		b = binary.AppendUvarint(b, uint64(next-at))
	}
	return b, nil
}

// unpack reads what pack wrote.
func unpack(b []byte) (FrameTable, error) {
	broken := errors.New("a frame table that can't be read")
	if len(b) < 2 || b[0] != framesPacked {
		return FrameTable{}, broken
	}
	b = b[1:]
	count, n := binary.Uvarint(b)
	if n <= 0 || count == 0 || count > uint64(len(b)) {
		return FrameTable{}, broken
	}
	b = b[n:]
	first, n := binary.Varint(b)
	if n <= 0 {
		return FrameTable{}, broken
	}
	b = b[n:]
	t := FrameTable{PTS: make([]annotate.Micros, count)}
	at := annotate.Micros(first)
	for i := range t.PTS {
		length, n := binary.Uvarint(b)
		if n <= 0 {
			return FrameTable{}, broken
		}
		t.PTS[i] = at
		at += annotate.Micros(length)
		b = b[n:]
	}
	t.End = at
	if len(b) > 0 {
		return FrameTable{}, broken
	}
	return t, nil
}

// FirstWindow returns the window of a reading that nobody has coded in yet: the
// first frame, or the one that starts nearest to where the dog comes in (nil: at
// once). It can't be empty, and grows as coding gets on.
func (t FrameTable) FirstWindow(dog *annotate.Span) annotate.Span {
	k := 0
	if dog != nil {
		k, _ = slices.BinarySearch(t.PTS, dog.Start)
		if k > 0 && (k == len(t.PTS) || dog.Start-t.PTS[k-1] <= t.PTS[k]-dog.Start) {
			k--
		}
	}
	w := annotate.Span{Start: max(0, t.PTS[k]), End: t.End} // nothing is coded before 0
	if k+1 < len(t.PTS) && t.PTS[k+1] > w.Start {
		w.End = t.PTS[k+1]
	}
	return w
}

// Frames returns a clip's frame table if it is ready, and the state it is in.
func (s *Store) Frames(ctx context.Context, clipID string) (FrameTable, FrameState, error) {
	var state FrameState
	var packed []byte
	var t FrameTable
	err := s.read.QueryRowContext(ctx, `
		SELECT f.frames, f.warning, t.packed
		FROM live_clips c JOIN footage f ON f.id = c.footage_id LEFT JOIN frame_tables t ON t.footage_id = f.id
		WHERE c.id = ?`, clipID).Scan(&state, &t.Warning, &packed)
	if err == nil && state == FramesReady {
		warning := t.Warning
		t, err = unpack(packed)
		t.Warning = warning
	}
	if err != nil {
		return FrameTable{}, "", fmt.Errorf("store: frames of clip %s: %w", clipID, translate(err))
	}
	if state != FramesReady {
		return FrameTable{}, state, nil
	}
	return t, state, nil
}

// SetFrames stores footage's frame table. Its length and start are the table's
// from now on, and the windows of readings that nobody has coded in follow.
func (s *Store) SetFrames(ctx context.Context, footageID string, t FrameTable) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error { return setFrames(ctx, tx, footageID, t) })
	if err != nil {
		return fmt.Errorf("store: set frames of footage %s: %w", footageID, err)
	}
	return nil
}

func setFrames(ctx context.Context, tx *sql.Tx, footageID string, t FrameTable) error {
	packed, err := t.pack()
	if err != nil {
		return err
	}
	if err := one(tx.ExecContext(ctx, `
		UPDATE footage SET frames = 'ready', duration_us = ?, start_us = ?, warning = ? WHERE id = ?`,
		t.End, t.PTS[0], t.Warning, footageID)); err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, `
		INSERT INTO frame_tables (footage_id, packed) VALUES (?, ?)
		ON CONFLICT (footage_id) DO UPDATE SET packed = excluded.packed`, footageID, packed); err != nil {
		return err
	}
	return moveFirstWindows(ctx, tx, footageID)
}

// FailFrames says that footage's frame table can't be read, and why.
func (s *Store) FailFrames(ctx context.Context, footageID, why string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return one(tx.ExecContext(ctx, `UPDATE footage SET frames = 'failed', warning = ? WHERE id = ?`, why, footageID))
	})
	if err != nil {
		return fmt.Errorf("store: fail frames of footage %s: %w", footageID, err)
	}
	return nil
}
