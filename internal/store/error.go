package store

import (
	"database/sql"
	"errors"
	"fmt"

	"github.com/mattn/go-sqlite3"

	"afterwalk/annotate"
)

// The kinds of error of a database, besides those of annotate.
var (
	ErrNewer    = errors.New("the library was written by a newer afterwalk; nothing was changed. Start that one, or install it")
	ErrOlder    = errors.New("the library was written by an older afterwalk and has to be brought up to date first. Start `afterwalk` once, then try again")
	ErrForeign  = errors.New("the file is not a library of afterwalk; nothing was changed")
	ErrReadOnly = errors.New("the library is open for reading only; nothing was changed")
	ErrFull     = errors.New("the disk is full; the last change was not kept. Make room, then try again")
	ErrDamaged  = errors.New("the database is damaged. Keep the library's folder as it is, run `afterwalk check`, and go back to a backup")
	// ErrBinned says that something lies in the bin; to most it isn't there.
	ErrBinned = fmt.Errorf("it lies in the bin: %w", annotate.ErrNotFound)
	// ErrTaken says that an id is used already.
	ErrTaken = errors.New("the id is taken")
)

// translate turns what the database says into kinds that callers tell apart. The
// cause stays in the chain for the log.
func translate(err error) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, sql.ErrNoRows) {
		return annotate.ErrNotFound
	}
	var e sqlite3.Error
	if !errors.As(err, &e) {
		return err
	}
	kind := error(nil)
	switch e.Code {
	case sqlite3.ErrFull:
		kind = ErrFull
	case sqlite3.ErrCorrupt:
		kind = ErrDamaged
	case sqlite3.ErrNotADB:
		kind = ErrForeign
	case sqlite3.ErrReadonly:
		kind = ErrReadOnly
	}
	switch e.ExtendedCode {
	case sqlite3.ErrConstraintPrimaryKey, sqlite3.ErrConstraintUnique:
		kind = ErrTaken
	}
	if kind == nil || errors.Is(err, kind) {
		return err
	}
	return fmt.Errorf("%w: %w", kind, err)
}
