package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"afterwalk/annotate"
)

// Found is a text that a search found, with all that it lies in.
type Found struct {
	Kind  string // "dog", "session", "clip", "reading", "event"
	Field string // "name", "notes", "device", "venue", "handler", "line", "plan", "file", "reader", "note", "who"
	Text  string
	Marks [][2]int // what was found in it: byte ranges, in order, apart from each other

	DogID, Dog       string // the dog's name
	SessionID, Venue string
	StartedAt        *time.Time // of the session
	ClipID, File     string
	ReadingID        string
	Reader           string
	EventID, Code    string // Code is the code's name
	At               annotate.Micros

	id   int64 // of the text: newer ones have higher ones
	when int64 // of what it belongs to
}

// enough is how many texts are looked at before the newest of them are chosen: a
// query that finds more is too wide to be looked through.
const enough = 1000

// Search returns the texts that have all words of a query, each as the start of a
// word; where there are none, or the query has no words, those that have all its
// pieces anywhere. Letter case and accents don't count. Names of dogs come first,
// then the newest, at most limit. What lies in the bin isn't found.
func (s *Store) Search(ctx context.Context, text string, limit int) ([]Found, error) {
	q := newQuery(text)
	if len(q.terms) == 0 || limit <= 0 {
		return nil, nil
	}
	var list []Found
	err := s.view(ctx, func(ctx context.Context, tx *sql.Tx) (err error) {
		if !q.loose {
			if list, err = s.searchWords(ctx, tx, q, max(limit, enough)); err != nil {
				return err
			}
		}
		if len(list) == 0 {
			list, err = s.searchAnywhere(ctx, tx, q, max(limit, enough))
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("store: search: %w", err)
	}
	name := func(f Found) int {
		if f.Kind == "dog" && f.Field == "name" {
			return 0
		}
		return 1
	}
	slices.SortFunc(list, func(a, b Found) int {
		return cmp.Or(cmp.Compare(name(a), name(b)), cmp.Compare(b.when, a.when), cmp.Compare(b.id, a.id), cmp.Compare(a.ClipID, b.ClipID))
	})
	return list[:min(limit, len(list))], nil
}

// names is a condition on typed: the names of dogs.
const names = `kind = 'dog' AND field = 'name'`

// searchWords asks the index. Names of dogs, which are few, are looked at one by
// one: the index takes signs that it doesn't know for letters.
func (s *Store) searchWords(ctx context.Context, tx *sql.Tx, q query, most int) ([]Found, error) {
	ids, err := q.scan(ctx, tx, names, false, most)
	if err != nil {
		return nil, err
	}
	seen := map[int64]bool{}
	for _, id := range ids {
		seen[id] = true
	}
	list, err := s.found(ctx, tx, q, false, ids)
	for before := int64(1<<63 - 1); err == nil && len(list) < most; {
		rows, queryErr := tx.QueryContext(ctx, `
			SELECT docid FROM typed_words WHERE typed_words MATCH ? AND docid < ? ORDER BY docid DESC LIMIT ?`, q.match(), before, enough)
		ids, err = collect(rows, queryErr, func(rows *sql.Rows) (id int64, err error) { return id, rows.Scan(&id) })
		if err != nil || len(ids) == 0 {
			break
		}
		before = ids[len(ids)-1]
		var more []Found
		more, err = s.found(ctx, tx, q, false, ids)
		for _, f := range more {
			if !seen[f.id] {
				list = append(list, f)
			}
		}
	}
	return list, err
}

// searchAnywhere looks at every text.
func (s *Store) searchAnywhere(ctx context.Context, tx *sql.Tx, q query, most int) ([]Found, error) {
	ids, err := q.scan(ctx, tx, names, true, most)
	if err != nil {
		return nil, err
	}
	others, err := q.scan(ctx, tx, `NOT (`+names+`)`, true, 10*most) // some of them may lie in the bin
	if err != nil {
		return nil, err
	}
	return s.found(ctx, tx, q, true, append(ids, others...))
}

// scan returns the newest texts that a condition picks and that have the query.
func (q query) scan(ctx context.Context, tx *sql.Tx, which string, loose bool, most int) ([]int64, error) {
	rows, err := tx.QueryContext(ctx, `SELECT id, text FROM typed WHERE `+which+` ORDER BY id DESC`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var ids []int64
	for rows.Next() && len(ids) < most {
		var id int64
		var text string
		if err := rows.Scan(&id, &text); err != nil {
			return nil, err
		}
		if _, all := q.in(text, loose); all {
			ids = append(ids, id)
		}
	}
	return ids, rows.Err()
}

// found returns texts with all that they lie in, but not those in the bin. A file's
// name is found once for each clip that it is.
func (s *Store) found(ctx context.Context, tx *sql.Tx, q query, loose bool, ids []int64) ([]Found, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	chosen, err := json.Marshal(ids)
	if err != nil {
		return nil, err
	}
	rows, err := tx.QueryContext(ctx, foundTexts, string(chosen))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []Found
	var books []string
	for rows.Next() {
		var f Found
		var started *int64
		var zone, book string
		if err := rows.Scan(&f.id, &f.Kind, &f.Field, &f.Text, &f.DogID, &f.Dog, &f.SessionID, &f.Venue, &started, &zone,
			&f.ClipID, &f.File, &f.ReadingID, &f.Reader, &f.EventID, &f.Code, &f.At, &book, &f.when); err != nil {
			return nil, err
		}
		f.StartedAt = inZone(started, zone)
		f.Marks, _ = q.in(f.Text, loose)
		list, books = append(list, f), append(books, book)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	for i := range list {
		if list[i].Code == "" {
			continue
		}
		b, err := s.book(ctx, tx, books[i])
		if err != nil {
			return nil, err
		}
		if code, _, ok := b.Code(list[i].Code); ok {
			list[i].Code = code.Name
		}
	}
	return list, nil
}

// foundTexts are texts by their ids with what they lie in, outside the bin.
const foundTexts = `
	WITH chosen AS (SELECT t.* FROM json_each(?) j CROSS JOIN typed t ON t.id = j.value),
	dogs_of AS (
		SELECT t.id AS text_id, 'dog' AS kind, d.id AS dog, NULL AS session, NULL AS clip, NULL AS reading, d.created_at AS at
		FROM chosen t CROSS JOIN live_dogs d ON d.id = t.ref WHERE t.kind = 'dog'),
	sessions_of AS (
		SELECT t.id, 'session', s.dog_id, s.id, NULL, NULL, s.created_at FROM chosen t CROSS JOIN live_sessions s ON s.id = t.ref WHERE t.kind = 'session'),
	clips_of AS (
		SELECT t.id, 'clip', c.dog_id, c.session_id, c.id, NULL, c.added_at FROM chosen t CROSS JOIN live_clips c ON c.footage_id = t.ref WHERE t.kind = 'footage'),
	readings_of AS (
		SELECT t.id, t.kind, c.dog_id, c.session_id, c.id, r.id, r.created_at
		FROM chosen t CROSS JOIN live_readings r ON r.id = iif(t.kind = 'event', t.below, t.ref) JOIN clips c ON c.id = r.clip_id
		WHERE t.kind IN ('reading', 'event')),
	places AS (SELECT * FROM dogs_of UNION ALL SELECT * FROM sessions_of UNION ALL SELECT * FROM clips_of UNION ALL SELECT * FROM readings_of),
	dated AS (
		SELECT p.*,
		       (SELECT f.recorded_at FROM clips c JOIN footage f ON f.id = c.footage_id
		        WHERE c.session_id = p.session AND c.binned_at IS NULL AND f.recorded_at IS NOT NULL ORDER BY f.recorded_at LIMIT 1) AS started,
		       (SELECT f.recorded_zone FROM clips c JOIN footage f ON f.id = c.footage_id
		        WHERE c.session_id = p.session AND c.binned_at IS NULL AND f.recorded_at IS NOT NULL ORDER BY f.recorded_at LIMIT 1) AS zone
		FROM places p)
	SELECT t.id, p.kind, t.field, t.text, d.id, d.name, COALESCE(s.id, ''), COALESCE(s.venue, ''), p.started, COALESCE(p.zone, ''),
	       COALESCE(c.id, ''), COALESCE(f.name, ''), COALESCE(r.id, ''), COALESCE(r.reader, ''),
	       COALESCE(e.id, ''), COALESCE(e.code, ''), COALESCE(e.start_us, 0), COALESCE(r.book, ''), COALESCE(p.started, p.at)
	FROM dated p
	JOIN typed t ON t.id = p.text_id
	JOIN dogs d ON d.id = p.dog
	LEFT JOIN sessions s ON s.id = p.session
	LEFT JOIN clips c ON c.id = p.clip
	LEFT JOIN footage f ON f.id = c.footage_id
	LEFT JOIN readings r ON r.id = p.reading
	LEFT JOIN events e ON p.kind = 'event' AND e.reading_id = t.below AND e.id = t.ref`
