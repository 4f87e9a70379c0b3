package server

import (
	"net"
	"net/http"
	"net/url"

	"github.com/labstack/echo/v4"
)

// policy lets a page use only what this server serves: no inline script or
// style, no frames around it. Pictures and footage may also come from memory.
const policy = "default-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; " +
	"object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guard puts everything that refuses a request before the routes, outermost
// first.
func (s *Server) guard() {
	s.echo.Pre(s.logged, s.recovered, s.headers, s.hosts)
	s.echo.Use(s.sameOrigin, s.cookie, limitBody)
}

// headers sets what every reply carries.
func (s *Server) headers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		return next(c)
	}
}

// hosts answers only to the server's own names, so that a foreign name that was
// made to point at this computer gets nothing (421). localhost leads to the
// address that it listens on, 127.0.0.1 unless another was asked for, because
// what the browser keeps hangs on the address.
func (s *Server) hosts(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		_, port, err := net.SplitHostPort(s.Addr())
		if err != nil {
			return errForeignHost
		}
		r := c.Request()
		switch r.Host {
		case s.Addr(), net.JoinHostPort("127.0.0.1", port), net.JoinHostPort("::1", port):
			return next(c)
		case net.JoinHostPort("localhost", port):
			if r.Method != http.MethodGet && r.Method != http.MethodHead {
				return errForeignHost
			}
			to := url.URL{Scheme: "http", Host: s.Addr(), Path: r.URL.Path, RawPath: r.URL.RawPath, RawQuery: r.URL.RawQuery}
			return c.Redirect(http.StatusTemporaryRedirect, to.String())
		}
		return errForeignHost
	}
}

// sameOrigin refuses writes that another origin asked for, and reads too unless
// a person followed a link or typed the address.
func (s *Server) sameOrigin(next echo.HandlerFunc) echo.HandlerFunc {
	writes := http.NewCrossOriginProtection()
	return func(c echo.Context) error {
		r := c.Request()
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			if writes.Check(r) != nil || foreignOrigin(r) {
				return errForeignOrigin
			}
			return next(c)
		}
		if foreignOrigin(r) || foreignFetch(r.Header) {
			return errForeignOrigin
		}
		return next(c)
	}
}

// foreignFetch reports whether the browser says that another site, or another
// port of this computer, asked for something other than a page of its own.
func foreignFetch(h http.Header) bool {
	switch h.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return false
	}
	return h.Get("Sec-Fetch-Mode") != "navigate" || h.Get("Sec-Fetch-Dest") != "document"
}

// foreignOrigin reports whether the request names an origin other than the
// server's own; "null" is foreign.
func foreignOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	return origin != "" && origin != "http://"+r.Host
}

// cookie lets in whoever has opened the start address, nobody else.
func (s *Server) cookie(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if r.Method == http.MethodGet && r.URL.Path == "/" && s.sameToken(r.URL.Query().Get(startParam)) {
			return s.start(c)
		}
		if !s.admitted(r) {
			return errNoCookie
		}
		return next(c)
	}
}

// Limits of what a request may send, in bytes. An edit may bring a whole book
// and thousands of events.
const (
	limitEdit  = 8 << 20
	limitOther = 1 << 20
)

// limitBody ends requests that send more than they need.
func limitBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		limit := int64(limitOther)
		switch c.Path() {
		case routeEdits, routeBook, routeBookCheck, routeBookRead:
			limit = limitEdit
		}
		r := c.Request()
		if r.ContentLength > limit {
			return &http.MaxBytesError{Limit: limit}
		}
		r.Body = http.MaxBytesReader(c.Response(), r.Body, limit)
		return next(c)
	}
}
