package store

import (
	"context"
	"database/sql"
	"encoding/json"
)

// checkTyped compares what is searched with what was typed. (The index of its words
// is compared with it by SQLite, in checkFile.)
func checkTyped(ctx context.Context, tx *sql.Tx, c *Checked) error {
	for _, q := range []struct{ query, says string }{
		{`SELECT kind, ref, below, field, text FROM texts EXCEPT SELECT kind, ref, below, field, text FROM typed`, "%d texts can't be found by searching, or only as they were."},
		{`SELECT kind, ref, below, field, text FROM typed EXCEPT SELECT kind, ref, below, field, text FROM texts`, "Searching finds %d texts that aren't there any more."},
	} {
		var n int
		if err := tx.QueryRowContext(ctx, `SELECT COUNT(*) FROM (`+q.query+`)`).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			c.add(q.says, n)
		}
	}
	return nil
}

// windowSlack is how far a clip's window may reach beyond the frame table, in µs: it
// may have been set while the container alone had told the length.
const windowSlack = 1_000_000

// checkClips looks for windows that lie outside their clips.
func checkClips(ctx context.Context, tx *sql.Tx, c *Checked) error {
	lines, err := texts(ctx, tx, `
		SELECT 'The part of ' || f.name || ' that is ' || d.name || '''s runs from ' || c.window_start_us || ' to ' || c.window_end_us || ' µs, but the clip ends at ' || f.duration_us || ' µs.'
		FROM clips c JOIN footage f ON f.id = c.footage_id JOIN dogs d ON d.id = c.dog_id
		WHERE c.window_start_us < 0 OR c.window_end_us <= c.window_start_us
		   OR f.frames = 'ready' AND (c.window_start_us >= f.duration_us OR c.window_end_us > f.duration_us + ?)
		ORDER BY c.id`, windowSlack)
	c.Problems = append(c.Problems, lines...)
	return err
}

// checkActs looks for acts that couldn't be taken back because what they keep can't
// be read.
func checkActs(ctx context.Context, tx *sql.Tx, c *Checked) error {
	rows, err := tx.QueryContext(ctx, `SELECT `+actColumns+` FROM acts a ORDER BY a.id`)
	acts, err := collect(rows, err, func(rows *sql.Rows) (Act, error) { return scanAct(rows.Scan) })
	if err != nil {
		return err
	}
	for _, a := range acts {
		var whole bool
		switch a.Kind {
		case "bin":
			kind, id, err := BinPayload(a)
			_, _, unknown := tableOf(kind)
			whole = err == nil && unknown == nil && id != ""
		case "rename":
			var p renamed
			whole = json.Unmarshal(a.Payload, &p) == nil && p.ID != "" && p.From != "" && p.To != ""
		case "merge":
			var p merged
			whole = decodeImages(a.Payload, &p) == nil && p.Into != "" && p.From.text("id") != ""
		case "sort":
			_, err := SortActOf(a)
			whole = err == nil
		default:
			whole = true // of a kind that somebody else reads
		}
		if !whole {
			c.add("What was done (%s) can't be taken back: what it kept for that can't be read.", a.Title)
		}
	}
	return nil
}

// checkInbox looks for footage that is nowhere, and for rows of the inbox that were
// put away before they came.
func checkInbox(ctx context.Context, tx *sql.Tx, c *Checked) error {
	lines, err := texts(ctx, tx, `
		SELECT 'The film ' || f.name || ' belongs to no dog and isn''t in the inbox.'
		FROM footage f
		WHERE NOT EXISTS (SELECT 1 FROM clips WHERE footage_id = f.id) AND NOT EXISTS (SELECT 1 FROM inbox WHERE footage_id = f.id)
		UNION ALL
		SELECT 'The film ' || f.name || ' was put away from the inbox before it came in.'
		FROM inbox i JOIN footage f ON f.id = i.footage_id WHERE i.closed_at < i.added_at`)
	c.Problems = append(c.Problems, lines...)
	return err
}
