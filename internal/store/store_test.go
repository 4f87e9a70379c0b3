package store

import (
	"path/filepath"
	"testing"
)

func TestSmoke(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "library.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Check(t.Context())
	t.Log(c, err)
	t.Log(s.Backup(t.Context(), filepath.Join(t.TempDir(), "b.db")))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}
