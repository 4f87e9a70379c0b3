package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Act is something done outside readings that can be taken back.
type Act struct {
	ID, Kind string          // Kind: "bin", "merge", "rename", …
	Title    string          // for the person: what was done, a sentence
	At       time.Time       // when; of a new act with no time, the moment it is stored
	Payload  json.RawMessage // what taking it back needs
	UndoneAt *time.Time      // nil: it stands
}

// ErrUndone says that an act has been taken back before.
var ErrUndone = errors.New("this has been taken back already")

const actColumns = `a.id, a.kind, a.title, a.at, a.payload, a.undone_at`

func scanAct(scan func(...any) error) (Act, error) {
	var a Act
	var at int64
	var payload string
	var undone *int64
	err := scan(&a.ID, &a.Kind, &a.Title, &at, &payload, &undone)
	a.At, a.Payload, a.UndoneAt = time.UnixMicro(at), json.RawMessage(payload), inZone(undone, "")
	return a, err
}

// insertAct stores a new act.
func (s *Store) insertAct(ctx context.Context, tx *sql.Tx, a Act) error {
	if a.At.IsZero() {
		a.At = s.now()
	}
	_, err := tx.ExecContext(ctx, `
		INSERT INTO acts (id, at, kind, title, payload) VALUES (?, ?, ?, ?, ?)`,
		a.ID, a.At.UnixMicro(), a.Kind, a.Title, string(a.Payload))
	return err
}

// Act returns one act.
func (s *Store) Act(ctx context.Context, id string) (Act, error) {
	a, err := scanAct(s.read.QueryRowContext(ctx, `SELECT `+actColumns+` FROM acts a WHERE a.id = ?`, id).Scan)
	if err != nil {
		return Act{}, fmt.Errorf("store: act %s: %w", id, translate(err))
	}
	return a, nil
}

// Acts returns the acts of some kinds (nil: of all) from a time on, the newest
// first, also those that were taken back.
func (s *Store) Acts(ctx context.Context, kinds []string, since time.Time) ([]Act, error) {
	which, args := `TRUE`, []any{since.UnixMicro()}
	if kinds != nil {
		which = `a.kind IN (` + strings.TrimSuffix(strings.Repeat("?, ", len(kinds)), ", ") + `)`
		for _, k := range kinds {
			args = append(args, k)
		}
	}
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+actColumns+` FROM acts a WHERE a.at >= ? AND `+which+`
		ORDER BY a.at DESC, a.id DESC`, args...)
	list, err := collect(rows, err, func(rows *sql.Rows) (Act, error) { return scanAct(rows.Scan) })
	if err != nil {
		return nil, fmt.Errorf("store: acts: %w", translate(err))
	}
	return list, nil
}

// openAct returns an act that stands, for taking it back; ErrUndone for one that
// was.
func openAct(ctx context.Context, tx *sql.Tx, id string) (Act, error) {
	a, err := scanAct(tx.QueryRowContext(ctx, `SELECT `+actColumns+` FROM acts a WHERE a.id = ?`, id).Scan)
	if err == nil && a.UndoneAt != nil {
		err = ErrUndone
	}
	return a, err
}

// undoAct notes that an act was taken back; ErrUndone if it was before. It belongs
// into the transaction that takes it back.
func (s *Store) undoAct(ctx context.Context, tx *sql.Tx, id string) error {
	if _, err := openAct(ctx, tx, id); err != nil {
		return err
	}
	return one(tx.ExecContext(ctx, `UPDATE acts SET undone_at = ? WHERE id = ?`, s.now().UnixMicro(), id))
}
