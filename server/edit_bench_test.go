package server

import (
	"context"
	"database/sql"
	"fmt"
	"net/http/httptest"
	"path/filepath"
	"runtime/debug"
	"slices"
	"testing"
	"time"

	"afterwalk/annotate"
)

// BenchmarkEdit times what a key press costs: the whole handler, from the request
// to the reply with its measures, on a reading with many events. Beside it, in
// turn, runs one bare transaction that writes the same rows with the same
// durability to a copy of the database. The ratio of the medians should stay
// below 1.5.
func BenchmarkEdit(b *testing.B) {
	percent := debug.SetGCPercent(400) // as the program has it
	defer debug.SetGCPercent(percent)
	for _, events := range []int{50, 200, 1000} {
		b.Run(fmt.Sprintf("events=%d", events), func(b *testing.B) { benchmarkEdit(b, events) })
	}
}

func benchmarkEdit(b *testing.B, events int) {
	f := newFixture(b, facts{})
	id := f.read(b, f.add(b, "Tansy", "walk.mp4", 100))
	if err := f.lib.WaitFrames(b.Context()); err != nil {
		b.Fatal(err)
	}
	gap := 9 * annotate.Second / annotate.Micros(events)
	codes := []string{"down", "did", "praise", "marker", "tone"}
	for i := range events {
		at := annotate.Micros(i) * gap
		f.edit(b, id, put(newID(), codes[i%len(codes)], at, at, 0))
	}
	bare := openBare(b, f)

	var handled, bareTook []time.Duration
	for i := 0; b.Loop(); i++ {
		at := annotate.Micros(i) % (9 * annotate.Second)
		r := f.request("POST", "/api/readings/"+id+"/edits", put(newID(), codes[i%len(codes)], at, at, 0))
		w := httptest.NewRecorder()
		began := time.Now()
		f.Handler().ServeHTTP(w, r)
		handled = append(handled, time.Since(began))
		if w.Code != 200 {
			b.Fatalf("edit = %d %s", w.Code, w.Body)
		}
		rows := bare.last(b, id)
		began = time.Now()
		if err := bare.write(b.Context(), rows); err != nil {
			b.Fatal(err)
		}
		bareTook = append(bareTook, time.Since(began))
		// So that the reading keeps its size, take the event out again.
		f.edit(b, id, fmt.Sprintf(`{"id":%q,"base":0,"remove":[{"id":%q,"was":%d}]}`, newID(), rows.event[1], rows.journal[1]))
	}
	micros := func(d []time.Duration, at float64) float64 {
		slices.Sort(d)
		return float64(d[int(at*float64(len(d)-1))].Nanoseconds()) / 1e3
	}
	b.ReportMetric(micros(handled, 0.5), "edit-µs")
	b.ReportMetric(micros(handled, 0.95), "edit-p95-µs")
	b.ReportMetric(micros(bareTook, 0.5), "bare-µs")
	b.ReportMetric(micros(handled, 0.5)/micros(bareTook, 0.5), "ratio")
	b.ReportMetric(0, "ns/op") // both halves and what lies between: of no use
}

// bareDB writes the rows of an edit with nothing around them, and reads them from
// the library first.
type bareDB struct {
	copy, library          *sql.DB
	journal, event, update *sql.Stmt
}

// rows are what one edit wrote.
type rows struct{ journal, event, reading []any }

func openBare(b *testing.B, f fixture) *bareDB {
	b.Helper()
	path := filepath.Join(b.TempDir(), "copy.db")
	if err := f.lib.Backup(b.Context(), path); err != nil {
		b.Fatal(err)
	}
	open := func(path, more string) *sql.DB {
		db, err := sql.Open("sqlite3", "file:"+filepath.ToSlash(path)+"?_journal_mode=WAL&_synchronous=FULL&_foreign_keys=on&_busy_timeout=5000"+more)
		if err != nil {
			b.Fatal(err)
		}
		db.SetMaxOpenConns(1)
		b.Cleanup(func() { db.Close() })
		return db
	}
	d := &bareDB{copy: open(path, "&_txlock=immediate"), library: open(filepath.Join(f.lib.Dir(), "library.db"), "&mode=ro")}
	for text, to := range map[string]**sql.Stmt{
		`INSERT INTO journal (reading_id, revision, edit_id, at, version, payload) VALUES (?, ?, ?, ?, ?, ?)`:                       &d.journal,
		`INSERT INTO events (reading_id, id, code, start_us, end_us, rev, note, details, extra) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`: &d.event,
		`UPDATE readings SET revision = ?, window_start_us = ?, window_end_us = ?, updated_at = ? WHERE id = ?`:                     &d.update,
	} {
		var err error
		if *to, err = d.copy.PrepareContext(b.Context(), text); err != nil {
			b.Fatal(err)
		}
	}
	return d
}

// last returns the rows of the newest edit of a reading.
func (d *bareDB) last(b *testing.B, reading string) rows {
	b.Helper()
	scan := func(n int, query string, args ...any) []any {
		values := make([]any, n)
		into := make([]any, n)
		for i := range values {
			into[i] = &values[i]
		}
		if err := d.library.QueryRowContext(b.Context(), query, args...).Scan(into...); err != nil {
			b.Fatal(err)
		}
		return values
	}
	var r rows
	r.journal = scan(6, `SELECT reading_id, revision, edit_id, at, version, payload FROM journal WHERE reading_id = ? ORDER BY revision DESC LIMIT 1`, reading)
	r.event = scan(9, `SELECT reading_id, id, code, start_us, end_us, rev, note, details, extra FROM events WHERE reading_id = ? AND rev = ?`, reading, r.journal[1])
	r.reading = scan(5, `SELECT revision, window_start_us, window_end_us, updated_at, id FROM readings WHERE id = ?`, reading)
	return r
}

// write writes rows in one transaction.
func (d *bareDB) write(ctx context.Context, r rows) error {
	tx, err := d.copy.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if _, err := tx.StmtContext(ctx, d.journal).ExecContext(ctx, r.journal...); err != nil {
		return err
	}
	if _, err := tx.StmtContext(ctx, d.event).ExecContext(ctx, r.event...); err != nil {
		return err
	}
	if _, err := tx.StmtContext(ctx, d.update).ExecContext(ctx, r.reading...); err != nil {
		return err
	}
	return tx.Commit()
}
