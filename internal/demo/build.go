package demo

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"

	"afterwalk/annotate"
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
// films in the folder footage below it, sessions, finished readings. What the
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

// fill adds to a library what is not there yet.
func fill(ctx context.Context, lib *library.Library, films []string) error {
	clips := make([]string, len(films))
	for i, s := range stories() {
		report, err := lib.Add(ctx, library.AddRequest{Dog: s.Dog, Paths: films[i : i+1]}, nil)
		if err != nil {
			return err
		}
		if len(report.Files) != 1 || report.Files[0].ClipID == "" {
			return fmt.Errorf("%s was not added: %+v", s.File, report)
		}
		clips[i] = report.Files[0].ClipID
	}
	if err := lib.WaitFrames(ctx); err != nil {
		return err
	}
	book, err := lib.Book(ctx)
	if err != nil {
		return err
	}
	for i, s := range stories() {
		clip, err := lib.Clip(ctx, clips[i])
		if err != nil {
			return err
		}
		session, err := lib.Session(ctx, clip.SessionID)
		if err != nil {
			return err
		}
		session.Venue, session.Handler, session.Plan, session.Notes = s.Venue, s.Handler, s.Plan, s.Notes
		if err := lib.SetSession(ctx, session); err != nil {
			return err
		}
		readings, err := lib.Readings(ctx, clip.ID)
		if err != nil {
			return err
		}
		if len(readings) > 0 {
			continue // an earlier attempt came that far
		}
		reading, err := s.Reading(book)
		if err != nil {
			return err
		}
		if _, err := lib.ImportReading(ctx, clip.ID, reading); err != nil {
			return err
		}
	}
	return nil
}

// Reading returns the story's coding as a finished reading of its film, made
// with a book that has the codes of the default book.
func (s Story) Reading(book *annotate.Codebook) (*annotate.Reading, error) {
	r := &annotate.Reading{
		ID:     "demo-" + s.Name,
		Clip:   annotate.Clip{File: s.File},
		Dog:    annotate.Dog{Name: s.Dog},
		Reader: s.Handler, Handler: s.Handler, Venue: s.Venue, Side: "left",
		Chosen: "whole", Finished: true, Book: book,
	}
	for _, f := range facts() {
		if f.SHA256 == s.SHA256 {
			r.Clip.Duration, r.Clip.RecordedAt = f.Frames.End, f.Probe.RecordedAt
			r.Window = annotate.Span{Start: f.Frames.PTS[0], End: f.Frames.End}
		}
	}
	for _, e := range s.Coding {
		event, err := e.Event()
		if err != nil {
			return nil, fmt.Errorf("demo: %s, event %s: %w", s.Name, e.ID, err)
		}
		r.Events = append(r.Events, event)
	}
	return r, nil
}
