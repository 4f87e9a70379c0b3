package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"strconv"
	"strings"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var embedded embed.FS

// migrations returns the steps that lead from an empty file to the newest
// version, in files named 0001_name.sql. They only ever lead forward.
func migrations() fs.FS {
	steps, err := fs.Sub(embedded, "migrations")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	return steps
}

// newest returns the number of the last step.
func newest(steps fs.FS) (int64, error) {
	names, err := fs.Glob(steps, "*.sql")
	if err != nil || len(names) == 0 {
		return 0, errors.Join(errors.New("no migrations"), err)
	}
	number, _, _ := strings.Cut(path.Base(names[len(names)-1]), "_") // Glob sorts
	return strconv.ParseInt(number, 10, 64)
}

// applicationID marks the file as a library of afterwalk: "awlk".
const applicationID = 0x61776c6b

// version is what a file says of itself.
type version struct {
	fresh  bool  // nothing is in it yet
	number int64 // of the last migration
}

// look reads the version of a file that is there, without changing it.
func look(ctx context.Context, db *sql.DB) (version, error) {
	var app, number, tables int64
	err := db.QueryRowContext(ctx, `
		SELECT (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version),
		       (SELECT COUNT(*) FROM sqlite_schema)`).Scan(&app, &number, &tables)
	if err != nil {
		return version{}, err
	}
	// A start that was broken off may have left the file with goose's table alone.
	if app == 0 && number == 0 && tables <= 2 {
		var goose int
		err := db.QueryRowContext(ctx, `SELECT COUNT(*) FROM sqlite_schema WHERE tbl_name IN ('goose_db_version', 'sqlite_sequence')`).Scan(&goose)
		if err != nil {
			return version{}, err
		}
		if int64(goose) == tables {
			return version{fresh: true}, nil
		}
	}
	if app != applicationID || number < 1 {
		return version{}, ErrForeign
	}
	return version{number: number}, nil
}

// migrate runs the steps that are missing, each in a transaction of its own.
func migrate(ctx context.Context, db *sql.DB, steps fs.FS) error {
	p, err := goose.NewProvider(goose.DialectSQLite3, db, steps)
	if err != nil {
		return err
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("bring the database up to date (it is as it was before): %w", err)
	}
	return nil
}

// keepCopy copies a file before it is brought up to date, beside it and under a
// name that says its version: library.db.version-1. A copy that is there from an
// earlier attempt is replaced, since that attempt changed nothing.
func keepCopy(ctx context.Context, db *sql.DB, file string, number int64) error {
	to := fmt.Sprintf("%s.version-%d", file, number)
	part := to + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?`, part); err != nil {
		return errors.Join(fmt.Errorf("keep a copy before bringing the database up to date: %w", err), os.Remove(part))
	}
	if err := syncFile(part); err != nil {
		return err
	}
	return os.Rename(part, to)
}

// syncFile has a file written through to the disk.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
