package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Backup writes a copy of the database as it is at this moment to path, which
// must not exist, and checks it as Check does. A copy that isn't whole leaves no
// file. path is absolute.
func (s *Store) Backup(ctx context.Context, path string) error {
	if err := s.backup(ctx, path); err != nil {
		return fmt.Errorf("store: backup to %s: %w", path, err)
	}
	return nil
}

func (s *Store) backup(ctx context.Context, path string) (err error) {
	if err := absent(path); err != nil {
		return err
	}
	// Beside its place and under another name until it is known to be whole.
	folder, err := os.MkdirTemp(filepath.Dir(path), ".afterwalk-backup-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	part := filepath.Join(folder, "copy.db")
	if _, err := s.read.ExecContext(ctx, `VACUUM INTO ?`, part); err != nil {
		return translate(err)
	}
	if err := syncFile(part); err != nil {
		return err
	}
	if err := checkCopy(ctx, part); err != nil {
		return err
	}
	if err := place(part, path); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// place moves a file to path unless there is something by now: the name is taken
// first, which only one can do.
func place(part, path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return absent(path)
	}
	if err != nil {
		return err
	}
	err = f.Close()
	if err == nil {
		err = os.Rename(part, path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}

// absent fails if there is something at path.
func absent(path string) error {
	_, err := os.Lstat(path)
	if err == nil {
		return fmt.Errorf("%w: a backup replaces nothing; choose another name", fs.ErrExist)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// checkCopy opens a copy and checks it.
func checkCopy(ctx context.Context, path string) error {
	copied, err := Open(ctx, path, Options{ReadOnly: true})
	if err != nil {
		return fmt.Errorf("the copy can't be opened: %w", err)
	}
	checked, err := copied.Check(ctx)
	if err := errors.Join(err, copied.Close()); err != nil {
		return fmt.Errorf("check the copy: %w", err)
	}
	if len(checked.Problems) > 0 {
		return fmt.Errorf("the copy is not whole, so it was not kept: %s", strings.Join(checked.Problems, " "))
	}
	return nil
}

// syncFolder has the names in a folder written through to the disk, where the
// system can do that.
func syncFolder(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	_ = f.Sync() // Windows and some network drives can't
	return f.Close()
}
