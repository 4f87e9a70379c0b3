package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"time"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
)

// assetTypes are the kinds of file that are served as assets, with types of our
// own: what the system says of an ending differs from machine to machine.
var assetTypes = map[string]string{
	".css": "text/css; charset=utf-8",
	".js":  "text/javascript; charset=utf-8",
	".svg": "image/svg+xml",
	".png": "image/png",
	".txt": "text/plain; charset=utf-8",
}

// assets serves the files under static/. Embedded files have no time, so each
// gets an ETag from its content; the browser asks every time whether its copy
// still holds.
type assets struct {
	fs    fs.FS // static/
	dev   bool
	files map[string]asset
}

type asset struct {
	content []byte
	etag    string
}

// newAssets reads every asset once; in dev they are read anew each time.
func newAssets(fsys fs.FS, dev bool) (*assets, error) {
	static, err := fs.Sub(fsys, "static")
	if err != nil {
		return nil, err
	}
	a := &assets{fs: static, dev: dev, files: map[string]asset{}}
	err = fs.WalkDir(static, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || assetTypes[path.Ext(name)] == "" {
			return err
		}
		f, err := a.read(name)
		a.files[name] = f
		return err
	})
	return a, err
}

// read returns one file with its ETag.
func (a *assets) read(name string) (asset, error) {
	b, err := fs.ReadFile(a.fs, name)
	if err != nil {
		return asset{}, err
	}
	sum := sha256.Sum256(b)
	return asset{content: b, etag: `"` + hex.EncodeToString(sum[:12]) + `"`}, nil
}

// asset answers /assets/….
func (s *Server) asset(c echo.Context) error {
	name := c.Param("*")
	kind := assetTypes[path.Ext(name)]
	if kind == "" || !fs.ValidPath(name) {
		return annotate.ErrNotFound
	}
	f, ok := s.assets.files[name]
	if s.assets.dev {
		var err error
		if f, err = s.assets.read(name); err != nil {
			return annotate.ErrNotFound
		}
	} else if !ok {
		return annotate.ErrNotFound
	}
	h := c.Response().Header()
	h.Set("Content-Type", kind)
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", f.etag)
	http.ServeContent(c.Response(), c.Request(), "", time.Time{}, bytes.NewReader(f.content))
	return nil
}

// attachment is the header that makes the browser save a reply under a name.
func attachment(name string) string {
	return mime.FormatMediaType("attachment", map[string]string{"filename": name})
}
