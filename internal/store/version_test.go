package store

import (
	"database/sql"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// A library as each version wrote it stands in testdata, as SQL: version-1.sql is
// what version 1 left behind. Such a file is made once, when its version is
// released, by -write-version, and never anew.
var writeVersion = flag.Bool("write-version", false, "write the library of the present version to testdata")

// contents is what a library of every version has to be read as.
type contents struct {
	Reading  wire.Reading
	Revision int64
	Done     []string
	Undone   []string
	Journal  int
	Frames   FrameTable
	Session  Session
	Book     string
	Dog      Dog
	Clip     Clip
	Bin      []string // kind and id
	Acts     []string
	Inbox    int      // waiting
	Found    []string // by "pull", "alder", "tansy": kind, field and text
}

func contentsOf(t *testing.T, s *Store) string {
	t.Helper()
	r, err := s.Reading(t.Context(), "reading")
	if err != nil {
		t.Fatal(err)
	}
	c := contents{Reading: wire.FromReading(r), Revision: r.Revision, Done: r.History.Done, Undone: r.History.Undone, Journal: len(r.History.Journal.Rows())}
	if c.Frames, _, err = s.Frames(t.Context(), "clip"); err != nil {
		t.Fatal(err)
	}
	if c.Session, err = s.Session(t.Context(), "session"); err != nil {
		t.Fatal(err)
	}
	b, err := s.NewestBook(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	c.Book = b.Name
	if c.Dog, err = s.Dog(t.Context(), "dog"); err != nil {
		t.Fatal(err)
	}
	c.Dog.CreatedAt = c.Dog.CreatedAt.UTC()
	if c.Clip, err = s.Clip(t.Context(), "clip"); err != nil {
		t.Fatal(err)
	}
	binned, err := s.Binned(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range binned {
		c.Bin = append(c.Bin, b.Kind+" "+b.ID)
	}
	acts, err := s.Acts(t.Context(), nil, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range acts {
		c.Acts = append(c.Acts, a.Kind+": "+a.Title)
	}
	if c.Inbox, err = s.InboxWaiting(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, query := range []string{"pull", "alder", "tansy"} {
		list, err := s.Search(t.Context(), query, 9)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			c.Found = append(c.Found, f.Kind+" "+f.Field+": "+f.Text)
		}
	}
	text, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text) + "\n"
}

func TestEveryVersionIsRead(t *testing.T) {
	last, err := newest(migrations())
	if err != nil {
		t.Fatal(err)
	}
	if *writeVersion {
		writeThisVersion(t, last)
	}
	for version := int64(1); version <= last; version++ {
		text, err := os.ReadFile(filepath.Join("testdata", fmt.Sprintf("version-%d.sql", version)))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "library.db")
		db := connect(path, writing, 1)
		if _, err := db.Exec(string(text)); err != nil {
			t.Fatal(err)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		s := openTest(t, path)
		golden(t, fmt.Sprintf("version-%d.json", version), contentsOf(t, s))
		if c, err := s.Check(t.Context()); err != nil || len(c.Problems) > 0 || c.Edits != 8 {
			t.Errorf("check of version %d: %+v, %v", version, c, err)
		}
		apply(t, s, "reading", annotate.Edit{ID: "undo", Undo: "reading-edit-8"})
		kept := fmt.Sprintf("%s.version-%d", path, version)
		if _, err := os.Stat(kept); (err == nil) != (version < last) {
			t.Errorf("version %d: a copy is kept beside it: %v, want one where it was brought up to date", version, err)
		}
	}
}

// shelve adds something to all that stands around the desk.
func shelve(t *testing.T, s *Store) {
	t.Helper()
	if err := s.Add(t.Context(), Addition{
		Dog: Dog{ID: "bramble", Name: "Bramble", Side: "right", Ceilings: map[string]float64{"collar": 20}, Notes: "slow to sit"}, NewDog: true,
		Sessions: []Session{{ID: "bs", DogID: "bramble", Venue: "Mill Meadow", Line: "10 m"}},
		Footage: []Footage{
			{ID: "heavy", Fingerprint: "heavy", Root: "/films", Path: "heavy.mov", Duration: 5_000_000, NeedsProxy: "HEVC", Frames: FramesFailed, Proxy: ProxyReady, ProxyBase: new(annotate.Micros(40_000)), ProxySays: "All frames."},
		},
		Clips: []NewClip{{ID: "bc", SessionID: "bs", FootageID: "footage"}, {ID: "heavy", SessionID: "bs", FootageID: "heavy"}},
	}); err != nil {
		t.Fatal(err)
	}
	if err := s.Merge(t.Context(), Act{ID: "merge", Kind: "merge", Title: "Bramble was merged into Tansy."}, "bramble", "dog"); err != nil {
		t.Fatal(err)
	}
	d, err := s.Dog(t.Context(), "dog")
	if err != nil {
		t.Fatal(err)
	}
	level := 100.0
	d.Name, d.Devices, d.WearLimitS = "Tansy of Alder", []Device{{Name: "buzzer", Channel: "collar", LevelMax: &level}}, new(1800.0)
	if err := s.SetDog(t.Context(), d, Act{ID: "rename", Kind: "rename", Title: "Tansy is called Tansy of Alder now."}); err != nil {
		t.Fatal(err)
	}
	v := Session{ID: "session", Venue: "Alder Lane", Handler: "I. Varga", Plan: "heel", Notes: "windy", Line: "5 m", Device: "buzzer"}
	if err := s.SetSession(t.Context(), v); err != nil {
		t.Fatal(err)
	}
	if err := s.SetWindow(t.Context(), "clip", &annotate.Span{Start: 20_000, End: 30_000_000}); err != nil {
		t.Fatal(err)
	}
	if err := s.AddToInbox(t.Context(), InboxAddition{Put: []string{"heavy", "new"}, Footage: []Footage{
		{ID: "new", Fingerprint: "new", Root: "/films", Path: "new.mp4", Duration: 5_000_000, Frames: FramesWanted, Proxy: ProxyWanted, NeedsProxy: "HEVC"}}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.PutAway(t.Context(), []string{"heavy"}, Act{ID: "away", Kind: "sort", Title: "1 film was put away."}); err != nil {
		t.Fatal(err)
	}
	addReading(t, s, "second")
	bin(t, s, "reading", "second")
	bin(t, s, "session", "bs")
	bin(t, s, "dog", "dog")
	if err := s.Restore(t.Context(), "dog", "dog"); err != nil {
		t.Fatal(err)
	}
}

// writeThisVersion writes a library as SQL.
func writeThisVersion(t *testing.T, version int64) {
	t.Helper()
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	if err := s.SetFrames(t.Context(), "footage", FrameTable{PTS: []annotate.Micros{20_000, 53_367, 86_733}, End: 60_000_000}); err != nil {
		t.Fatal(err)
	}
	code(t, s, "reading")
	shelve(t, s)
	var b strings.Builder
	fmt.Fprintf(&b, "-- A library of version %d. Written by it; never to be changed.\nPRAGMA application_id = %s;\nPRAGMA user_version = %s;\n",
		version, pragma(t, s.read, "application_id"), pragma(t, s.read, "user_version"))
	texts := func(query string) []string {
		t.Helper()
		rows, err := s.read.QueryContext(t.Context(), query)
		list, err := collect(rows, err, func(rows *sql.Rows) (string, error) {
			var v string
			err := rows.Scan(&v)
			return v, err
		})
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	fmt.Fprintln(&b, "PRAGMA foreign_keys = OFF;")
	const ours = `type = 'table' AND name <> 'sqlite_sequence' AND name NOT IN (` + shadows + `)`
	for _, create := range texts(`SELECT sql FROM sqlite_schema WHERE ` + ours + ` ORDER BY rowid`) {
		fmt.Fprintf(&b, "%s;\n", create)
	}
	for _, table := range texts(`SELECT name FROM sqlite_schema WHERE ` + ours + ` ORDER BY rowid`) {
		if table == "typed_words" { // an index of typed
			fmt.Fprintln(&b, "INSERT INTO typed_words (typed_words) VALUES ('rebuild');")
			continue
		}
		columns := texts(`SELECT 'quote(' || name || ')' FROM pragma_table_info('` + table + `')`)
		for _, row := range texts(`SELECT ` + strings.Join(columns, ` || ', ' || `) + ` FROM ` + table) {
			fmt.Fprintf(&b, "INSERT INTO %s VALUES (%s);\n", table, row)
		}
	}
	for _, create := range texts(`SELECT sql FROM sqlite_schema WHERE type <> 'table' AND sql IS NOT NULL ORDER BY rowid`) {
		fmt.Fprintf(&b, "%s;\n", create)
	}
	if err := os.WriteFile(filepath.Join("testdata", fmt.Sprintf("version-%d.sql", version)), []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
}
