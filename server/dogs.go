package server

import (
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// dogsBody is what the first page shows.
type dogsBody struct {
	Dogs  []dogRow
	Name  string // of a dog to be made, as typed
	Wrong string // what is wrong with it
}

// dogRow is a dog with what waits to be done for it.
type dogRow struct {
	store.DogSummary
	Waits library.Waiting
}

// dogsPage lists the dogs; without any it says how to begin.
func (s *Server) dogsPage(c echo.Context) error { return s.showDogs(c, http.StatusOK, dogsBody{}) }

func (s *Server) showDogs(c echo.Context, status int, body dogsBody) error {
	ctx := c.Request().Context()
	dogs, err := s.cfg.Library.Dogs(ctx)
	if err != nil {
		return err
	}
	waits, err := s.cfg.Library.Waiting(ctx)
	if err != nil {
		return err
	}
	for _, d := range dogs {
		body.Dogs = append(body.Dogs, dogRow{d, waits[d.ID]})
	}
	return s.render(c, status, "dogs", Page{Title: "Dogs", Body: body})
}

// newDog makes a dog without clips and leads to its page.
func (s *Server) newDog(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	name := cleaned(c.FormValue("name"))
	id, err := s.cfg.Library.NewDog(c.Request().Context(), name)
	var wrong annotate.Problems
	if errors.As(err, &wrong) {
		return s.showDogs(c, http.StatusUnprocessableEntity, dogsBody{Name: name, Wrong: byField(wrong)["name"]})
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/dogs/"+id)
}
