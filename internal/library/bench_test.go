package library

import (
	"database/sql"
	"fmt"
	"net/url"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// BenchmarkApply compares an edit through Library.Apply with one bare transaction
// that writes the same rows into a copy of the same database with the same
// durability and nothing that follows events (the words that are searched). Both
// take turns, so that both see the same disk. The ratio of their medians is to stay
// below 1.5; 300 events are a well-coded clip of some minutes. Most edits change no
// note.
func BenchmarkApply(b *testing.B) {
	for _, events := range []int{30, 300, 1000} {
		b.Run(fmt.Sprintf("events=%d", events), func(b *testing.B) { benchmarkApply(b, events, "") })
	}
	b.Run("events=300/note", func(b *testing.B) { benchmarkApply(b, 300, "looked back at the gate ") })
}

func benchmarkApply(b *testing.B, events int, note string) {
	l := start(b, b.TempDir(), &prober{})
	id := oneReading(b, l)
	fill := annotate.Edit{ID: "fill", Reach: new(annotate.Micros(1))}
	for i := range annotate.Micros(events) {
		fill.Put = append(fill.Put, annotate.Put{Event: annotate.Event{ID: newID(), Code: "remark", Start: i * 50_000, End: i*50_000 + 10_000}})
	}
	if _, err := l.Apply(b.Context(), id, fill, nil); err != nil {
		b.Fatal(err)
	}
	bare := newBare(b, l, id)
	var ours, theirs []time.Duration
	n := 1
	for b.Loop() {
		n++
		r, err := l.Reading(b.Context(), id)
		if err != nil {
			b.Fatal(err)
		}
		event := r.Events[n%events]
		was := event.Rev
		event.End += annotate.Micros(1 + n%3)
		if note != "" {
			event.Note = fmt.Sprint(note, n)
		}
		e := annotate.Edit{ID: newID(), Reach: new(annotate.Micros(n)), Put: []annotate.Put{{Event: event, Was: was}}}
		begin := time.Now()
		out, err := l.Apply(b.Context(), id, e, func(*annotate.Reading) {})
		ours = append(ours, time.Since(begin))
		if err != nil {
			b.Fatal(err)
		}
		payload, err := wire.FromApplied(out.Applied).MarshalJSON()
		if err != nil {
			b.Fatal(err)
		}
		begin = time.Now()
		bare.write(b, n, out.Applied, string(payload))
		theirs = append(theirs, time.Since(begin))
	}
	median := func(d []time.Duration) float64 {
		slices.Sort(d)
		return float64(d[len(d)/2])
	}
	b.ReportMetric(median(ours), "apply-ns/edit")
	b.ReportMetric(median(theirs), "bare-ns/edit")
	b.ReportMetric(median(ours)/median(theirs), "ratio")
}

// bare writes rows of edits with nothing around them.
type bare struct {
	db                      *sql.DB
	journal, event, reading *sql.Stmt
	id                      string
}

func newBare(b *testing.B, l *Library, id string) *bare {
	b.Helper()
	path := filepath.Join(b.TempDir(), "bare.db")
	if err := l.Backup(b.Context(), path); err != nil {
		b.Fatal(err)
	}
	db, err := sql.Open("sqlite3", "file:"+url.PathEscape(path)+"?_journal_mode=WAL&_synchronous=FULL&_foreign_keys=on&_txlock=immediate")
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	b.Cleanup(func() { _ = db.Close() })
	for _, trigger := range []string{"events_typed", "events_retyped", "events_untyped"} {
		if _, err := db.Exec(`DROP TRIGGER ` + trigger); err != nil {
			b.Fatal(err)
		}
	}
	prepare := func(text string) *sql.Stmt {
		s, err := db.Prepare(text)
		if err != nil {
			b.Fatal(err)
		}
		return s
	}
	return &bare{
		db: db, id: id,
		journal: prepare(`INSERT INTO journal (reading_id, revision, edit_id, at, version, payload) VALUES (?, ?, ?, ?, ?, ?)`),
		event: prepare(`INSERT INTO events (reading_id, id, code, start_us, end_us, rev, note, details, extra) VALUES (?, ?, ?, ?, ?, ?, ?, '{}', NULL)
			ON CONFLICT (reading_id, id) DO UPDATE SET start_us = excluded.start_us, end_us = excluded.end_us, rev = excluded.rev, note = excluded.note`),
		reading: prepare(`UPDATE readings SET revision = ?, window_end_us = ?, updated_at = ? WHERE id = ?`),
	}
}

func (w *bare) write(b *testing.B, n int, row annotate.Applied, payload string) {
	tx, err := w.db.Begin()
	if err != nil {
		b.Fatal(err)
	}
	e := row.Changes[0].After
	if _, err := tx.Stmt(w.journal).Exec(w.id, n, row.Edit, n, 1, payload); err != nil {
		b.Fatal(err)
	}
	if _, err := tx.Stmt(w.event).Exec(w.id, e.ID, e.Code, int64(e.Start), int64(e.End), n, e.Note); err != nil {
		b.Fatal(err)
	}
	if _, err := tx.Stmt(w.reading).Exec(n, int64(e.End)+1, n, w.id); err != nil {
		b.Fatal(err)
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkLoadReading loads a reading of 5,000 events, each of them an edit of
// its own, as the first look at its desk after a start does: journal followed and
// compared with the events.
func BenchmarkLoadReading(b *testing.B) {
	const events = 5000
	l := start(b, b.TempDir(), &prober{})
	id := oneReading(b, l)
	for i := range annotate.Micros(events) {
		e := annotate.Event{ID: newID(), Code: "remark", Start: i * 10_000, End: i*10_000 + 10_000, Note: "at the gate"}
		if _, err := l.Apply(b.Context(), id, annotate.Edit{ID: newID(), Put: []annotate.Put{{Event: e}}}, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ResetTimer()
	for b.Loop() {
		l.shelf = newShelf()
		r, err := l.Reading(b.Context(), id)
		if err != nil || len(r.Events) != events {
			b.Fatal(err)
		}
	}
}
