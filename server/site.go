package server

import (
	"net/url"

	"github.com/labstack/echo/v4"
)

// deskClass is the class of the desk's page, which has keys of its own and no foot.
const deskClass = "desk"

// site is what the frame of every page shows of the library.
type site struct {
	Look    string // of the settings
	Path    string // of the page that is shown
	Query   string // what is searched for
	Slash   bool   // the key / leads to the search field
	Working int    // jobs under way
	Done    *doneLine
}

// site gathers it. What can't be read is left out: a page, most of all one that
// says what went wrong, is shown all the same.
func (s *Server) site(c echo.Context, page Page) site {
	ctx := c.Request().Context()
	out := site{Path: c.Request().URL.Path}
	if s.cfg.Library.ID() == "" { // it was never opened
		return out
	}
	if set, err := s.cfg.Library.Settings(ctx); err == nil {
		out.Look, out.Slash = set.Look, set.SearchKey && page.Class != deskClass
	}
	for _, j := range s.cfg.Library.Jobs() {
		if underWay(j) {
			out.Working++
		}
	}
	if out.Path == searchPath {
		out.Query = c.QueryParam("q")
	}
	out.Done = s.done(ctx, c.QueryParam("act"), c.Request().URL)
	if c.QueryParam("restored") == "1" && out.Done == nil {
		out.Done = &doneLine{Says: "It is back from the bin, with all that belongs to it."}
	}
	return out
}

// withQuery returns a local address with one value of its query set, or taken out
// where value is "".
func withQuery(u *url.URL, name, value string) string {
	q := u.Query()
	q.Del(name)
	if value != "" {
		q.Set(name, value)
	}
	out := url.URL{Path: u.Path, RawPath: u.RawPath, RawQuery: q.Encode(), Fragment: u.Fragment}
	return out.String()
}
