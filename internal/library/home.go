package library

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// exportsName is the folder below the library's for what is made from it.
const exportsName = "exports"

// Folders returns the folders known to the library, in which moved and dropped
// files are looked for, the newest first.
func (l *Library) Folders(ctx context.Context) ([]string, error) { return l.store.Folders(ctx) }

// ForgetFolder takes a folder out of those known to the library. Clips that lie in
// it are still found at their place; once moved, they aren't looked for there.
// Adding something from it makes it known again.
func (l *Library) ForgetFolder(ctx context.Context, path string) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	return l.store.ForgetFolder(ctx, path)
}

// Sizes is what a library's folder takes on the disk, in bytes.
type Sizes struct {
	Database int64 // with what SQLite keeps beside it
	Copies   int64 // that browsers can play
	Exports  int64 // backups and the like
	Others   int64 // whatever else lies there, films of the demo for instance
}

// Total returns all of it.
func (s Sizes) Total() int64 { return s.Database + s.Copies + s.Exports + s.Others }

// Sizes measures the library's folder.
func (l *Library) Sizes(ctx context.Context) (Sizes, error) {
	var out Sizes
	err := filepath.WalkDir(l.dir, func(path string, d fs.DirEntry, err error) error {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if errors.Is(err, fs.ErrNotExist) { // went meanwhile
			return nil
		}
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		info, err := d.Info()
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		below, err := filepath.Rel(l.dir, path)
		if err != nil {
			return err
		}
		switch first, _, _ := strings.Cut(filepath.ToSlash(below), "/"); {
		case first == "media":
			out.Copies += info.Size()
		case first == exportsName:
			out.Exports += info.Size()
		case strings.HasPrefix(first, databaseName):
			out.Database += info.Size()
		default:
			out.Others += info.Size()
		}
		return nil
	})
	if err != nil {
		return Sizes{}, fmt.Errorf("library: size: %w", err)
	}
	return out, nil
}

// BackupFile is a backup in the library's own folder.
type BackupFile struct {
	Name, Path string
	Size       int64
	At         time.Time // when it was made
}

// BackupHere writes a checked copy of the database into the library's folder
// exports and returns its name there, which has the time in it.
func (l *Library) BackupHere(ctx context.Context) (string, error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	dir := filepath.Join(l.dir, exportsName)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("library: backup: %w", err)
	}
	name := "library-" + l.cfg.Now().Format("2006-01-02-150405") + ".db"
	err = l.store.Backup(ctx, filepath.Join(dir, name))
	if errors.Is(err, fs.ErrExist) { // asked for twice within a second: that one will do
		err = nil
	}
	return name, err
}

// BackupsHere returns the backups in the library's folder exports, the newest
// first.
func (l *Library) BackupsHere() ([]BackupFile, error) {
	dir := filepath.Join(l.dir, exportsName)
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("library: backups: %w", err)
	}
	var list []BackupFile
	for _, e := range entries {
		if !e.Type().IsRegular() || !strings.HasPrefix(e.Name(), "library-") || filepath.Ext(e.Name()) != ".db" {
			continue
		}
		info, err := e.Info()
		if err != nil {
			continue // went meanwhile
		}
		list = append(list, BackupFile{Name: e.Name(), Path: filepath.Join(dir, e.Name()), Size: info.Size(), At: info.ModTime()})
	}
	slices.SortFunc(list, func(a, b BackupFile) int { return cmp.Or(b.At.Compare(a.At), cmp.Compare(b.Name, a.Name)) })
	return list, nil
}
