package server

import (
	"bytes"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"strings"

	"github.com/labstack/echo/v4"
)

// Page is what a template gets.
type Page struct {
	Title  string
	Class  string  // of the body element
	Crumbs []Crumb // from the dogs down to here
	Data   any     // as JSON in #page-data; nil leaves it out
	Body   any     // what the page is about
	Site   site    // the rest of the frame; render fills it in
}

// Crumb is one step of the way from the dogs to a page; the last has no Href.
type Crumb struct{ Name, Href string }

// layoutFile is the frame that every page's template is parsed with.
const layoutFile = "layout.html"

// pages holds the parsed templates by the name of their file, without ".html".
type pages struct {
	fs  fs.FS
	dev bool
	set map[string]*template.Template
}

// newPages parses every template, so that a mistake shows at the start.
func newPages(fsys fs.FS, dev bool) (*pages, error) {
	p := &pages{fs: fsys, dev: dev, set: map[string]*template.Template{}}
	files, err := fs.Glob(fsys, "templates/*.html")
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		if path.Base(f) == layoutFile {
			continue
		}
		t, err := p.parse(f)
		if err != nil {
			return nil, err
		}
		p.set[strings.TrimSuffix(path.Base(f), ".html")] = t
	}
	return p, nil
}

// parse reads one page's template with the frame.
func (p *pages) parse(file string) (*template.Template, error) {
	return template.New(path.Base(file)).Funcs(pageFuncs).ParseFS(p.fs, "templates/"+layoutFile, file)
}

// get returns a page's template; in dev as it is on disk now.
func (p *pages) get(name string) (*template.Template, error) {
	if p.dev {
		return p.parse("templates/" + name + ".html")
	}
	t, ok := p.set[name]
	if !ok {
		return nil, fmt.Errorf("server: no template %q", name)
	}
	return t, nil
}

// render fills a page into a buffer and sends it whole, or fails with nothing
// sent.
func (s *Server) render(c echo.Context, status int, name string, page Page) error {
	t, err := s.pages.get(name)
	if err != nil {
		return err
	}
	if name != refusedPage {
		page.Site = s.site(c, page)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, page); err != nil {
		return fmt.Errorf("server: page %s: %w", name, err)
	}
	return c.HTMLBlob(status, b.Bytes())
}
