package server

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"
)

// binPage shows what lies in the bin.
func (s *Server) binPage(c echo.Context) error {
	list, err := s.cfg.Library.BinContents(c.Request().Context())
	if err != nil {
		return err
	}
	return s.render(c, http.StatusOK, "bin", Page{Title: "Bin", Crumbs: []Crumb{{Name: "Bin"}}, Body: list})
}

// bin puts a dog, session, clip or reading into the bin, and leads to what it
// belonged to.
func (s *Server) bin(kind string) echo.HandlerFunc {
	return func(c echo.Context) error {
		ctx := c.Request().Context()
		id := c.Param("id")
		up, err := s.above(ctx, kind, id)
		if err != nil {
			return err
		}
		act, err := s.cfg.Library.Bin(ctx, kind, id)
		if err != nil {
			return err
		}
		return c.Redirect(http.StatusSeeOther, withQuery(localPath(up), "act", act))
	}
}

// restore brings something back from the bin, and leads to it.
func (s *Server) restore(c echo.Context) error {
	ctx := c.Request().Context()
	kind, id := c.Param("kind"), c.Param("id")
	if err := s.cfg.Library.Restore(ctx, kind, id); err != nil {
		return err
	}
	to, err := s.pageOf(ctx, kind, id)
	if isNotFound(err) { // what it belongs to lies in the bin as well
		to, err = "/bin", nil
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, withQuery(localPath(to), "restored", "1"))
}

// The kinds of things that can lie in the bin.
const (
	kindDog     = "dog"
	kindSession = "session"
	kindClip    = "clip"
	kindReading = "reading"
)

// pageOf returns the page that shows something.
func (s *Server) pageOf(ctx context.Context, kind, id string) (string, error) {
	l := s.cfg.Library
	switch kind {
	case kindSession:
		v, err := l.Session(ctx, id)
		return "/sessions/" + v.ID, err
	case kindClip:
		v, err := l.Clip(ctx, id)
		return "/sessions/" + v.SessionID + "#clip-" + v.ID, err
	case kindReading:
		clip, err := l.ReadingClip(ctx, id)
		if err != nil {
			return "", err
		}
		return s.pageOf(ctx, kindClip, clip)
	}
	v, err := l.Dog(ctx, id)
	return "/dogs/" + v.ID, err
}

// above returns the page of what something belongs to.
func (s *Server) above(ctx context.Context, kind, id string) (string, error) {
	l := s.cfg.Library
	switch kind {
	case kindSession:
		v, err := l.Session(ctx, id)
		return "/dogs/" + v.DogID, err
	case kindClip:
		v, err := l.Clip(ctx, id)
		return "/sessions/" + v.SessionID, err
	case kindReading:
		return s.pageOf(ctx, kind, id)
	}
	_, err := l.Dog(ctx, id)
	return "/", err
}
