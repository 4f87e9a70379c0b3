package ui_test

import (
	"context"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
)

// TestModules runs every jstest/*.test.js in Chromium. Each test() of a file is
// a subtest; its failure text is what the module threw.
func TestModules(t *testing.T) {
	var files []string
	err := fs.WalkDir(os.DirFS("jstest"), ".", func(path string, d fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".test.js") {
			files = append(files, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatal("no jstest/*.test.js found")
	}
	ctx := browser.ForTest(t)
	if err := chromedp.Do(ctx); err != nil { // starts it: it lives as long as the context of its first action
		t.Fatal(err)
	}
	base := serve(t)
	for _, file := range files {
		t.Run(strings.TrimSuffix(file, ".test.js"), func(t *testing.T) {
			results, err := runFile(ctx, base, file)
			if err != nil {
				t.Fatalf("%s: %v", file, err)
			}
			if len(results) == 0 {
				t.Fatalf("%s registered no test", file)
			}
			for _, r := range results {
				t.Run(r.Name, func(t *testing.T) {
					if r.Failure != "" {
						t.Error(strings.ReplaceAll(r.Failure, base, ""))
					}
				})
			}
		})
	}
}

// result is one test() of a file; Failure is "" for a pass.
type result struct {
	Name    string `json:"name"`
	Failure string `json:"failure"`
}

// runFile loads a fresh page and runs one test file in it.
func runFile(ctx context.Context, base, file string) ([]result, error) {
	ctx, cancel := context.WithTimeout(ctx, time.Minute)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate(base+"/jstest/run.html")); err != nil {
		return nil, err
	}
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool]("typeof run === 'function'")); err != nil {
		return nil, err
	}
	return chromedp.Run(ctx, chromedp.Evaluate[[]result]("run('"+file+"')", chromedp.EvalAwaitPromise))
}

// serve serves static under /assets and jstest under /jstest, as strict about
// scripts and styles as the program is, and returns the base URL.
func serve(t testing.TB) string {
	t.Helper()
	mux := http.NewServeMux()
	mux.Handle("/assets/", http.StripPrefix("/assets/", http.FileServer(http.Dir("static"))))
	mux.HandleFunc("/jstest/book.json", func(w http.ResponseWriter, r *http.Request) {
		http.ServeFile(w, r, "../internal/exchange/codebook.json")
	})
	mux.Handle("/jstest/", http.StripPrefix("/jstest/", http.FileServer(http.Dir("jstest"))))
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, ".js") {
			w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
		}
		w.Header().Set("Content-Security-Policy", "default-src 'self'; img-src 'self' data: blob:; frame-ancestors 'self'")
		w.Header().Set("Cache-Control", "no-store")
		mux.ServeHTTP(w, r)
	}))
	t.Cleanup(srv.Close)
	return srv.URL
}
