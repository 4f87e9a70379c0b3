package store

import (
	"context"
	"database/sql"
	"fmt"
	"path"
)

const footageColumns = `f.id, f.fingerprint, f.root, f.path, f.size, f.format, f.video, f.audio, f.width, f.height, f.rotation,
	f.frame_rate, f.variable, f.duration_us, f.start_us, f.recorded_at, f.recorded_by, f.recorded_zone,
	f.needs_proxy, f.silent, f.warning, f.frames, f.missing, f.proxy, f.proxy_base_us, f.proxy_says`

// scanFootage scans what stands before footageColumns, and those.
func scanFootage(scan func(...any) error, before ...any) (Footage, error) {
	var f Footage
	var recorded *int64
	err := scan(append(before, &f.ID, &f.Fingerprint, &f.Root, &f.Path, &f.Size, &f.Format, &f.Video, &f.Audio, &f.Width, &f.Height, &f.Rotation,
		&f.FrameRate, &f.Variable, &f.Duration, &f.Start, &recorded, &f.RecordedBy, &f.RecordedZone,
		&f.NeedsProxy, &f.Silent, &f.Warning, &f.Frames, &f.Missing, &f.Proxy, &f.ProxyBase, &f.ProxySays)...)
	f.RecordedAt = inZone(recorded, f.RecordedZone)
	return f, err
}

// FootageWith returns the footage with a fingerprint.
func (s *Store) FootageWith(ctx context.Context, fingerprint string) (Footage, error) {
	f, err := scanFootage(s.read.QueryRowContext(ctx, `SELECT `+footageColumns+` FROM footage f WHERE f.fingerprint = ?`, fingerprint).Scan)
	if err != nil {
		return Footage{}, fmt.Errorf("store: footage %s: %w", fingerprint, translate(err))
	}
	return f, nil
}

func (s *Store) insertFootage(ctx context.Context, tx *sql.Tx, f Footage) error {
	_, err := tx.ExecContext(ctx, `
		INSERT INTO footage (id, fingerprint, root, path, name, size, format, video, audio, width, height, rotation,
			frame_rate, variable, duration_us, start_us, recorded_at, recorded_by, recorded_zone,
			needs_proxy, silent, warning, frames, missing, proxy, proxy_base_us, proxy_says, added_at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		f.ID, f.Fingerprint, f.Root, f.Path, path.Base(f.Path), f.Size, f.Format, f.Video, f.Audio, f.Width, f.Height, f.Rotation,
		f.FrameRate, f.Variable, f.Duration, f.Start, toMicros(f.RecordedAt), f.RecordedBy, f.RecordedZone,
		f.NeedsProxy, f.Silent, f.Warning, f.Frames, f.Missing, f.Proxy, f.ProxyBase, f.ProxySays, s.now().UnixMicro())
	return err
}

// MoveFootage says that footage was found at another place.
func (s *Store) MoveFootage(ctx context.Context, id, root, below string) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := s.insertFolder(ctx, tx, root); err != nil {
			return err
		}
		return one(tx.ExecContext(ctx, `
			UPDATE footage SET root = ?, path = ?, name = ?, missing = 0 WHERE id = ?`,
			root, below, path.Base(below), id))
	})
	if err != nil {
		return fmt.Errorf("store: move footage %s: %w", id, err)
	}
	return nil
}

// SetMissing says whether footage is missing at its last known place.
func (s *Store) SetMissing(ctx context.Context, id string, missing bool) error {
	err := s.update(ctx, func(ctx context.Context, tx *sql.Tx) error {
		return one(tx.ExecContext(ctx, `UPDATE footage SET missing = ? WHERE id = ?`, missing, id))
	})
	if err != nil {
		return fmt.Errorf("store: footage %s missing: %w", id, err)
	}
	return nil
}

// Folders returns the folders known to the library, the newest first.
func (s *Store) Folders(ctx context.Context) ([]string, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT path FROM folders ORDER BY added_at DESC, path`)
	list, err := collect(rows, err, func(rows *sql.Rows) (string, error) {
		var p string
		err := rows.Scan(&p)
		return p, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: folders: %w", translate(err))
	}
	return list, nil
}

func (s *Store) insertFolder(ctx context.Context, tx *sql.Tx, folder string) error {
	_, err := tx.ExecContext(ctx, `
		INSERT INTO folders (path, added_at) VALUES (?, ?)
		ON CONFLICT (path) DO UPDATE SET added_at = excluded.added_at`, folder, s.now().UnixMicro())
	return err
}
