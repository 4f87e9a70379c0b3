package server

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// places lays out a home folder, a drive and something outside both.
func places(t *testing.T) (home, drive, outside string) {
	t.Helper()
	dir := t.TempDir()
	home, drive, outside = filepath.Join(dir, "home"), filepath.Join(dir, "drive"), filepath.Join(dir, "home-of-quill")
	for name, content := range map[string]string{
		"home/Walks/b.MP4":            "b",
		"home/Walks/a.mov":            "aa",
		"home/Walks/notes.txt":        "n",
		"home/Walks/.hidden.mp4":      "h",
		"home/Walks/older/c.webm":     "c",
		"home/Walks/Zoom/d.mp4":       "d",
		"home/Walks/ä <b>\"'%41🐕.mp4": "x",
		"home/.private/e.mp4":         "e",
		"drive/DCIM/f.mp4":            "f",
		"home-of-quill/secret.mp4":    "s",
	} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for link, to := range map[string]string{
		"home/Walks/out":      outside,
		"home/Walks/out.mp4":  filepath.Join(outside, "secret.mp4"),
		"home/Walks/up":       "../..",
		"home/Walks/gone.mp4": "nowhere.mp4",
		"home/Walks/in":       "older",
	} {
		if err := os.Symlink(to, filepath.Join(dir, filepath.FromSlash(link))); err != nil {
			t.Skip("no links on this system: ", err)
		}
	}
	return home, drive, outside
}

func TestChoose(t *testing.T) {
	home, drive, outside := places(t)
	s := newServer(t)
	s.chooser.places = func() []Place { return []Place{{"Home", home}, {"Card", drive}} }
	tests := []struct {
		name, path string
		want       int
		entries    []string // names; folders with a slash, clips with a star
	}{
		{"first place", "", 200, []string{"Walks/"}},
		{"folder", filepath.Join(home, "Walks"), 200, []string{"in/", "older/", "Zoom/", "a.mov*", "b.MP4*", "notes.txt", "ä <b>\"'%41🐕.mp4*"}},
		{"with a slash at the end", filepath.Join(home, "Walks") + "/", 200, []string{"in/", "older/", "Zoom/", "a.mov*", "b.MP4*", "notes.txt", "ä <b>\"'%41🐕.mp4*"}},
		{"link that stays inside", filepath.Join(home, "Walks", "in"), 200, []string{"c.webm*"}},
		{"other place", drive, 200, []string{"DCIM/"}},
		{"way round inside", home + "/Walks/older/../../Walks/Zoom", 200, []string{"d.mp4*"}},

		{"link that leads out", filepath.Join(home, "Walks", "out"), 403, nil},
		{"link that leads up", filepath.Join(home, "Walks", "up"), 403, nil},
		{"above", filepath.Dir(home), 403, nil},
		{"above by dots", home + "/..", 403, nil},
		{"beside, same beginning", outside, 403, nil},
		{"root of the disk", "/", 403, nil},
		{"system folder", "/etc", 403, nil},
		{"relative", "Walks", 403, nil},
		{"relative with dots", "../home-of-quill", 403, nil},
		{"hidden folder", filepath.Join(home, ".private"), 403, nil},
		{"not there", filepath.Join(home, "nowhere"), 404, nil},
		{"a file", filepath.Join(home, "Walks", "a.mov"), 403, nil},
		{"a zero byte", home + "/Walks\x00/etc", 403, nil},
		{"Windows path", `C:\Users`, 403, nil},
		{"network path", `\\host\share`, 403, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.send("GET", "/api/choose?path="+url.QueryEscape(tt.path), "")
			if w.Code != tt.want {
				t.Fatalf("choose %q = %d, want %d: %s", tt.path, w.Code, tt.want, w.Body)
			}
			if w.Code != 200 {
				if strings.Contains(w.Body.String(), "secret") || strings.Contains(w.Body.String(), "quill") {
					t.Errorf("the refusal shows what lies outside: %s", w.Body)
				}
				return
			}
			var got choice
			if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
				t.Fatal(err)
			}
			var names []string
			for _, e := range got.Entries {
				name := e.Name
				if e.Dir {
					name += "/"
				}
				if e.Video {
					name += "*"
				}
				names = append(names, name)
				if e.Path != filepath.Join(got.Path, e.Name) {
					t.Errorf("path of %s = %s, want it below %s", e.Name, e.Path, got.Path)
				}
			}
			if diff := cmp.Diff(tt.entries, names); diff != "" {
				t.Errorf("choose %q (-want +got)\n%s", tt.path, diff)
			}
			if want := []choiceRoot{{"Home", home}, {"Card", drive}}; !cmp.Equal(got.Roots, want) {
				t.Errorf("roots = %v, want %v", got.Roots, want)
			}
		})
	}
}

func TestChooseParent(t *testing.T) {
	home, _, _ := places(t)
	ch := &chooser{places: func() []Place { return []Place{{"Home", home}} }}
	for path, want := range map[string]string{
		home:                                   "",
		filepath.Join(home, "Walks"):           home,
		filepath.Join(home, "Walks", "older"):  filepath.Join(home, "Walks"),
		filepath.Join(home, "Walks", "in", ""): filepath.Join(home, "Walks"),
	} {
		got, err := ch.list(path)
		if err != nil || got.Parent != want {
			t.Errorf("parent of %s = %q, %v, want %q", path, got.Parent, err, want)
		}
	}
}

func TestChooseInnermostPlace(t *testing.T) {
	home, _, _ := places(t)
	inner := filepath.Join(home, "Walks", "older")
	ch := &chooser{places: func() []Place { return []Place{{"Home", home}, {"Card", inner}} }}
	got, err := ch.list(inner)
	if err != nil || got.Parent != "" {
		t.Errorf("parent of a place within a place = %q, %v, want none", got.Parent, err)
	}
}

func TestAddRequest(t *testing.T) {
	home, _, outside := places(t)
	ch := &chooser{places: func() []Place { return []Place{{"Home", home}} }}
	clip := filepath.Join(home, "Walks", "a.mov")
	num := func(f float64) *float64 { return &f }
	tests := []struct {
		name   string
		in     addRequest
		fields []string // with problems
	}{
		{"one clip", addRequest{Dog: "Tansy", Paths: []string{clip}}, nil},
		{"a folder and a gap", addRequest{Dog: "Tansy", Paths: []string{home}, GapMin: num(0.5)}, nil},
		{"nothing", addRequest{}, []string{"dog", "paths"}},
		{"name of spaces", addRequest{Dog: " \t", Paths: []string{clip}}, []string{"dog"}},
		{"300 signs", addRequest{Dog: strings.Repeat("🐕", 300), Paths: []string{clip}}, nil},
		{"301 signs", addRequest{Dog: strings.Repeat("🐕", 301), Paths: []string{clip}}, []string{"dog"}},
		{"outside", addRequest{Dog: "Tansy", Paths: []string{filepath.Join(outside, "secret.mp4")}}, []string{"paths"}},
		{"through a link", addRequest{Dog: "Tansy", Paths: []string{filepath.Join(home, "Walks", "out.mp4"), clip, "/etc/passwd"}}, []string{"paths", "paths"}},
		{"option", addRequest{Dog: "Tansy", Paths: []string{"-i"}}, []string{"paths"}},
		{"too many", addRequest{Dog: "Tansy", Paths: make([]string, maxPaths+1)}, []string{"paths"}},
		{"no gap", addRequest{Dog: "Tansy", Paths: []string{clip}, GapMin: num(0)}, []string{"gap_min"}},
		{"gap of years", addRequest{Dog: "Tansy", Paths: []string{clip}, GapMin: num(1e300)}, []string{"gap_min"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.in.request(ch)
			if diff := cmp.Diff(tt.fields, problemFields(err)); diff != "" {
				t.Errorf("problems of %+.60v (-want +got)\n%s", tt.in, diff)
			}
		})
	}
}
