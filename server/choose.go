package server

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
)

// chooser shows names of files and folders below its places, nothing else of
// the disk: neither what lies above, nor where a link leads out, nor content.
type chooser struct{ places func() []Place }

// choice is a folder as the page shows it.
type choice struct {
	Path    string        `json:"path"`
	Parent  string        `json:"parent"` // "" at the top of a place
	Entries []choiceEntry `json:"entries"`
	Roots   []choiceRoot  `json:"roots"`
	More    int           `json:"more,omitempty"` // entries that are left out
}

type choiceEntry struct {
	Name  string `json:"name"`
	Path  string `json:"path"`
	Dir   bool   `json:"dir"`
	Video bool   `json:"video"`
	Size  int64  `json:"size"`
}

type choiceRoot struct {
	Name string `json:"name"`
	Path string `json:"path"`
}

// maxEntries is how many entries of one folder are shown.
const maxEntries = 5000

// choose answers /api/choose: what lies in the folder ?path=, by default the
// first place.
func (s *Server) choose(c echo.Context) error {
	list, err := s.chooser.list(c.QueryParam("path"))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, list)
}

// within opens the place that path lies in, the innermost of several, and returns
// path's name below it. Links are not followed out of it.
func (ch *chooser) within(path string) (root *os.Root, rel string, err error) {
	if !filepath.IsAbs(path) || strings.ContainsRune(path, 0) {
		return nil, "", errOutside
	}
	path = filepath.Clean(path)
	best := ""
	for _, p := range ch.places() {
		if r, err := filepath.Rel(p.Path, path); err == nil && filepath.IsLocal(r) && len(p.Path) > len(best) {
			best, rel = p.Path, r
		}
	}
	if best == "" {
		return nil, "", errOutside
	}
	for part := range strings.SplitSeq(filepath.ToSlash(rel), "/") {
		if hidden(part) && part != "." {
			return nil, "", errOutside
		}
	}
	root, err = os.OpenRoot(best)
	if err != nil {
		return nil, "", notShown(err)
	}
	return root, rel, nil
}

// allow reports whether path is a file or folder that the chooser would show.
func (ch *chooser) allow(path string) error {
	root, rel, err := ch.within(path)
	if err != nil {
		return err
	}
	defer root.Close()
	if _, err := root.Stat(rel); err != nil {
		return notShown(err)
	}
	return nil
}

// list returns a folder's entries: folders first, by name, hidden ones left out.
func (ch *chooser) list(path string) (choice, error) {
	places := ch.places()
	if path == "" && len(places) > 0 {
		path = places[0].Path
	}
	out := choice{Path: filepath.Clean(path), Entries: []choiceEntry{}, Roots: []choiceRoot{}}
	for _, p := range places {
		out.Roots = append(out.Roots, choiceRoot(p))
	}
	root, rel, err := ch.within(path)
	if err != nil {
		return choice{}, err
	}
	defer root.Close()
	if rel != "." {
		out.Parent = filepath.Dir(out.Path)
	}
	dir, err := root.Open(rel)
	if err != nil {
		return choice{}, notShown(err)
	}
	defer dir.Close()
	names, err := dir.Readdirnames(-1)
	if err != nil {
		return choice{}, notShown(err)
	}
	for _, name := range names {
		if hidden(name) {
			continue
		}
		info, err := root.Stat(filepath.Join(rel, name)) // fails where a link leads out
		if err != nil || !info.IsDir() && !info.Mode().IsRegular() {
			continue
		}
		e := choiceEntry{Name: name, Path: filepath.Join(out.Path, name), Dir: info.IsDir()}
		if !e.Dir {
			e.Size = info.Size()
			e.Video = library.VideoName(name)
		}
		out.Entries = append(out.Entries, e)
	}
	slices.SortFunc(out.Entries, func(a, b choiceEntry) int {
		if a.Dir != b.Dir {
			if a.Dir {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.Name, b.Name))
	})
	if n := len(out.Entries); n > maxEntries {
		out.More = n - maxEntries
		out.Entries = out.Entries[:maxEntries]
	}
	return out, nil
}

// hidden reports whether a name is one that systems don't show.
func hidden(name string) bool { return strings.HasPrefix(name, ".") }

// notShown says why a folder can't be shown, without naming what lies behind a
// link.
func notShown(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("server: choose: %w: %w", annotate.ErrNotFound, err)
	case errors.Is(err, fs.ErrPermission):
		return &badRequest{message: "This folder may not be read.", hint: "The system keeps it closed to this program.", cause: err}
	}
	return fmt.Errorf("server: choose: %w: %w", errOutside, err)
}
