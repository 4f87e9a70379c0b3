package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Each damage is done to a whole library by hand, behind the program's back, and
// named by the check. Opening the reading for editing fails too, where it is one
// that an edit on top would hide.
func TestCheckFindsDamage(t *testing.T) {
	for _, c := range []struct {
		name, damage, want string
		refused            bool
	}{
		{"nothing", ``, ``, false},
		{"an event moved", `UPDATE events SET start_us = start_us + 1 WHERE id = 'a'`, `event "a" is not as its journal leads to`, true},
		{"an event's level changed", `UPDATE events SET details = '{"level":5,"taps":2}' WHERE id = 'b'`, `event "b" is not as`, true},
		{"an event's note changed", `UPDATE events SET note = 'x' WHERE id = 'a'`, `event "a" is not as`, true},
		{"an event's unknown field lost", `UPDATE events SET extra = NULL WHERE id = 'b'`, `event "b" is not as`, true},
		{"an event's revision changed", `UPDATE events SET rev = 1 WHERE id = 'a'`, `event "a" is not as`, true},
		{"an event lost", `DELETE FROM events WHERE id = 'a'`, `event "a" is missing`, true},
		{"an event made up", `INSERT INTO events VALUES ('reading', 'z', 'remark', 1, 1, 1, '', '{}', NULL)`, `event "z" is stored, but`, true},
		{"a row of the journal lost", `DELETE FROM journal WHERE revision = 3`, `its journal can't be followed`, true},
		{"the last row of the journal lost", `DELETE FROM journal WHERE revision = 8`, `its revision is 8, but its journal leads to 7`, true},
		{"the whole journal lost", `DELETE FROM journal`, `its revision is 8, but its journal leads to 0`, true},
		{"a row of the journal rewritten", `DROP TRIGGER journal_is_never_rewritten; UPDATE journal SET payload = replace(payload, '2500000', '2600000')`, `event "a" is not as`, true},
		{"a row of the journal exchanged", `DROP TRIGGER journal_is_never_rewritten; UPDATE journal SET edit_id = 'x' WHERE revision = 2`, `is not its own`, true},
		{"not finished any more", `UPDATE readings SET finished_at = NULL`, `state of being finished is false, but its journal leads to true`, true},
		{"the window moved", `UPDATE readings SET window_end_us = window_end_us + 1`, `its window is`, true},
		{"lanes dropped", `UPDATE readings SET coded = NULL`, `its coded lanes is`, true},
		{"the way of choosing", `UPDATE readings SET chosen = 'fixed'`, `its choice of the window is fixed`, true},
		{"a revision skipped", `UPDATE readings SET revision = 9`, `its revision is 9`, true},
		{"another book", `INSERT INTO books SELECT 'h', id, 5, content, 0, 0 FROM books; UPDATE readings SET book = 'h'`, `its codebook is h`, true},
		{"a book rewritten", `DROP TRIGGER books_never_change; UPDATE books SET content = replace(content, 'Test', 'Tast')`, `is not what was stored`, false},
		{"the beginning lost", `PRAGMA foreign_keys = OFF; DELETE FROM beginnings`, `can't be read`, true},
		{"a clip lost", `PRAGMA foreign_keys = OFF; DELETE FROM clips`, `A row of readings belongs to a row of clips that is not there`, true},
		{"a frame table lost", `UPDATE footage SET frames = 'ready'`, `The frame table of clip 1.mp4`, false},
		{"a note that isn't searched", `DELETE FROM typed WHERE field = 'note'`, `1 texts can't be found by searching`, false},
		{"a note searched as it was", `UPDATE typed SET text = 'lead' WHERE field = 'note'`, `1 texts can't be found by searching`, false},
		{"a text searched that isn't there", `INSERT INTO typed (kind, ref, below, field, text) VALUES ('dog', 'x', '', 'name', 'Bramble')`, `finds 1 texts that aren't there`, false},
		{"the index of words lost", `DELETE FROM typed_words_segdir`, `The database file: malformed inverted index`, false},
		{"a window before its clip", `UPDATE clips SET window_start_us = -1, window_end_us = 5`, `The part of clip 1.mp4 that is Tansy's runs from -1 to 5 µs`, false},
		{"a window that ends before it begins", `UPDATE clips SET window_start_us = 6, window_end_us = 5`, `runs from 6 to 5 µs`, false},
		{"a window after its clip", `UPDATE footage SET frames = 'ready'; INSERT INTO frame_tables VALUES ('footage', x'01010001'); UPDATE clips SET window_start_us = 0, window_end_us = 61000001`, `runs from 0 to 61000001 µs, but the clip ends at 60000000`, false},
		{"an act of the bin", `INSERT INTO acts VALUES ('a', 1, 'bin', 'Tansy is in the bin.', '{"kind":"lead"}', NULL)`, `What was done (Tansy is in the bin.) can't be taken back`, false},
		{"an act of a merge", `INSERT INTO acts VALUES ('a', 1, 'merge', 'M', '[]', NULL)`, `What was done (M)`, false},
		{"an act of a new name", `INSERT INTO acts VALUES ('a', 1, 'rename', 'R', '{"id":"dog"}', NULL)`, `What was done (R)`, false},
		{"an act of the inbox", `INSERT INTO acts VALUES ('a', 1, 'sort', 'S', '3', NULL)`, `What was done (S)`, false},
		{"footage that is nowhere", `INSERT INTO footage SELECT 'g', 'g', root, path, name, size, format, video, audio, width, height, rotation, frame_rate, variable, duration_us, start_us, recorded_at, recorded_by, recorded_zone, needs_proxy, silent, warning, frames, missing, added_at, proxy, proxy_base_us, proxy_says FROM footage`, `belongs to no dog and isn't in the inbox`, false},
		{"put away before it came", `INSERT INTO inbox VALUES ('footage', 9, 'sorted', 8)`, `was put away from the inbox before it came in`, false},
		{"a clip of another length", `UPDATE footage SET frames = 'ready'; INSERT INTO frame_tables VALUES ('footage', x'01010001')`, `runs from 0 to 1 µs, but its clip from 20000 to 60000000`, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "library.db")
			s := openTest(t, path)
			fill(t, s)
			code(t, s, "reading")
			if _, err := s.write.Exec(c.damage); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			s = openTest(t, path)
			got, err := s.Check(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			all := strings.Join(got.Problems, "\n")
			if c.want == "" && all != "" || !strings.Contains(all, c.want) {
				t.Errorf("problems:\n%s\nwant %q among them", all, c.want)
			}
			if _, err := s.Reading(t.Context(), "reading"); (err != nil) != c.refused {
				t.Errorf("opening the reading: %v, want it refused: %t", err, c.refused)
			}
		})
	}
}

func TestCheckCounts(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	addReading(t, s, "other")
	code(t, s, "reading")
	code(t, s, "other")
	c, err := s.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if c.Readings != 2 || c.Edits != 16 || c.Events != 4 || len(c.Problems) > 0 {
		t.Errorf("check found %+v, want 2 readings, 16 edits, 4 events, no problems", c)
	}
}

// A page of the file overwritten is found, not taken for a crash of the check.
func TestCheckFindsTornPages(t *testing.T) {
	path := filepath.Join(t.TempDir(), "library.db")
	s := openTest(t, path)
	fill(t, s)
	code(t, s, "reading")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	const page = 4096
	found := 0
	for at := page; at < len(whole); at += page { // each page but the first, which makes it a database
		torn := append([]byte(nil), whole...)
		for i := at; i < at+page; i++ {
			torn[i] ^= 0x5a
		}
		if err := os.WriteFile(path, torn, 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(t.Context(), path, Options{ReadOnly: true})
		if err == nil {
			var c Checked
			c, err = s.Check(t.Context())
			if err == nil && len(c.Problems) == 0 {
				t.Errorf("page %d of %d overwritten: nothing was found", at/page+1, len(whole)/page)
			}
			_ = s.Close()
		}
		if err != nil && !errors.Is(err, ErrDamaged) {
			t.Logf("page %d: %v", at/page+1, err)
		}
		found++
	}
	if found < 20 {
		t.Errorf("only %d pages were tried", found)
	}
}
