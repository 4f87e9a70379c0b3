package store

import (
	"database/sql"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every connection of both handles has every setting, all at the same time, so
// none of them is the one that a PRAGMA happened to reach.
func TestPragmas(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	for _, h := range []struct {
		name        string
		db          *sql.DB
		connections int
	}{{"write", s.write, 1}, {"read", s.read, readers}} {
		if got := h.db.Stats().MaxOpenConnections; got != h.connections {
			t.Errorf("%s handle has at most %d connections, want %d", h.name, got, h.connections)
		}
		for i := range h.connections {
			c, err := h.db.Conn(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			defer c.Close()
			for name, want := range map[string]string{
				"journal_mode":         "wal",
				"synchronous":          "2", // FULL
				"foreign_keys":         "1",
				"busy_timeout":         "5000",
				"fullfsync":            "1",
				"checkpoint_fullfsync": "1",
				"trusted_schema":       "0",
			} {
				if got := pragma(t, c, name); got != want {
					t.Errorf("%s connection %d: PRAGMA %s = %s, want %s", h.name, i, name, got, want)
				}
			}
			_, err = c.ExecContext(t.Context(), `INSERT INTO facts (name, value) VALUES ('x', 'y')`)
			if refused := err != nil; refused != (h.name == "read") {
				t.Errorf("%s connection %d: writing gave %v", h.name, i, err)
			}
			if _, err := c.ExecContext(t.Context(), `DELETE FROM facts WHERE name = 'x'`); h.name == "write" && err != nil {
				t.Fatal(err)
			}
		}
	}
}

// A write transaction takes the lock when it begins, so that it never fails in
// its middle because another one was quicker.
func TestTransactionsAreImmediate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	s := openTest(t, path)
	tx, err := s.write.BeginTx(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = tx.Rollback() }()
	second := connect(path, writing, 1)
	defer second.Close()
	c, err := second.Conn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := c.ExecContext(t.Context(), `PRAGMA busy_timeout = 0`); err != nil {
		t.Fatal(err)
	}
	if tx2, err := c.BeginTx(t.Context(), nil); err == nil {
		_ = tx2.Rollback()
		t.Error("a second transaction that writes could begin beside the first")
	}
	if tx3, err := s.read.BeginTx(t.Context(), nil); err != nil {
		t.Errorf("reading beside a transaction that writes: %v", err)
	} else {
		_ = tx3.Rollback()
	}
}

// Signs that mean something in addresses are plain parts of a file's name.
func TestHostileFileNames(t *testing.T) {
	for _, name := range []string{
		"plain", `quo"te's`, "100% sure?", "a#b", "%41", "a?mode=memory&cache=shared", "🐕 läuft", "a;b", "a+b", " leading", "trailing ",
		strings.Repeat("n", 250),
	} {
		dir := filepath.Join(t.TempDir(), name)
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		s := openTest(t, filepath.Join(dir, "library.db"))
		fill(t, s)
		if err := s.Close(); err != nil {
			t.Errorf("close in %q: %v", name, err)
		}
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		if len(entries) != 1 || entries[0].Name() != "library.db" {
			t.Errorf("in %q there is %v, want library.db alone", name, entries)
		}
		ro, err := Open(t.Context(), filepath.Join(dir, "library.db"), Options{ReadOnly: true})
		if err != nil {
			t.Errorf("open %q for reading: %v", name, err)
			continue
		}
		if _, err := ro.Dog(t.Context(), "dog"); err != nil {
			t.Errorf("read back from %q: %v", name, err)
		}
		_ = ro.Close()
	}
}

func TestSource(t *testing.T) {
	for _, c := range []struct{ path, want string }{
		{"/a b/l?i#b%.db", "/a b/l?i#b%.db"},
		{`C:/Users/Varga/library.db`, "/C:/Users/Varga/library.db"},
	} {
		u, err := url.Parse(source(c.path, writing))
		if err != nil {
			t.Fatal(err)
		}
		if u.Scheme != "file" || u.Host != "" || u.Fragment != "" || u.Path != c.want {
			t.Errorf("source(%q) = %s, want a file URI of path %q", c.path, u, c.want)
		}
	}
}
