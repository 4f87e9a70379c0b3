package server

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// mergeBody is what the page shows on which a dog is merged into another.
type mergeBody struct {
	Dog    store.Dog
	Others []store.DogSummary
	Into   *store.Dog // chosen; nil: not yet
	From   holdings
	Shared int // films that both have
}

// holdings is what a dog has.
type holdings struct{ Sessions, Clips, Readings int }

// mergePage asks which dog another is to be merged into and, once that is chosen,
// says what will happen before it is done.
func (s *Server) mergePage(c echo.Context) error {
	ctx := c.Request().Context()
	var body mergeBody
	var err error
	if body.Dog, err = s.cfg.Library.Dog(ctx, c.Param("id")); err != nil {
		return err
	}
	if body.Others, err = s.otherDogs(ctx, body.Dog.ID); err != nil {
		return err
	}
	own, footage, err := s.holds(ctx, body.Dog.ID)
	if err != nil {
		return err
	}
	body.From = own
	for _, d := range body.Others {
		if d.ID == c.QueryParam("into") {
			body.Into = &d.Dog
		}
	}
	if body.Into != nil {
		_, theirs, err := s.holds(ctx, body.Into.ID)
		if err != nil {
			return err
		}
		for id := range footage {
			if theirs[id] {
				body.Shared++
			}
		}
	}
	return s.render(c, http.StatusOK, "merge", Page{
		Title:  "Merge " + body.Dog.Name,
		Crumbs: []Crumb{{Name: body.Dog.Name, Href: "/dogs/" + body.Dog.ID}, {Name: "Merge"}}, Body: body,
	})
}

// holds counts what a dog has, and names its footage.
func (s *Server) holds(ctx context.Context, dogID string) (holdings, map[string]bool, error) {
	l := s.cfg.Library
	var h holdings
	footage := map[string]bool{}
	sessions, err := l.Sessions(ctx, dogID)
	if err != nil {
		return h, nil, err
	}
	h.Sessions = len(sessions)
	for _, session := range sessions {
		clips, err := l.Clips(ctx, session.ID)
		if err != nil {
			return h, nil, err
		}
		h.Clips += len(clips)
		for _, clip := range clips {
			footage[clip.Footage.ID] = true
			readings, err := l.Readings(ctx, clip.ID)
			if err != nil {
				return h, nil, err
			}
			h.Readings += len(readings)
		}
	}
	return h, footage, nil
}

// merge makes two dogs one and leads to the one that stays.
func (s *Server) merge(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	into := c.FormValue("into")
	if into == "" {
		return annotate.Problems{{Field: "into", Message: "No dog is chosen to merge with.", Hint: "Go back and choose one."}}
	}
	act, err := s.cfg.Library.MergeDogs(c.Request().Context(), c.Param("id"), into)
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, withQuery(localPath("/dogs/"+into), "act", act))
}
