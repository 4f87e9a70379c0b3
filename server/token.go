package server

import (
	"crypto/rand"
	"crypto/subtle"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"github.com/labstack/echo/v4"
)

const (
	cookieName = "afterwalk"
	startParam = "start"
	// cookieTokens is how many tokens one cookie carries. A browser keeps cookies
	// by host and not by port, so two libraries served side by side share one;
	// each adds its own token and leaves the others in.
	cookieTokens = 4
	cookieAge    = 365 * 24 * 60 * 60 // seconds
)

// LoadToken returns the start token kept in a library's folder, and makes it the
// first time. It stays the same over restarts, so that open pages find their way
// back; only the owner of the folder can read it.
func LoadToken(dir string) (string, error) {
	path := filepath.Join(dir, "start-token")
	b, err := os.ReadFile(path)
	if err == nil {
		if token := strings.TrimSpace(string(b)); validToken(token) {
			return token, os.Chmod(path, 0o600)
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("server: start token: %w", err)
	}
	token := rand.Text()
	tmp, err := os.CreateTemp(dir, "start-token-") // made with 0600
	if err != nil {
		return "", fmt.Errorf("server: start token: %w", err)
	}
	defer os.Remove(tmp.Name())
	_, err = tmp.WriteString(token + "\n")
	if err = errors.Join(err, tmp.Close()); err != nil {
		return "", fmt.Errorf("server: start token: %w", err)
	}
	if err := os.Rename(tmp.Name(), path); err != nil {
		return "", fmt.Errorf("server: start token: %w", err)
	}
	return token, nil
}

// validToken reports whether t looks like a token: at least 16 letters and digits.
func validToken(t string) bool {
	if len(t) < 16 || len(t) > 128 {
		return false
	}
	for _, r := range t {
		if (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') && (r < '0' || r > '9') {
			return false
		}
	}
	return true
}

// sameToken compares without telling by its timing how much was right.
func (s *Server) sameToken(t string) bool {
	return subtle.ConstantTimeCompare([]byte(t), []byte(s.cfg.Token)) == 1
}

// admitted reports whether the request carries the cookie with this server's token.
func (s *Server) admitted(r *http.Request) bool {
	ok := false
	for _, c := range r.CookiesNamed(cookieName) {
		for _, t := range strings.Split(c.Value, ".") {
			ok = s.sameToken(t) || ok
		}
	}
	return ok
}

// start turns the token of the start address into the cookie and leads on to the
// dogs, so that the token does not stay in the address line. It works also where
// a link on another page was followed.
func (s *Server) start(c echo.Context) error {
	tokens := []string{s.cfg.Token}
	if old, err := c.Cookie(cookieName); err == nil {
		for _, t := range strings.Split(old.Value, ".") {
			if len(tokens) < cookieTokens && validToken(t) && !s.sameToken(t) {
				tokens = append(tokens, t)
			}
		}
	}
	c.SetCookie(&http.Cookie{
		Name: cookieName, Value: strings.Join(tokens, "."), Path: "/", MaxAge: cookieAge,
		HttpOnly: true, SameSite: http.SameSiteStrictMode,
	})
	if site := c.Request().Header.Get("Sec-Fetch-Site"); site == "cross-site" || site == "same-site" {
		// A redirect would go on as the other site's, without the Strict cookie; from
		// a page of this site the way on is its own.
		c.Response().Header().Set("Referrer-Policy", "no-referrer")
		return c.HTML(http.StatusOK, onward)
	}
	return c.Redirect(http.StatusSeeOther, "/")
}

// onward is a page that leads to the dogs by itself.
const onward = `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark">
<meta http-equiv="refresh" content="0; url=/"><title>afterwalk</title></head>
<body><p><a href="/">To the dogs</a></p></body></html>
`
