package server

import (
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"afterwalk/ui"
)

func TestAssets(t *testing.T) {
	s := newServer(t)
	for path, kind := range map[string]string{
		cssPath:                    "text/css; charset=utf-8",
		"/assets/img/icon.svg":     "image/svg+xml",
		"/assets/js/shared/dom.js": "text/javascript; charset=utf-8",
	} {
		w := s.send("GET", path, "")
		etag := w.Header().Get("ETag")
		if w.Code != 200 || w.Header().Get("Content-Type") != kind || etag == "" || w.Header().Get("Cache-Control") != "no-cache" {
			t.Fatalf("GET %s = %d %v, want 200, %s, an ETag and no-cache", path, w.Code, w.Header(), kind)
		}
		r := s.request("GET", path, "")
		r.Header.Set("If-None-Match", etag)
		again := httptest.NewRecorder()
		s.Handler().ServeHTTP(again, r)
		if again.Code != 304 || again.Body.Len() != 0 {
			t.Errorf("GET %s with its ETag = %d and %d bytes, want 304 and none", path, again.Code, again.Body.Len())
		}
	}
}

func TestDevReadsAnew(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, ui.Files()); err != nil {
		t.Fatal(err)
	}
	cfg := newServer(t).cfg
	cfg.UI, cfg.Dev = os.DirFS(dir), true
	s, err := New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	before := s.send("GET", cssPath, "").Header().Get("ETag")
	if err := os.WriteFile(filepath.Join(dir, "static", "css", "base.css"), []byte("p {}"), 0o644); err != nil {
		t.Fatal(err)
	}
	w := s.send("GET", cssPath, "")
	if w.Body.String() != "p {}" || w.Header().Get("ETag") == before {
		t.Errorf("a changed file is served as %q with ETag %s, want as it is now", w.Body, w.Header().Get("ETag"))
	}
}

func TestBrokenTemplateShowsAtTheStart(t *testing.T) {
	cfg := newServer(t).cfg
	cfg.UI = fstest.MapFS{
		"templates/layout.html": {Data: []byte(`{{define "layout"}}{{end}}`)},
		"templates/dogs.html":   {Data: []byte(`{{if}}`)},
		"static/x.css":          {},
	}
	if _, err := New(cfg); err == nil {
		t.Error("New with a broken template = nil, want an error")
	}
}
