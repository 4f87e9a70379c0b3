// Package arch holds the rules of the house as tests: who may import whom, where
// each library lives, how large a file may grow, and that the documents name
// only what is there.
package arch

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

const module = "afterwalk"

// root is the project's root as seen from this package.
const root = "../.."

// arrows says which of our packages a package may import; a name ending in /...
// stands for a folder and all below it. Dependencies point one way.
var arrows = []arrow{
	{"internal/stat", nil, "statistics know no domain words"},
	{"ui", nil, "pages and scripts are only handed out"},
	{"annotate", nil, "the domain stands by itself"},
	{"annotate/...", []string{"annotate", "annotate/...", "internal/stat"}, "measures and wording are pure functions of readings"},
	{"internal/wire", []string{"annotate"}, "the JSON of domain values serves files, rows and pages alike"},
	{"internal/media/...", []string{"annotate", "internal/media/..."}, "reading footage needs only times"},
	{"internal/store/...", []string{"annotate", "internal/wire", "internal/store/..."}, "the database knows values, not what is done with them"},
	{"internal/exchange", []string{"annotate", "annotate/...", "internal/wire", "internal/stat"}, "files in and out, on readers and writers"},
	{"internal/chart", []string{"annotate", "annotate/..."}, "a figure is described, not fetched"},
	{"internal/library", []string{"annotate", "annotate/...", "internal/store", "internal/media", "internal/wire"}, "what command and pages both do"},
	{"internal/demo/...", []string{"annotate", "annotate/...", "internal/..."}, "the demo library is built like any other"},
	{"internal/browser/...", []string{"internal/browser/..."}, "a browser for tests and pictures"},
	{"internal/proof", []string{"internal/...", "server", "ui", "annotate", "annotate/..."}, "tests of the whole program"},
	{"internal/dev", []string{"internal/...", "server", "ui", "annotate", "annotate/..."}, "what developers run"},
	{"server", []string{"ui", "annotate", "annotate/...", "internal/..."}, "pages and routes"},
	{"cmd/afterwalk", []string{"server", "ui", "annotate", "annotate/...", "internal/..."}, "flags in, packages called, exit code out"},
}

type arrow struct {
	pkg     string
	may     []string
	because string
}

// ruleFor returns the rule that names a package, or else the folder it lies in.
func ruleFor(pkg string) (arrow, bool) {
	var found arrow
	for _, a := range arrows {
		if a.pkg == pkg {
			return a, true
		}
		if matches(a.pkg, pkg) && len(a.pkg) > len(found.pkg) {
			found = a
		}
	}
	return found, found.pkg != ""
}

// homes says where each library that we use may be imported, tests aside.
var homes = []struct{ library, home, because string }{
	{"github.com/labstack/echo", "server", "routes and handlers stand in one place"},
	{"github.com/mattn/go-sqlite3", "internal/store", "all SQL stands in one place"},
	{"database/sql", "internal/store", "all SQL stands in one place"},
	{"github.com/pressly/goose", "internal/store", "migrations belong to the database"},
	{"github.com/asticode/go-astisub", "internal/exchange", "its flaws are worked around once"},
	{"github.com/wcharczuk/go-chart", "internal/chart", "it is archived and must stay replaceable"},
	{"gonum.org/v1/gonum", "internal/stat", "one place for statistics"},
	{"github.com/chromedp/chromedp", "internal/browser", "one way to start a browser"},
	{"github.com/spf13/cobra", "cmd/afterwalk", "flags are the command's"},
	{"github.com/schollz/progressbar", "cmd/afterwalk", "progress in a terminal is the command's"},
}

// goFile is a Go file of ours and what it imports.
type goFile struct {
	path, pkg string // below the root, slash-separated
	test      bool
	imports   []string
}

func goFiles(t *testing.T) []goFile {
	t.Helper()
	var files []goFile
	walk(t, func(path string) {
		if !strings.HasSuffix(path, ".go") {
			return
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, path), nil, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		f := goFile{path: path, pkg: filepath.ToSlash(filepath.Dir(path)), test: strings.HasSuffix(path, "_test.go")}
		for _, i := range parsed.Imports {
			f.imports = append(f.imports, strings.Trim(i.Path.Value, `"`))
		}
		files = append(files, f)
	})
	if len(files) < 20 {
		t.Fatalf("found only %d Go files: the walk is wrong", len(files))
	}
	return files
}

// walk calls visit for each file of the project, hidden folders left out.
func walk(t *testing.T, visit func(path string)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." && path != root {
			return filepath.SkipDir
		}
		if !d.IsDir() {
			rel, err := filepath.Rel(root, path)
			if err != nil {
				return err
			}
			visit(filepath.ToSlash(rel))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// matches reports whether pkg is named by pattern.
func matches(pattern, pkg string) bool {
	below, all := strings.CutSuffix(pattern, "/...")
	return pkg == pattern || all && (pkg == below || strings.HasPrefix(pkg, below+"/"))
}

func TestArrows(t *testing.T) {
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		rule, ok := ruleFor(f.pkg)
		if !ok {
			t.Errorf("%s: no rule says what package %s may import", f.path, f.pkg)
			continue
		}
		for _, i := range f.imports {
			ours, ok := strings.CutPrefix(i, module+"/")
			if !ok {
				continue
			}
			if !slices.ContainsFunc(rule.may, func(p string) bool { return matches(p, ours) }) {
				t.Errorf("%s imports %s: %s", f.path, ours, rule.because)
			}
		}
	}
}

func TestHomes(t *testing.T) {
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		for _, i := range f.imports {
			for _, h := range homes {
				if (i == h.library || strings.HasPrefix(i, h.library+"/")) && !matches(h.home+"/...", f.pkg) {
					t.Errorf("%s imports %s, whose home is %s: %s", f.path, i, h.home, h.because)
				}
			}
		}
	}
}

// The domain and the statistics reach neither files, network, database, processes nor clocks.
func TestPure(t *testing.T) {
	forbidden := []string{"os", "os/exec", "net", "net/http", "database/sql", "context", "encoding/json", "io/fs", "path/filepath"}
	for _, f := range goFiles(t) {
		if f.test || !matches("annotate/...", f.pkg) && f.pkg != "internal/stat" {
			continue
		}
		for _, i := range f.imports {
			if slices.Contains(forbidden, i) {
				t.Errorf("%s imports %s: the domain has no I/O", f.path, i)
			}
		}
	}
}

// Files stay under 400 lines, tests too; nothing vendored or generated counts.
func TestFileLength(t *testing.T) {
	walk(t, func(path string) {
		if strings.HasPrefix(path, "ui/vendor/") ||
			!slices.Contains([]string{".go", ".js", ".css", ".html"}, filepath.Ext(path)) {
			return
		}
		text, err := os.ReadFile(filepath.Join(root, path))
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), "\n"); n > 400 {
			t.Errorf("%s has %d lines: split it before 400", path, n)
		}
	})
}

// Every package says in one package comment what it is for.
func TestPackageComments(t *testing.T) {
	comment := map[string]int{}
	for _, f := range goFiles(t) {
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, f.path), nil, parser.PackageClauseOnly|parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		comment[f.pkg] += 0
		if parsed.Doc != nil && (!f.test || f.pkg == "internal/arch") {
			comment[f.pkg]++
		}
	}
	for pkg, n := range comment {
		if n != 1 {
			t.Errorf("package %s has %d package comments, want 1", pkg, n)
		}
	}
}

// The top level is part of the design.
func TestTopLevel(t *testing.T) {
	allowed := strings.Fields("cmd server annotate ui internal testdata go.mod go.sum README.md DEVELOPERS.md LICENSE")
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(allowed, e.Name()) {
			t.Errorf("%s stands at the top level, where only %s belong", e.Name(), strings.Join(allowed, ", "))
		}
	}
}

var (
	quoted  = regexp.MustCompile("`([^`\n]+)`")
	linked  = regexp.MustCompile(`\]\(([^)#:]+)\)`)
	ourPath = regexp.MustCompile(`^(cmd|server|annotate|ui|internal|testdata|\.ci)(/[\w.\-]+)*/?$`)
)

// The documents name only paths that are there.
func TestDocuments(t *testing.T) {
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			t.Error(err)
			continue
		}
		var named []string
		for _, m := range quoted.FindAllStringSubmatch(string(text), -1) {
			for _, word := range strings.Fields(m[1]) {
				word = strings.TrimSuffix(strings.TrimPrefix(word, "./"), "/...")
				if ourPath.MatchString(word) {
					named = append(named, word)
				}
			}
		}
		for _, m := range linked.FindAllStringSubmatch(string(text), -1) {
			named = append(named, m[1])
		}
		if len(named) == 0 {
			t.Errorf("%s names no path at all: the patterns are wrong", name)
		}
		for _, path := range named {
			if _, err := os.Stat(filepath.Join(root, path)); err != nil {
				t.Errorf("%s names %s, which is not there", name, path)
			}
		}
	}
}
