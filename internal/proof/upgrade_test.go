package proof

import (
	"database/sql"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/mattn/go-sqlite3" // to make an old library
)

// A library as each earlier version left it is brought up to date by the program
// when it is opened, with a copy kept beside it; it checks well, can be read, worked
// in, and shown on every page.
func TestOldLibraries(t *testing.T) {
	files, err := filepath.Glob("../store/testdata/version-*.sql")
	if err != nil || len(files) == 0 {
		t.Fatalf("no old libraries: %v", err)
	}
	for _, file := range files {
		version := strings.TrimSuffix(filepath.Base(file), ".sql")
		t.Run(version, func(t *testing.T) {
			p := newProcess(t)
			if err := os.MkdirAll(p.dir, 0o755); err != nil {
				t.Fatal(err)
			}
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(p.dir, "library.db")
			db, err := sql.Open("sqlite3", path)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := db.Exec(string(text)); err != nil {
				t.Fatal(err)
			}
			if err := db.Close(); err != nil {
				t.Fatal(err)
			}

			p.serve()
			c := newClient(t, p.startURL)
			// What stands in the file, shown.
			for path, says := range map[string]string{"/": "Tansy", "/dogs/dog": "Alder Lane", "/sessions/session": "P. Quill", "/desk/reading": "clip 1", "/search?q=pull": "lead &amp; &lt;", "/bin": "The bin is empty", "/jobs": "Jobs", "/settings": "Settings"} {
				if page := string(c.get(path)); !strings.Contains(page, says) {
					t.Errorf("%s does not show %q", path, says)
				}
			}
			// And worked in.
			status, reply, err := c.ask(t.Context(), http.MethodPost, "/api/readings/reading/edits", edit{ID: newID(), Base: 8, Put: []put{{momentAt("remark", 1_000_000), 0}}})
			if err != nil || status != http.StatusOK {
				t.Errorf("an edit is answered %d %v: %s", status, err, reply)
			}
			p.stop()
			if got := p.must("check"); !strings.Contains(got, "9 edits, 3 events checked.") || !strings.Contains(got, "All is well.") {
				t.Errorf("check says %q", got)
			}
			if got := p.must("reading", "list"); !strings.Contains(got, "P. Quill") {
				t.Errorf("reading list says %q", got)
			}
			copies, err := filepath.Glob(path + ".version-*")
			if err != nil || len(copies) != 1 && version == "version-1" {
				t.Errorf("copies of the old database: %q (%v), want one", copies, err)
			}
		})
	}
}
