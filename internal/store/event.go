package store

import (
	"context"
	"database/sql"
	"fmt"
	"unicode/utf8"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// putEvent adds an event to a reading, or replaces the one with its id.
const putEvent = `
	INSERT INTO events (reading_id, id, code, start_us, end_us, rev, note, details, extra)
	VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)
	ON CONFLICT (reading_id, id) DO UPDATE SET
		code = excluded.code, start_us = excluded.start_us, end_us = excluded.end_us, rev = excluded.rev,
		note = excluded.note, details = excluded.details, extra = excluded.extra`

// eventValues returns the values of putEvent. It fails with annotate.Problems for
// text that isn't UTF-8, since the journal, which is JSON, would hold another.
func eventValues(readingID string, e *annotate.Event) ([]any, error) {
	if !utf8.ValidString(e.ID) || !utf8.ValidString(e.Code) || !utf8.ValidString(e.Note) {
		return nil, annotate.Problems{{Field: "note", Message: fmt.Sprintf("Event %q has text that can't be stored: it is not UTF-8.", e.ID), Hint: "Type it anew."}}
	}
	details, err := wire.Details(e.Details).MarshalJSON()
	if err != nil {
		return nil, err
	}
	extra, err := encodeExtra(e.Extra)
	if err != nil {
		return nil, err
	}
	var end *int64
	if !e.Open {
		end = new(int64(e.End))
	}
	return []any{readingID, e.ID, e.Code, int64(e.Start), end, e.Rev, e.Note, string(details), extra}, nil
}

// events returns a reading's events in order.
func events(ctx context.Context, tx *sql.Tx, readingID string) ([]annotate.Event, error) {
	rows, err := tx.QueryContext(ctx, `
		SELECT id, code, start_us, end_us, rev, note, details, extra
		FROM events WHERE reading_id = ?`, readingID)
	list, err := collect(rows, err, func(rows *sql.Rows) (annotate.Event, error) {
		var e annotate.Event
		var end *int64
		var details []byte
		var extra *string
		if err := rows.Scan(&e.ID, &e.Code, &e.Start, &end, &e.Rev, &e.Note, &details, &extra); err != nil {
			return e, err
		}
		e.Open, e.End = end == nil, e.Start
		if end != nil {
			e.End = annotate.Micros(*end)
		}
		var err error
		if len(details) > len("{}") {
			var w wire.Details
			err = w.UnmarshalJSON(details)
			e.Details = annotate.Details(w)
		}
		if err == nil {
			e.Extra, err = decodeExtra(extra)
		}
		return e, err
	})
	annotate.SortEvents(list)
	return list, err
}
