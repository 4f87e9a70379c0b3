package server

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/library"
)

func TestSettings(t *testing.T) {
	f := newFixture(t, facts{})
	p := f.page(t, "/settings")
	p.sound(t)
	if got := attr(p.one(t, "#gap"), "value"); got != "30" {
		t.Errorf("the pause is %q min, want 30 by default", got)
	}
	form := url.Values{"reader": {" I. Varga "}, "gap": {"12,5"}, "look": {"dark"}, "make_proxies": {"1"}}
	w := f.send("POST", "/settings", form.Encode())
	if w.Code != 303 {
		t.Fatalf("POST = %d %s", w.Code, w.Body)
	}
	want := library.Settings{Reader: "I. Varga", Gap: 12*time.Minute + 30*time.Second, MakeProxies: true, Look: "dark"}
	got, err := f.lib.Settings(t.Context())
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("stored %v (-want +got)\n%s", err, diff)
	}
	p = f.page(t, w.Header().Get("Location"))
	p.sound(t)
	if attr(p.one(t, "html"), "data-look") != "dark" || attr(p.one(t, "meta[name=color-scheme]"), "content") != "dark" {
		t.Error("the page isn't dark")
	}
	if _, ok := attribute(p.one(t, "#search"), "data-slash"); ok {
		t.Error("the key / is on although it was switched off")
	}
	if got := attr(p.one(t, "#gap"), "value"); got != "12.5" {
		t.Errorf("the form shows a pause of %q", got)
	}

	for name, tt := range map[string]struct {
		form  url.Values
		field string
	}{
		"no number":   {url.Values{"reader": {hostile[:100]}, "gap": {"long"}}, "gap"},
		"nothing":     {url.Values{"gap": {""}}, "gap"},
		"zero":        {url.Values{"gap": {"0"}}, "gap"},
		"negative":    {url.Values{"gap": {"-3"}}, "gap"},
		"endless":     {url.Values{"gap": {"1e300"}}, "gap"},
		"no number 2": {url.Values{"gap": {"NaN"}}, "gap"},
		"long name":   {url.Values{"gap": {"30"}, "reader": {strings.Repeat("x", 301)}}, "reader"},
		"no look":     {url.Values{"gap": {"30"}, "look": {"pink"}}, "look"},
	} {
		w := f.send("POST", "/settings", tt.form.Encode())
		p := parsePage(t, w.Body.String())
		if w.Code != 422 {
			t.Errorf("%s = %d, want 422", name, w.Code)
			continue
		}
		p.sound(t)
		p.one(t, "#"+tt.field+"-wrong")
		if n := len(p.all("p.wrong-text")); n != 1 {
			t.Errorf("%s: %d fields are said to be wrong, want 1", name, n)
		}
		if got := attr(p.one(t, "#gap"), "value"); got != tt.form.Get("gap") {
			t.Errorf("%s: the field has %q, want what was typed", name, got)
		}
		if got := attr(p.one(t, "#reader"), "value"); got != tt.form.Get("reader") {
			t.Errorf("%s: the reader is %q, want what was typed", name, got)
		}
	}
	if again, err := f.lib.Settings(t.Context()); err != nil || cmp.Diff(want, again) != "" {
		t.Errorf("a refused form changed them to %+v, %v", again, err)
	}
}

func TestFolders(t *testing.T) {
	f := newFixture(t, facts{})
	if got := text(f.page(t, "/settings").one(t, "[aria-labelledby=folders]")); !strings.Contains(got, "None yet") {
		t.Errorf("without folders the page says %q", got)
	}
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	p := f.page(t, "/settings")
	path := attr(p.one(t, "input[name=path]"), "value")
	if path != f.home {
		t.Fatalf("the folder is %q, want %q", path, f.home)
	}
	for range 2 { // a second time it is gone already
		if w := f.send("POST", "/settings/folders/forget", url.Values{"path": {path}}.Encode()); w.Code != 303 {
			t.Fatalf("forget = %d %s", w.Code, w.Body)
		}
	}
	if n := len(f.page(t, "/settings").all("input[name=path]")); n != 0 {
		t.Errorf("%d folders are known, want none", n)
	}
	if w := f.send("GET", "/media/"+clip.ID, ""); w.Code != 200 {
		t.Errorf("the clip in it = %d, want that it is still shown", w.Code)
	}
}

func TestBackupAndCheck(t *testing.T) {
	f := newFixture(t, facts{})
	f.read(t, f.add(t, "Tansy", "walk.mp4", 100))
	w := f.send("POST", "/settings/backup", "")
	if w.Code != 303 {
		t.Fatalf("backup = %d %s", w.Code, w.Body)
	}
	p := f.page(t, w.Header().Get("Location"))
	p.sound(t)
	path := text(p.one(t, "[aria-labelledby=library] .notice .path"))
	if filepath.Dir(path) != filepath.Join(f.lib.Dir(), "exports") {
		t.Errorf("the backup is at %q, want it in the library's folder exports", path)
	}
	if info, err := os.Stat(path); err != nil || info.Size() == 0 {
		t.Errorf("the backup: %v, %v", info, err)
	}
	copied, err := library.Open(t.Context(), library.Config{Dir: restored(t, path), ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer copied.Close()
	if dogs, err := copied.Dogs(t.Context()); err != nil || len(dogs) != 1 {
		t.Errorf("the backup has the dogs %v, %v, want Tansy", dogs, err)
	}
	sizes, err := f.lib.Sizes(t.Context())
	if err != nil || sizes.Exports == 0 || sizes.Database == 0 || sizes.Total() != sizes.Exports+sizes.Database+sizes.Copies+sizes.Others {
		t.Errorf("sizes = %+v, %v", sizes, err)
	}
	p = f.page(t, "/settings?check=1")
	if got := text(p.one(t, "[aria-labelledby=library] .notice")); got != "✓ All is well: 1 reading, 0 edits, 0 events." {
		t.Errorf("the check says %q", got)
	}
	if got := text(f.page(t, "/settings?backup=../start-token").one(t, "main")); strings.Contains(got, "start-token") {
		t.Error("a name that is no backup is shown as one")
	}
}

// restored puts a backup into a library's folder of its own.
func restored(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "library.db"), b, 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}
