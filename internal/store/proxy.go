package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"afterwalk/annotate"
)

// ErrTimeline says that a proxy made again tells other times than the one by which
// a clip may have been coded. Nothing was changed.
var ErrTimeline = errors.New("store: another timeline than the clip's own")

// SetProxy says what state footage's proxy is in, and what there is to say of it.
func (s *Store) SetProxy(ctx context.Context, footageID string, state ProxyState, says string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return one(tx.ExecContext(ctx, `UPDATE footage SET proxy = ?, proxy_says = ? WHERE id = ?`, state, says, footageID))
	})
	if err != nil {
		return fmt.Errorf("store: proxy of footage %s: %w", footageID, err)
	}
	return nil
}

// ProxyDone is a proxy that was made.
type ProxyDone struct {
	Says string // what differs from the footage, "" if nothing
	// Table, if not nil, takes the place of the footage's own frame table: of
	// footage without usable times, or of which not every frame can be decoded.
	Table *FrameTable
	Base  *annotate.Micros // where the proxy defines the timeline: what its time 0 stands for
}

// FinishProxy says that footage's proxy is ready, and stores the frame table that
// it brings. Where a proxy defined the timeline before, Table and Base have to be
// the same again, or it fails with ErrTimeline.
func (s *Store) FinishProxy(ctx context.Context, footageID string, p ProxyDone) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var base *annotate.Micros
		var packed []byte
		err := tx.QueryRowContext(ctx, `
			SELECT f.proxy_base_us, t.packed
			FROM footage f LEFT JOIN frame_tables t ON t.footage_id = f.id
			WHERE f.id = ?`, footageID).Scan(&base, &packed)
		if err != nil {
			return err
		}
		if base != nil && packed != nil {
			before, err := unpack(packed)
			if err != nil {
				return err
			}
			if p.Base == nil || *p.Base != *base || p.Table == nil || !slices.Equal(p.Table.PTS, before.PTS) {
				return ErrTimeline
			}
		}
		if err := one(tx.ExecContext(ctx, `UPDATE footage SET proxy = 'ready', proxy_says = ?, proxy_base_us = ? WHERE id = ?`, p.Says, p.Base, footageID)); err != nil {
			return err
		}
		if p.Table == nil {
			return nil
		}
		return setFrames(ctx, tx, footageID, *p.Table)
	})
	if err != nil {
		return fmt.Errorf("store: proxy of footage %s: %w", footageID, err)
	}
	return nil
}

// ProxiesWanted returns one clip of each footage whose proxy is wanted and that
// has a clip outside the bin, in the order of sessions and places.
func (s *Store) ProxiesWanted(ctx context.Context) ([]Clip, error) {
	return s.proxies(ctx, ProxyWanted)
}

// ProxiesReady returns the same for proxies that are ready.
func (s *Store) ProxiesReady(ctx context.Context) ([]Clip, error) {
	return s.proxies(ctx, ProxyReady)
}

func (s *Store) proxies(ctx context.Context, state ProxyState) ([]Clip, error) {
	list, err := s.clips(ctx, `
		SELECT c.session_id FROM live_clips c JOIN footage f ON f.id = c.footage_id WHERE f.proxy = ?`,
		`f.proxy = ? AND p.id = (SELECT MIN(id) FROM live_clips WHERE footage_id = f.id)`, state, state)
	if err != nil {
		return nil, fmt.Errorf("store: clips with proxies %s: %w", state, err)
	}
	return list, nil
}

// Footage returns one footage, and its frame table if that is ready.
func (s *Store) Footage(ctx context.Context, id string) (Footage, FrameTable, error) {
	f, err := scanFootage(s.read.QueryRowContext(ctx, `SELECT `+footageColumns+` FROM footage f WHERE f.id = ?`, id).Scan)
	var t FrameTable
	if err == nil && f.Frames == FramesReady {
		var packed []byte
		if err = s.read.QueryRowContext(ctx, `SELECT packed FROM frame_tables WHERE footage_id = ?`, id).Scan(&packed); err == nil {
			t, err = unpack(packed)
			t.Warning = f.Warning
		}
	}
	if err != nil {
		return Footage{}, FrameTable{}, fmt.Errorf("store: footage %s: %w", id, translate(err))
	}
	return f, t, nil
}

// Coded reports whether anybody has coded in a reading of footage.
func (s *Store) Coded(ctx context.Context, footageID string) (bool, error) {
	var coded bool
	err := s.read.QueryRowContext(ctx, `
		SELECT EXISTS (SELECT 1 FROM readings r JOIN clips c ON c.id = r.clip_id WHERE c.footage_id = ? AND r.revision > 0)`,
		footageID).Scan(&coded)
	if err != nil {
		return false, fmt.Errorf("store: coded in footage %s: %w", footageID, translate(err))
	}
	return coded, nil
}
