package server

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares got with a file under testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s differs (-want +got); run with -update if it should\n%s", path, diff)
	}
}

func TestKindsOfError(t *testing.T) {
	event := &annotate.Event{ID: "e1", Code: "sit", Rev: 4}
	tests := []struct {
		name string
		err  error
	}{
		{"unknown", errors.New("sqlite: disk I/O error at /home/varga/library.db")},
		{"panic", &panicked{value: "index out of range", stack: "goroutine 1"}},
		{"not found", fmt.Errorf("store: dog x: %w", annotate.ErrNotFound)},
		{"no route", echo.ErrNotFound},
		{"wrong method", echo.ErrMethodNotAllowed},
		{"wrapped http error", fmt.Errorf("server: %w", echo.ErrNotFound)},
		{"one problem", annotate.Problems{{Field: "put[0]", Message: "Down lies over sit.", Hint: "End sit first."}}},
		{"two problems", fmt.Errorf("library: %w", annotate.Problems{{Field: "a", Message: "First."}, {Field: "b", Message: "Second.", Hint: "Mend it."}})},
		{"conflict", fmt.Errorf("library: %w", &annotate.Conflict{Revision: 7, Events: []annotate.ConflictEvent{{ID: "e1", Yours: event, Now: nil}}})},
		{"undo is gone", &annotate.Conflict{Revision: 7, Gone: true}},
		{"fault of footage", fmt.Errorf("library: %w", &media.Fault{Kind: "damaged", Message: "walk.mp4 is damaged.", Hint: "Copy it from the camera again.", Cause: errors.New("moov atom not found")})},
		{"footage is gone", &media.Fault{Kind: "unreadable", Message: "walk.mp4 is not where it was.", Hint: "Connect its drive."}},
		{"malformed", &badRequest{message: "The request could not be read.", hint: "Reload the page.", cause: errors.New("invalid character")}},
		{"too large", &http.MaxBytesError{Limit: 1 << 20}},
		{"not JSON", errNotJSON},
		{"outside", fmt.Errorf("server: choose: %w", errOutside)},
		{"foreign host", errForeignHost},
		{"foreign origin", errForeignOrigin},
		{"no cookie", errNoCookie},
		{"too slow", context.DeadlineExceeded},
		{"disk full", fmt.Errorf("store: edit: %w", store.ErrFull)},
		{"read only", fmt.Errorf("store: edit: %w", store.ErrReadOnly)},
		{"damaged", fmt.Errorf("store: reading x: %w", store.ErrDamaged)},
	}
	var b strings.Builder
	for _, tt := range tests {
		f := faceFor(tt.err)
		j, err := json.MarshalIndent(replyFor(tt.err, f, "abcd2345"), "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "-- %s --\n%d\n%s\n", tt.name, f.status, j)
		if f.unknown && strings.Contains(string(j), "varga") {
			t.Errorf("%s: the person gets to see what is inside: %s", tt.name, j)
		}
	}
	golden(t, "problems.txt", b.String())
}

func TestAnswerError(t *testing.T) {
	cause := errors.New("disk I/O error at library.db")
	tests := []struct {
		path, kind string
		has        string
	}{
		{"/api/boom", "application/json", `"request":"`},
		{"/media/boom", "text/plain; charset=UTF-8", "inside afterwalk"},
		{"/boom", "text/html; charset=UTF-8", "<h1>That didn&#39;t work</h1>"},
	}
	for _, tt := range tests {
		t.Run(tt.path, func(t *testing.T) {
			var logged bytes.Buffer
			s := newServer(t)
			s.cfg.Log = slog.New(slog.NewTextHandler(&logged, nil))
			s.echo.GET(tt.path, func(echo.Context) error { return fmt.Errorf("store: read: %w", cause) })
			w := s.send("GET", tt.path+"?start=secret", "")
			if w.Code != 500 {
				t.Errorf("status = %d, want 500", w.Code)
			}
			if got := w.Header().Get("Content-Type"); got != tt.kind {
				t.Errorf("content type = %q, want %q", got, tt.kind)
			}
			if !strings.Contains(w.Body.String(), tt.has) {
				t.Errorf("answer lacks %q:\n%s", tt.has, w.Body)
			}
			if strings.Contains(w.Body.String(), "disk I/O") {
				t.Error("the person gets to see the cause")
			}
			if n := strings.Count(logged.String(), "\n"); n != 1 || !strings.Contains(logged.String(), cause.Error()) {
				t.Errorf("log has %d lines, want one with the cause:\n%s", n, &logged)
			}
			if strings.Contains(logged.String(), "secret") {
				t.Error("the log shows the query")
			}
		})
	}
}

func TestPanicIsAnswered(t *testing.T) {
	var logged bytes.Buffer
	s := newServer(t)
	s.cfg.Log = slog.New(slog.NewTextHandler(&logged, nil))
	s.echo.GET("/api/panic", func(echo.Context) error { panic("left hand") })
	w := s.send("GET", "/api/panic", "")
	if w.Code != 500 || strings.Contains(w.Body.String(), "left hand") {
		t.Errorf("panic = %d %s, want 500 without the cause", w.Code, w.Body)
	}
	if !strings.Contains(logged.String(), "left hand") || !strings.Contains(logged.String(), "problem_test.go") {
		t.Errorf("the log lacks cause or stack:\n%s", &logged)
	}
}

func TestUnknownAddresses(t *testing.T) {
	s := newServer(t)
	for _, path := range []string{"/nowhere", "/api/nowhere", "/assets/", "/assets/css/", "/assets/css/none.css", "/assets/..%2ftemplates/layout.html", "/assets/../templates/layout.html", "/assets//css/base.css", "/assets/%2e%2e/ui.go"} {
		r := s.request("GET", path, "")
		w := httptest.NewRecorder()
		s.Handler().ServeHTTP(w, r)
		if w.Code != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", path, w.Code)
		}
	}
}
