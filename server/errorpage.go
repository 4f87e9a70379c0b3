package server

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/library"
)

// refusedPage is the template for whoever is not let in.
const refusedPage = "refused"

// errorBody is what the page of an error shows.
type errorBody struct {
	errorReply
	Bin  *library.Binned // what lies in the bin and hides the page that was asked for
	Back string          // the page that a refused form was sent from, "" if not known
}

// errorPage answers a person's page request with what went wrong.
func (s *Server) errorPage(c echo.Context, status int, reply errorReply) error {
	name, title := "error", "That didn't work"
	body := errorBody{errorReply: reply}
	switch status {
	case http.StatusNotFound:
		title = "Nothing here"
		if body.Bin = s.hidden(c); body.Bin != nil {
			title = "In the bin"
		}
	case http.StatusForbidden, http.StatusMisdirectedRequest:
		// Whoever is not let in gets no styles either: the page stands alone.
		name, title = refusedPage, "Not let in"
	}
	if c.Request().Method == http.MethodPost {
		body.Back = ownReferer(c.Request())
	}
	return s.render(c, status, name, Page{Title: title, Body: body})
}

// pageKinds is what the pages that lead to a thing by its id show.
var pageKinds = map[string]string{
	"/dogs/:id": kindDog, "/dogs/:id/merge": kindDog,
	"/sessions/:id": kindSession,
	"/clips/:id":    kindClip, "/clips/:id/readings": kindClip,
	"/desk/:id": kindReading,
}

// hidden returns what lies in the bin and hides the page that was asked for, nil
// if nothing does: the outermost, since what is below it comes back with it.
func (s *Server) hidden(c echo.Context) *library.Binned {
	kind := pageKinds[c.Path()]
	if kind == "" {
		return nil
	}
	b, err := s.cfg.Library.HiddenBy(context.WithoutCancel(c.Request().Context()), kind, c.Param("id"))
	if err != nil {
		return nil
	}
	return &b
}

// ownReferer returns the page of this server that a request was sent from, as a
// local address; "" where that isn't known.
func ownReferer(r *http.Request) string {
	from := r.Referer()
	own := "http://" + r.Host
	if len(from) <= len(own) || from[:len(own)] != own {
		return ""
	}
	return withQuery(localPath(from[len(own):]), "act", "")
}
