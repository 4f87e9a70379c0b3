package demo

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"

	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
)

// mark is a file in a demo library's folder. It says that the folder is the
// demo's, and whether the library in it is complete.
const mark = "demo.txt"

const (
	building = "This folder is afterwalk's demo library, and was not complete yet.\n"
	complete = "This folder is afterwalk's demo library. It may be deleted.\n"
)

// Build opens the demo library in cfg.Dir and makes it first if it isn't there:
// films in the folder footage below it, dogs, sessions, readings, and one film in
// the inbox. What the
// user has changed in one that is there stays as it is; films that are gone are
// written again. Prober and DefaultBook of cfg may be left out. A folder that
// holds anything else is refused.
func Build(ctx context.Context, cfg library.Config) (*library.Library, error) {
	if cfg.Prober == nil {
		cfg.Prober = Prober()
	}
	if cfg.DefaultBook == nil {
		cfg.DefaultBook = exchange.DefaultBook()
	}
	done, err := begin(cfg.Dir)
	if err != nil {
		return nil, err
	}
	films, err := unpack(filepath.Join(cfg.Dir, "footage"))
	if err != nil {
		return nil, fmt.Errorf("demo: write the films: %w", err)
	}
	lib, err := library.Open(ctx, cfg)
	if err != nil || done {
		return lib, err
	}
	err = fill(ctx, lib, films)
	if err == nil {
		err = maybe.WriteFile(filepath.Join(cfg.Dir, mark), []byte(complete), 0o644)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("demo: build %s: %w", cfg.Dir, err), lib.Close())
	}
	return lib, nil
}

// begin makes the folder and marks it, and reports whether the library in it is
// complete.
func begin(dir string) (done bool, err error) {
	text, err := os.ReadFile(filepath.Join(dir, mark))
	if err == nil {
		return string(text) == complete, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return false, fmt.Errorf("demo: look into %s: %w", dir, err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return false, fmt.Errorf("demo: make the folder: %w", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false, fmt.Errorf("demo: look into %s: %w", dir, err)
	}
	if len(entries) > 0 {
		return false, fmt.Errorf("the folder %s holds other things, and the demo library wants one of its own: name an empty folder or a new one", dir)
	}
	return false, maybe.WriteFile(filepath.Join(dir, mark), []byte(building), 0o644)
}
