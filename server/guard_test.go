package server

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// A server on another loopback address than the usual one answers there.
func TestGuardOwnAddress(t *testing.T) {
	for _, addr := range []string{"127.0.0.2:7171", "[::1]:7171"} {
		s := newServer(t)
		s.addr.Store(&addr)
		for host, want := range map[string]int{addr: 200, "localhost:7171": 307, "127.0.0.3:7171": 421} {
			r := httptest.NewRequest("GET", cssPath, nil)
			r.Host = host
			r.Header.Set("Cookie", cookieName+"="+testToken)
			w := httptest.NewRecorder()
			s.Handler().ServeHTTP(w, r)
			if w.Code != want {
				t.Errorf("on %s: GET from host %s = %d, want %d", addr, host, w.Code, want)
			}
			if to := w.Header().Get("Location"); want == 307 && to != "http://"+addr+cssPath {
				t.Errorf("on %s: localhost leads to %s", addr, to)
			}
		}
	}
}

// cssPath is a file that is always there and needs nothing of the library.
const cssPath = "/assets/css/base.css"

func TestGuard(t *testing.T) {
	s := newServer(t)
	good := cookieName + "=" + testToken
	tests := []struct {
		name   string
		method string
		host   string
		path   string
		header map[string]string
		want   int
	}{
		{"own page's file", "GET", testAddr, cssPath, map[string]string{"Sec-Fetch-Site": "same-origin", "Cookie": good}, 200},
		{"typed address", "GET", testAddr, cssPath, map[string]string{"Sec-Fetch-Site": "none", "Cookie": good}, 200},
		{"program without fetch headers", "GET", testAddr, cssPath, map[string]string{"Cookie": good}, 200},
		{"IPv6 loopback", "GET", "[::1]:7171", cssPath, map[string]string{"Cookie": good}, 200},
		{"localhost is led on", "GET", "localhost:7171", "/dogs/x?a=1", map[string]string{"Cookie": good}, 307},
		{"localhost can't write", "POST", "localhost:7171", "/api/add", map[string]string{"Cookie": good}, 421},

		{"foreign host", "GET", "afterwalk.example:7171", cssPath, map[string]string{"Cookie": good}, 421},
		{"own name, other port", "GET", "127.0.0.1:7172", cssPath, map[string]string{"Cookie": good}, 421},
		{"own name without port", "GET", "127.0.0.1", cssPath, map[string]string{"Cookie": good}, 421},
		{"other loopback address", "GET", "127.0.0.2:7171", cssPath, map[string]string{"Cookie": good}, 421},
		{"host with a trailing dot", "GET", "localhost.:7171", cssPath, map[string]string{"Cookie": good}, 421},
		{"rebound name that agrees with its origin", "POST", "evil.example:7171", "/api/add", map[string]string{"Cookie": good, "Origin": "http://evil.example:7171"}, 421},

		{"no cookie", "GET", testAddr, cssPath, nil, 403},
		{"no cookie on an unknown page", "GET", testAddr, "/nowhere", nil, 403},
		{"wrong cookie", "GET", testAddr, cssPath, map[string]string{"Cookie": cookieName + "=AAAAAAAAAAAAAAAAAAAAAAAAAA"}, 403},
		{"part of the token", "GET", testAddr, cssPath, map[string]string{"Cookie": cookieName + "=" + testToken[:20]}, 403},
		{"empty cookie", "GET", testAddr, cssPath, map[string]string{"Cookie": cookieName + "="}, 403},
		{"cookie of another name", "GET", testAddr, cssPath, map[string]string{"Cookie": "afterwalk2=" + testToken}, 403},
		{"cookie shared with another library", "GET", testAddr, cssPath, map[string]string{"Cookie": cookieName + "=BBBBBBBBBBBBBBBBBBBBBBBBBB." + testToken}, 200},
		{"wrong token", "GET", testAddr, "/?start=AAAAAAAAAAAAAAAAAAAAAAAAAA", nil, 403},
		{"no token", "GET", testAddr, "/?start=", nil, 403},
		{"token on another page", "GET", testAddr, "/add?start=" + testToken, nil, 403},
		{"start", "GET", testAddr, "/?start=" + testToken, nil, 303},
		{"start followed from another site", "GET", testAddr, "/?start=" + testToken, map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200},

		{"link on another site", "GET", testAddr, cssPath, map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200},
		{"frame on another site", "GET", testAddr, cssPath, map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403},
		{"picture on another site", "GET", testAddr, "/charts/x/escalation.png", map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"}, 403},
		{"script of another port", "GET", testAddr, "/api/jobs", map[string]string{"Cookie": good, "Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"}, 403},
		{"footage in another site's page", "GET", testAddr, "/media/x", map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "video"}, 403},
		{"head from another site", "HEAD", testAddr, "/media/x", map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site"}, 403},
		{"get with a foreign origin", "GET", testAddr, "/api/jobs", map[string]string{"Cookie": good, "Origin": "http://evil.example"}, 403},
		{"get with origin null", "GET", testAddr, "/api/jobs", map[string]string{"Cookie": good, "Origin": "null"}, 403},

		{"write from another site", "POST", testAddr, "/api/add", map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site"}, 403},
		{"write from another port", "POST", testAddr, "/api/add", map[string]string{"Cookie": good, "Sec-Fetch-Site": "same-site"}, 403},
		{"write with a foreign origin", "POST", testAddr, "/api/add", map[string]string{"Cookie": good, "Origin": "http://evil.example"}, 403},
		{"write with origin null", "POST", testAddr, "/api/add", map[string]string{"Cookie": good, "Origin": "null"}, 403},
		{"write by navigation from another site", "POST", testAddr, "/clips/x/readings", map[string]string{"Cookie": good, "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 403},
		{"write without cookie", "POST", testAddr, "/api/add", map[string]string{"Sec-Fetch-Site": "same-origin"}, 403},
		{"form sent as JSON's address", "POST", testAddr, "/api/add", map[string]string{"Cookie": good, "Content-Type": "text/plain"}, 415},
		{"unknown method", "DELETE", testAddr, "/api/jobs", map[string]string{"Cookie": good}, 405},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := httptest.NewRequest(tt.method, tt.path, nil)
			r.Host = tt.host
			for k, v := range tt.header {
				r.Header.Set(k, v)
			}
			w := httptest.NewRecorder()
			s.Handler().ServeHTTP(w, r)
			if w.Code != tt.want {
				t.Errorf("%s %s%s %v = %d, want %d\n%s", tt.method, tt.host, tt.path, tt.header, w.Code, tt.want, w.Body)
			}
			if w.Code >= 400 && strings.Contains(w.Body.String(), testToken) {
				t.Error("a refusal shows the token")
			}
			if w.Header().Get("Content-Security-Policy") == "" || w.Header().Get("X-Content-Type-Options") != "nosniff" || w.Header().Get("Cross-Origin-Resource-Policy") != "same-origin" {
				t.Errorf("headers that every reply carries are missing: %v", w.Header())
			}
		})
	}
}

func TestStartGivesTheCookie(t *testing.T) {
	s := newServer(t)
	other := "CCCCCCCCCCCCCCCCCCCCCCCCCC"
	r := httptest.NewRequest("GET", "/?start="+testToken, nil)
	r.Host = testAddr
	r.AddCookie(&http.Cookie{Name: cookieName, Value: other + ".<script>." + testToken})
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	if got := w.Header().Get("Location"); got != "/" {
		t.Errorf("start leads to %q, want / without the token", got)
	}
	cookies := w.Result().Cookies()
	if len(cookies) != 1 {
		t.Fatalf("start sets %d cookies, want 1", len(cookies))
	}
	c := cookies[0]
	if c.Name != "afterwalk" || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" {
		t.Errorf("cookie = %+v, want afterwalk, HttpOnly, SameSite=Strict, for the whole site", c)
	}
	if want := testToken + "." + other; c.Value != want {
		t.Errorf("cookie value = %q, want %q: the other library's token stays", c.Value, want)
	}
}

func TestRefusalSaysHowToOpen(t *testing.T) {
	s := newServer(t)
	r := httptest.NewRequest("GET", "/", nil)
	r.Host = testAddr
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	doc := parsePage(t, w.Body.String())
	if got := text(doc.one(t, "main")); !strings.Contains(got, "Open the address that the program printed") {
		t.Errorf("the refusal says %q", got)
	}
	if len(doc.all("link")) > 0 || len(doc.all("script")) > 0 || len(doc.all("a")) > 0 {
		t.Error("the refusal asks for files that are refused too")
	}
}

func TestBodyLimits(t *testing.T) {
	s := newServer(t)
	huge := `{"dog":"` + strings.Repeat("x", limitOther) + `"}`
	tests := []struct {
		name, path, kind, body string
		length                 int64 // as claimed; -1: not known
		want                   int
	}{
		{"too long, said so", "/api/add", "application/json", huge, int64(len(huge)), 413},
		{"too long, not said", "/api/add", "application/json", huge, -1, 413},
		{"form too long", "/sessions/x", "application/x-www-form-urlencoded", "venue=" + huge, -1, 413},
		{"broken", "/api/add", "application/json", `{"dog":`, 8, 400},
		{"two values", "/api/add", "application/json", `{} {}`, 5, 400},
		{"wrong kind of value", "/api/add", "application/json", `{"paths":7}`, 11, 400},
		{"a list", "/api/add", "application/json", `[]`, 2, 400},
		{"nothing", "/api/add", "application/json", ``, 0, 400},
		{"deep", "/api/add", "application/json", strings.Repeat("[", 100_000), 100_000, 400},
		{"no kind", "/api/add", "", `{}`, 2, 415},
		{"broken edit", "/api/readings/x/edits", "application/json", `{"put":`, 7, 400},
		{"broken form", "/sessions/x", "application/x-www-form-urlencoded", `venue=%zz`, 9, 400},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := s.request("POST", tt.path, tt.body)
			r.Header.Set("Content-Type", tt.kind)
			r.ContentLength = tt.length
			w := httptest.NewRecorder()
			s.Handler().ServeHTTP(w, r)
			if w.Code != tt.want {
				t.Errorf("POST %s with %.20q… = %d, want %d: %s", tt.path, tt.body, w.Code, tt.want, w.Body)
			}
		})
	}
}
