package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	"afterwalk/annotate"
)

// Options say how a database is opened.
type Options struct {
	ReadOnly bool             // change nothing; the file must be there
	Now      func() time.Time // nil: time.Now
}

// Store is an open database.
type Store struct {
	path  string
	write *sql.DB // one connection; nil where only reading
	read  *sql.DB
	now   func() time.Time
	edits *editStatements // nil where only reading
	books sync.Map        // hash to *annotate.Codebook, so that readings share their books
}

// readers is how many reads run side by side.
const readers = 4

// Open opens the database at path. Unless o.ReadOnly it makes it where it is
// missing, and brings an older one up to date after keeping a copy of it beside
// it. It fails with [ErrNewer] for one that a newer program wrote, [ErrOlder] for
// one that has to be brought up to date but may not be written, [ErrForeign] for
// a file that is something else.
//
// Whoever opens it to write sees to it that nobody else does.
func Open(ctx context.Context, path string, o Options) (*Store, error) {
	return open(ctx, path, o, migrations())
}

func open(ctx context.Context, path string, o Options, steps fs.FS) (*Store, error) {
	s := &Store{path: path, now: o.Now}
	if s.now == nil {
		s.now = time.Now
	}
	if err := s.open(ctx, o, steps); err != nil {
		return nil, fmt.Errorf("store: open %s: %w", path, errors.Join(translate(err), s.Close()))
	}
	return s, nil
}

func (s *Store) open(ctx context.Context, o Options, steps fs.FS) error {
	target, err := newest(steps)
	if err != nil {
		return err
	}
	// Look before touching: even the journal mode of a file that isn't ours stays.
	found := version{fresh: true}
	info, err := os.Stat(s.path)
	switch {
	case err == nil && info.Size() > 0:
		s.read = connect(s.path, reading, readers)
		if found, err = look(ctx, s.read); err != nil {
			return err
		}
	case err != nil && (o.ReadOnly || !errors.Is(err, fs.ErrNotExist)):
		return err
	}
	switch {
	case found.number > target:
		return fmt.Errorf("%w (version %d, this program knows up to %d)", ErrNewer, found.number, target)
	case o.ReadOnly && found.number < target:
		return ErrOlder
	case o.ReadOnly:
		return nil
	}
	s.write = connect(s.path, writing, 1)
	if found.number < target {
		if !found.fresh {
			if err := keepCopy(ctx, s.write, s.path, found.number); err != nil {
				return err
			}
		}
		if err := migrate(ctx, s.write, steps); err != nil {
			return err
		}
	}
	if s.edits, err = prepareEdits(ctx, s.write); err != nil {
		return err
	}
	if s.read == nil {
		s.read = connect(s.path, reading, readers)
	}
	return nil
}

// Close closes the database. What was written stays written without it; it only
// folds the write-ahead log into the file.
func (s *Store) Close() error {
	var errs []error
	if s.edits != nil {
		errs = append(errs, s.edits.close())
	}
	for _, db := range []*sql.DB{s.read, s.write} { // the writer last: it folds the log in
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// Path returns the file's path.
func (s *Store) Path() string { return s.path }

// update runs f in a transaction that writes, and commits it unless f fails. Once
// begun it isn't broken off when ctx ends: who asked may have gone, but half-made
// work helps nobody.
func (s *Store) update(ctx context.Context, f func(context.Context, *sql.Tx) error) error {
	if s.write == nil {
		return ErrReadOnly
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	ctx = context.WithoutCancel(ctx)
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return translate(err)
	}
	if err := f(ctx, tx); err != nil {
		return errors.Join(translate(err), ignoreDone(tx.Rollback()))
	}
	return translate(tx.Commit())
}

// view runs f in a transaction that only reads: all of it sees one state.
func (s *Store) view(ctx context.Context, f func(context.Context, *sql.Tx) error) error {
	tx, err := s.read.BeginTx(ctx, nil)
	if err != nil {
		return translate(err)
	}
	err = f(ctx, tx)
	return errors.Join(translate(err), ignoreDone(tx.Rollback()))
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

// one reports whether a statement changed one row, ErrNotFound if none.
func one(result sql.Result, err error) error {
	if err != nil {
		return err
	}
	n, err := result.RowsAffected()
	if err == nil && n == 0 {
		return annotate.ErrNotFound
	}
	return err
}

// collect scans all rows of a query.
func collect[T any](rows *sql.Rows, err error, scan func(*sql.Rows) (T, error)) ([]T, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, rows.Err()
}
