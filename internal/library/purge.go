package library

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/google/uuid"

	"afterwalk/annotate"
)

// purge removes for good what has lain in the bin for longer than binKept, and the
// acts from then, and the copies for browsers and the pictures of footage that is gone. The footage
// itself is its owner's and stays where it is.
func (l *Library) purge(ctx context.Context) error {
	if _, err := l.store.Purge(ctx, l.cfg.Now().Add(-binKept)); err != nil {
		return err
	}
	// Looked for in the folder, not in the answer: a start that was broken off here
	// left some behind.
	folder := filepath.Join(l.dir, mediaName)
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	for _, e := range entries {
		id := strings.TrimSuffix(strings.TrimSuffix(e.Name(), ".mp4"), ".jpg")
		if uuid.Validate(id) != nil || e.Name() != proxyName(id) && e.Name() != stillName(id) || !e.Type().IsRegular() {
			continue
		}
		_, found := l.store.FootageByID(ctx, id)
		if found == nil {
			continue
		}
		if !errors.Is(found, annotate.ErrNotFound) {
			return found
		}
		if err := os.Remove(filepath.Join(folder, e.Name())); err != nil {
			l.cfg.Log.Warn("remove the copy of footage that is gone", "name", e.Name(), "err", err) // it only takes room
		}
	}
	return err
}
