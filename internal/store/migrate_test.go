package store

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
)

// Numbers have no gap and no double, and each step sets the version it leads to:
// that number is how a program tells which steps a file has seen.
func TestMigrationNumbers(t *testing.T) {
	names, err := fs.Glob(migrations(), "*")
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range names {
		if want := fmt.Sprintf("%04d_", i+1); !strings.HasPrefix(name, want) || !strings.HasSuffix(name, ".sql") {
			t.Errorf("migration %s: want %sname.sql", name, want)
		}
		text, err := fs.ReadFile(migrations(), name)
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("PRAGMA user_version = %d;", i+1); !strings.Contains(string(text), want) {
			t.Errorf("migration %s lacks %q", name, want)
		}
		if strings.Contains(string(text), "+goose Down") {
			t.Errorf("migration %s leads back; they only lead forward", name)
		}
	}
}

func TestSchema(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	rows, err := s.read.QueryContext(t.Context(), `
		SELECT sql FROM sqlite_schema
		WHERE sql IS NOT NULL AND tbl_name NOT LIKE 'goose%' AND tbl_name <> 'sqlite_sequence' AND tbl_name NOT IN (`+shadows+`)
		ORDER BY type, name`)
	list, err := collect(rows, err, func(rows *sql.Rows) (string, error) {
		var text string
		err := rows.Scan(&text)
		return text, err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range list {
		if strings.HasPrefix(text, "CREATE TABLE") && !strings.Contains(text, "STRICT") {
			t.Errorf("a table isn't STRICT:\n%s", text)
		}
	}
	golden(t, "schema.sql", strings.Join(list, ";\n\n")+";\n")
	if got := pragma(t, s.read, "application_id"); got != fmt.Sprint(applicationID) {
		t.Errorf("application_id = %s, want %d", got, applicationID)
	}
}

// shadows are the tables that SQLite keeps for the search index, as it likes.
const shadows = `SELECT name FROM pragma_table_list WHERE type = 'shadow'`

// thisVersion is the number of the last migration.
func thisVersion(t *testing.T) int64 {
	t.Helper()
	n, err := newest(migrations())
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// with returns the migrations and one more step.
func with(t *testing.T, extra string) fstest.MapFS {
	t.Helper()
	next := thisVersion(t) + 1
	steps := fstest.MapFS{fmt.Sprintf("%04d_more.sql", next): {Data: fmt.Appendf(nil, "-- +goose Up\nPRAGMA user_version = %d;\n%s", next, extra)}}
	names, err := fs.Glob(migrations(), "*")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(migrations(), name)
		if err != nil {
			t.Fatal(err)
		}
		steps[name] = &fstest.MapFile{Data: text}
	}
	return steps
}

func TestUpgradeKeepsCopy(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	old := openTest(t, path)
	fill(t, old)
	want := code(t, old, "reading")
	if err := old.Close(); err != nil {
		t.Fatal(err)
	}
	steps := with(t, "ALTER TABLE dogs ADD COLUMN breed TEXT NOT NULL DEFAULT '';")

	if _, err := open(t.Context(), path, Options{ReadOnly: true}, steps); !errors.Is(err, ErrOlder) {
		t.Errorf("open an older library for reading: %v, want ErrOlder", err)
	}
	s, err := open(t.Context(), path, Options{}, steps)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	got, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "after the upgrade", got, want)
	if v, want := pragma(t, s.read, "user_version"), fmt.Sprint(thisVersion(t)+1); v != want {
		t.Errorf("user_version = %s after the upgrade, want %s", v, want)
	}

	kept, err := Open(t.Context(), fmt.Sprintf("%s.version-%d", path, thisVersion(t)), Options{ReadOnly: true})
	if err != nil {
		t.Fatalf("the copy kept before the upgrade: %v", err)
	}
	defer kept.Close()
	if got, err = kept.Reading(t.Context(), "reading"); err != nil {
		t.Fatal(err)
	}
	same(t, "in the copy", got, want)
}

func TestFailedUpgradeChangesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	old := openTest(t, path)
	fill(t, old)
	if err := old.Close(); err != nil {
		t.Fatal(err)
	}
	for range 2 { // the second time the copy is there already
		if _, err := open(t.Context(), path, Options{}, with(t, "ALTER TABLE dogs ADD COLUMN breed TEXT;\nSELECT * FROM nothing;")); err == nil {
			t.Fatal("a step that fails was taken")
		}
	}
	s := openTest(t, path)
	if _, err := s.Dog(t.Context(), "dog"); err != nil {
		t.Errorf("after a failed upgrade: %v", err)
	}
}

func TestNewerIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	s, err := open(t.Context(), path, Options{}, with(t, ""))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []Options{{}, {ReadOnly: true}} {
		_, err := Open(t.Context(), path, o)
		if !errors.Is(err, ErrNewer) {
			t.Errorf("Open(%+v) of a newer library: %v, want ErrNewer", o, err)
		} else if want := fmt.Sprintf("version %d, this program knows up to %d", thisVersion(t)+1, thisVersion(t)); !strings.Contains(err.Error(), want) {
			t.Errorf("Open(%+v) says %q", o, err)
		}
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Error("refusing a newer library changed its file")
	}
}

// What isn't ours is refused and left exactly as it is.
func TestForeignIsRefused(t *testing.T) {
	dir := t.TempDir()
	foreign := filepath.Join(dir, "foreign.db")
	db := connect(foreign, writing, 1)
	if _, err := db.Exec(`PRAGMA journal_mode = DELETE; CREATE TABLE birds (name TEXT); INSERT INTO birds VALUES ('wren')`); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("not a database\n", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{foreign, text} {
		before, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Open(t.Context(), path, Options{}); !errors.Is(err, ErrForeign) {
			t.Errorf("Open(%s): %v, want ErrForeign", filepath.Base(path), err)
		}
		if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
			t.Errorf("refusing %s changed it", filepath.Base(path))
		}
	}
	if _, err := Open(t.Context(), filepath.Join(dir, "missing.db"), Options{ReadOnly: true}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("open what isn't there for reading: %v, want ErrNotExist", err)
	}
}

// A start that was broken off before or in the first step is no obstacle.
func TestBrokenOffStart(t *testing.T) {
	for name, prepare := range map[string]string{
		"empty file":  ``,
		"mode alone":  `PRAGMA journal_mode = WAL`,
		"goose alone": `CREATE TABLE goose_db_version (id INTEGER PRIMARY KEY AUTOINCREMENT, version_id INTEGER NOT NULL, is_applied INTEGER NOT NULL, tstamp TIMESTAMP DEFAULT (datetime('now'))); INSERT INTO goose_db_version (version_id, is_applied) VALUES (0, 1)`,
	} {
		path := filepath.Join(t.TempDir(), "library.db")
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		if prepare != "" {
			db := connect(path, writing, 1)
			if _, err := db.Exec(prepare); err != nil {
				t.Fatal(err)
			}
			if err := db.Close(); err != nil {
				t.Fatal(err)
			}
		}
		s, err := Open(t.Context(), path, Options{Now: clock()})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		fill(t, s)
		_ = s.Close()
	}
}
