package server

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"afterwalk/internal/library"
	"afterwalk/ui"
)

const (
	testAddr  = "127.0.0.1:7171"
	testToken = "TESTTOKENTESTTOKENTESTTOKEN"
)

// newServer returns a server on an empty library.
func newServer(t testing.TB) *Server {
	t.Helper()
	s, err := New(Config{Library: &library.Library{}, UI: ui.Files(), Log: slog.New(slog.NewTextHandler(io.Discard, nil)), Addr: testAddr, Token: testToken})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// request returns a request as an open page of the server's own sends it.
func (s *Server) request(method, path, body string) *http.Request {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = s.Addr()
	r.AddCookie(&http.Cookie{Name: cookieName, Value: testToken})
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	if strings.HasPrefix(body, "{") {
		r.Header.Set("Content-Type", "application/json")
	} else if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	return r
}

// send sends such a request and returns the answer.
func (s *Server) send(method, path, body string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, s.request(method, path, body))
	return w
}

// page is a parsed page.
type page struct{ root *html.Node }

func parsePage(t testing.TB, text string) page {
	t.Helper()
	n, err := html.Parse(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return page{n}
}

// all returns the elements that match a simple selector: tag, .class, #id,
// [name], [name=value], joined without space (all hold) or with spaces (inside).
func (p page) all(selector string) []*html.Node {
	found := []*html.Node{p.root}
	for _, part := range strings.Fields(selector) {
		var next []*html.Node
		seen := map[*html.Node]bool{}
		for _, within := range found {
			for n := range within.Descendants() {
				if n.Type == html.ElementNode && !seen[n] && matches(n, part) {
					seen[n] = true
					next = append(next, n)
				}
			}
		}
		found = next
	}
	return found
}

// one returns the only element that matches.
func (p page) one(t testing.TB, selector string) *html.Node {
	t.Helper()
	found := p.all(selector)
	if len(found) != 1 {
		t.Fatalf("%d elements match %q, want 1", len(found), selector)
	}
	return found[0]
}

// matches reports whether an element fits one part of a selector.
func matches(n *html.Node, part string) bool {
	for part != "" {
		end := len(part)
		if part[0] == '[' {
			end = strings.IndexByte(part, ']') + 1
		} else if i := strings.IndexAny(part[1:], ".#["); i >= 0 {
			end = i + 1
		}
		one := part[:end]
		part = part[end:]
		ok := false
		switch one[0] {
		case '.':
			for _, c := range strings.Fields(attr(n, "class")) {
				ok = ok || c == one[1:]
			}
		case '#':
			ok = attr(n, "id") == one[1:]
		case '[':
			name, value, given := strings.Cut(one[1:len(one)-1], "=")
			v, has := attribute(n, name)
			ok = has && (!given || v == value)
		default:
			ok = n.Data == one
		}
		if !ok {
			return false
		}
	}
	return true
}

func attribute(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func attr(n *html.Node, name string) string {
	v, _ := attribute(n, name)
	return v
}

// text returns an element's text with single spaces.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
