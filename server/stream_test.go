package server

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"afterwalk/annotate"
)

// serve serves the fixture on a free port and returns its address; stop ends it
// and waits.
func (f fixture) serve(t testing.TB) (address string, stop func()) {
	t.Helper()
	f.cfg.Addr = "127.0.0.1:0"
	if err := f.Listen(t.Context()); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- f.Serve(ctx) }()
	stopped := false
	stop = func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
	t.Cleanup(stop)
	return "http://" + f.Addr(), stop
}

// call sends a request over the network as a page of the server's own.
func call(ctx context.Context, method, url, body string) (*http.Response, error) {
	r, err := http.NewRequestWithContext(ctx, method, url, strings.NewReader(body))
	if err != nil {
		return nil, err
	}
	r.AddCookie(&http.Cookie{Name: cookieName, Value: testToken})
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	r.Header.Set("Content-Type", "application/json")
	return http.DefaultClient.Do(r)
}

// listen opens an event stream; what it says comes line by line, empty lines left
// out. It is open when listen returns.
func listen(t *testing.T, ctx context.Context, address string) <-chan string {
	t.Helper()
	res, err := call(ctx, "GET", address+"/api/stream", "")
	if err != nil {
		t.Fatal(err)
	}
	if res.StatusCode != 200 || res.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatalf("stream = %d %s", res.StatusCode, res.Header.Get("Content-Type"))
	}
	lines := make(chan string, 1000)
	go func() {
		defer close(lines)
		defer res.Body.Close()
		for in := bufio.NewScanner(res.Body); in.Scan(); {
			if in.Text() != "" {
				lines <- in.Text()
			}
		}
	}()
	if got := next(t, lines) + next(t, lines); got != "retry: 1000: here" {
		t.Fatalf("the stream begins with %q", got)
	}
	return lines
}

// next returns the next line of a stream.
func next(t *testing.T, lines <-chan string) string {
	t.Helper()
	select {
	case line, ok := <-lines:
		if !ok {
			t.Fatal("the stream has ended")
		}
		return line
	case <-time.After(20 * time.Second):
		t.Fatal("nothing came within 20 s")
	}
	return ""
}

// Eight pages each hold a stream of their own and edit at once: every edit is
// answered and every page hears of the last revision.
func TestStreamsAndEditsAtOnce(t *testing.T) {
	f := newFixture(t, facts{})
	id := f.read(t, f.add(t, "Tansy", "walk.mp4", 100))
	if err := f.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	address, _ := f.serve(t)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	const pages, edits = 8, 5
	var streams []<-chan string
	for range pages {
		streams = append(streams, listen(t, ctx, address))
	}
	answers := make(chan error, pages)
	for p := range pages {
		go func() {
			for e := range edits {
				at := annotate.Micros(p*edits+e) * 200_000
				res, err := call(ctx, "POST", address+"/api/readings/"+id+"/edits", put(newID(), "praise", at, at, 0))
				if err == nil {
					text, _ := io.ReadAll(res.Body)
					res.Body.Close()
					if res.StatusCode != 200 {
						err = fmt.Errorf("edit = %d %s", res.StatusCode, text)
					}
				}
				if err != nil {
					answers <- err
					return
				}
			}
			answers <- nil
		}()
	}
	for range pages {
		if err := <-answers; err != nil {
			t.Fatal(err)
		}
	}
	for i, lines := range streams {
		for {
			if next(t, lines) != "event: reading" {
				continue
			}
			data, ok := strings.CutPrefix(next(t, lines), "data: ")
			var n readingNotice
			if err := json.Unmarshal([]byte(data), &n); !ok || err != nil || n.Reading != id {
				t.Fatalf("page %d hears %q, want a notice of reading %s", i, data, id)
			}
			if n.Revision == pages*edits {
				break
			}
		}
	}
}

func TestStreamsEndWhenTheServerStops(t *testing.T) {
	f := newFixture(t, facts{})
	address, stop := f.serve(t)
	lines := listen(t, t.Context(), address)
	began := time.Now()
	stop()
	for range lines {
	}
	if took := time.Since(began); took > stopWithin {
		t.Errorf("stopping took %s with an open stream, want less than the %s that replies get", took, stopWithin)
	}
	if res, err := call(t.Context(), "GET", address+"/", ""); err == nil {
		res.Body.Close()
		t.Error("the server still answers after it was stopped")
	}
}

func TestBeat(t *testing.T) {
	f := newFixture(t, facts{})
	f.cfg.Beat = time.Millisecond
	address, _ := f.serve(t)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	if got := next(t, listen(t, ctx, address)); got != ": here" {
		t.Errorf("a quiet stream says %q, want a comment", got)
	}
}

func TestAddressIsRemembered(t *testing.T) {
	f := newFixture(t, facts{})
	address, stop := f.serve(t)
	stop()
	got, err := f.lib.Addr(t.Context())
	if err != nil || "http://"+got != address {
		t.Errorf("the library was served at %q, %v, want %s", got, err, address)
	}
	cfg := f.cfg
	cfg.Addr = ""
	s, err := New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Listen(t.Context()); err != nil {
		t.Fatal(err)
	}
	defer s.listener.Close()
	if s.Addr() != got {
		t.Errorf("served again at %s, want %s", s.Addr(), got)
	}
}
