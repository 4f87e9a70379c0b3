package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// beginning is what a reading was before the first row of its journal, as JSON.
type beginning struct {
	Revision int64        `json:"revision"`
	Window   wire.Window  `json:"window"`
	Chosen   string       `json:"chosen"`
	Coded    []string     `json:"coded"` // null: all lanes
	Finished bool         `json:"finished"`
	Book     string       `json:"book"` // its hash
	Events   []wire.Event `json:"events"`
}

// beginningVersion is the version of that JSON.
const beginningVersion = 1

func addBeginning(ctx context.Context, tx *sql.Tx, r *annotate.Reading, hash string) error {
	b := beginning{Revision: r.Revision, Window: wire.FromSpan(r.Window), Chosen: r.Chosen, Coded: r.Coded, Finished: r.Finished, Book: hash, Events: []wire.Event{}}
	for _, e := range r.Events {
		b.Events = append(b.Events, wire.FromEvent(e))
	}
	text, err := encodeJSON(b)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `
		INSERT INTO beginnings (reading_id, version, payload) VALUES (?, ?, ?)`, r.ID, beginningVersion, text)
	return err
}

// first returns what a reading was before its journal, as far as a journal
// changes it, and the hash of its book.
func (s *Store) first(ctx context.Context, tx *sql.Tx, id string) (r *annotate.Reading, hash string, err error) {
	var text string
	var version int
	if err := tx.QueryRowContext(ctx, `SELECT version, payload FROM beginnings WHERE reading_id = ?`, id).Scan(&version, &text); err != nil {
		return nil, "", err
	}
	if version != beginningVersion {
		return nil, "", fmt.Errorf("the beginning of reading %s has the unknown version %d", id, version)
	}
	var b beginning
	if err := json.Unmarshal([]byte(text), &b); err != nil {
		return nil, "", err
	}
	r = &annotate.Reading{ID: id, Revision: b.Revision, Window: b.Window.Span(), Chosen: b.Chosen, Coded: b.Coded, Finished: b.Finished}
	if r.Book, err = s.book(ctx, tx, b.Book); err != nil {
		return nil, "", err
	}
	for _, w := range b.Events {
		e, err := w.Event()
		if err != nil {
			return nil, "", err
		}
		r.Events = append(r.Events, e)
	}
	annotate.SortEvents(r.Events)
	return r, b.Book, nil
}

// journal returns the rows of a reading's journal, oldest first.
func journal(ctx context.Context, tx *sql.Tx, id string) ([]annotate.Applied, error) {
	rows, err := tx.QueryContext(ctx, `
		SELECT revision, edit_id, version, payload FROM journal WHERE reading_id = ? ORDER BY revision`, id)
	return collect(rows, err, func(rows *sql.Rows) (annotate.Applied, error) {
		var revision int64
		var edit, text string
		var version int
		if err := rows.Scan(&revision, &edit, &version, &text); err != nil {
			return annotate.Applied{}, err
		}
		if version != wire.AppliedVersion {
			return annotate.Applied{}, fmt.Errorf("row %d of the journal of reading %s has the unknown version %d", revision, id, version)
		}
		a, err := decodeApplied(text)
		if err == nil && (a.Revision != revision || a.Edit != edit) {
			err = fmt.Errorf("row %d of the journal of reading %s is not its own: edit %s, revision %d", revision, id, a.Edit, a.Revision)
		}
		return a, err
	})
}

// loaded is a reading with all that leads to it.
type loaded struct {
	now, first         *annotate.Reading
	nowHash, firstHash string
	rows               []annotate.Applied
}

func (s *Store) load(ctx context.Context, tx *sql.Tx, id string) (l loaded, err error) {
	if l.now, l.nowHash, err = s.current(ctx, tx, id); err != nil {
		return l, err
	}
	if l.first, l.firstHash, err = s.first(ctx, tx, id); err != nil {
		return l, err
	}
	l.rows, err = journal(ctx, tx, id)
	return l, err
}

// differences says where the reading as it is stored isn't what its journal leads
// to; nothing if it is.
func (l loaded) differences() []string {
	var wrong []string
	add := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	to, err := l.first.Replay(l.rows...)
	if err != nil {
		add("its journal can't be followed: %v", err)
		return wrong
	}
	hash := l.firstHash
	if to.Book != l.first.Book {
		if _, hash, err = encodeBook(to.Book); err != nil {
			add("its codebook can't be written: %v", err)
		}
	}
	for _, f := range []struct {
		name        string
		stored, led any
	}{
		{"revision", l.now.Revision, to.Revision},
		{"window", l.now.Window, to.Window},
		{"choice of the window", l.now.Chosen, to.Chosen},
		{"coded lanes", codedText(l.now.Coded), codedText(to.Coded)},
		{"state of being finished", l.now.Finished, to.Finished},
		{"codebook", l.nowHash, hash},
	} {
		if f.stored != f.led {
			add("its %s is %v, but its journal leads to %v", f.name, f.stored, f.led)
		}
	}
	return append(wrong, eventDifferences(l.now.Events, to.Events)...)
}

// eventDifferences compares events as stored with those that the journal leads to.
func eventDifferences(stored, led []annotate.Event) []string {
	var wrong []string
	want := make(map[string]*annotate.Event, len(led))
	for i := range led {
		want[led[i].ID] = &led[i]
	}
	for i := range stored {
		e := &stored[i]
		switch w := want[e.ID]; {
		case w == nil:
			wrong = append(wrong, fmt.Sprintf("event %q is stored, but its journal doesn't lead to it", e.ID))
		case !reflect.DeepEqual(e, w):
			wrong = append(wrong, fmt.Sprintf("event %q is not as its journal leads to", e.ID))
		}
		delete(want, e.ID)
	}
	missing := make([]string, 0, len(want))
	for id := range want {
		missing = append(missing, fmt.Sprintf("event %q is missing, its journal leads to it", id))
	}
	slices.Sort(missing)
	return append(wrong, missing...)
}

// codedText returns coded lanes as a column holds them, "" for all.
func codedText(lanes []string) string {
	text, err := encodeCoded(lanes)
	if err != nil || text == nil {
		return ""
	}
	return *text
}
