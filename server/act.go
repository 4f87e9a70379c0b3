package server

import (
	"context"
	"net/http"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"
)

// doneLine is the line at the top of a page after an act: what was done, and how
// it is taken back.
type doneLine struct {
	Says string
	ID   string // of the act; "" where it can't be taken back any more
	Back string // where undoing it leads
}

// done returns the line for an act, nil for none. One that was taken back says so.
func (s *Server) done(ctx context.Context, actID string, at *url.URL) *doneLine {
	if actID == "" {
		return nil
	}
	act, err := s.cfg.Library.Act(ctx, actID)
	if err != nil {
		return nil
	}
	if act.UndoneAt != nil {
		return &doneLine{Says: "Taken back: " + act.Title}
	}
	return &doneLine{Says: act.Title, ID: act.ID, Back: withQuery(at, "act", "")}
}

// undo takes an act back and returns to where its line was shown; the page there
// says that it was taken back.
func (s *Server) undo(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	id := c.Param("id")
	if err := s.cfg.Library.Undo(c.Request().Context(), id); err != nil {
		return err
	}
	back := localPath(c.FormValue("back"))
	return c.Redirect(http.StatusSeeOther, withQuery(back, "act", id))
}

// localPath returns an address of this server's own pages; "/" for anything that
// a browser might take for another place. Only its path, query and fragment are
// kept.
func localPath(s string) *url.URL {
	home := &url.URL{Path: "/"}
	if !strings.HasPrefix(s, "/") || strings.ContainsFunc(s, func(r rune) bool { return r <= ' ' || r == '\\' || r == 0x7f }) {
		return home
	}
	u, err := url.Parse(s)
	if err != nil || u.Scheme != "" || u.Host != "" || u.User != nil || strings.HasPrefix(u.Path, "//") || strings.Contains(u.Path, "\\") {
		return home
	}
	return &url.URL{Path: u.Path, RawPath: u.RawPath, RawQuery: u.RawQuery, Fragment: u.Fragment}
}
