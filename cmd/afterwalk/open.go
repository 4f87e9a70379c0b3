package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/media"
)

// dataDir returns the system's place for a program's data, with afterwalk's
// folder in it.
func dataDir() (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("where to keep the library: %w; name a folder with --library", err)
	}
	switch runtime.GOOS {
	case "windows":
		if dir := os.Getenv("LocalAppData"); dir != "" {
			return filepath.Join(dir, "afterwalk"), nil
		}
		return filepath.Join(home, "AppData", "Local", "afterwalk"), nil
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "afterwalk"), nil
	}
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "afterwalk"), nil
	}
	return filepath.Join(home, ".local", "share", "afterwalk"), nil
}

// libraryDir returns the folder of the library to use: the one named by
// --library, else name in the data place.
func (c *common) libraryDir(name string) (string, error) {
	if c.library != "" {
		return filepath.Abs(c.library)
	}
	dir, err := dataDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, name), nil
}

// defaultLibrary is the name of the folder in the data place.
const defaultLibrary = "library"

// mode says what a command does with the library.
type mode int

const (
	write mode = iota
	readOnly
)

// open opens the library, for writing or reading. A missing ffmpeg is no error
// here: only adding footage needs it, and says so.
func (c *common) open(ctx context.Context, m mode, errs io.Writer) (*library.Library, error) {
	dir, err := c.libraryDir(defaultLibrary)
	if err != nil {
		return nil, err
	}
	if m == readOnly {
		if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
			return nil, fmt.Errorf("there is no library in %s yet; `afterwalk add` makes one", dir)
		}
	}
	cfg := library.Config{
		Dir: dir, Now: time.Now, Log: c.log(errs), ReadOnly: m == readOnly, DefaultBook: exchange.DefaultBook(),
	}
	if tools, err := media.Find(); err == nil {
		cfg.Prober = tools
	}
	return library.Open(ctx, cfg)
}

// log returns a logger for what a person at the terminal should see.
func (c *common) log(errs io.Writer) *slog.Logger {
	level := slog.LevelWarn
	if c.verbose {
		level = slog.LevelInfo
	}
	return slog.New(slog.NewTextHandler(errs, &slog.HandlerOptions{Level: level}))
}
