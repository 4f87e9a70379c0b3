package server

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// makeProxy begins to make the copy of a clip that the browser can play, and leads
// back to the clip, which shows how far it is.
func (s *Server) makeProxy(c echo.Context) error {
	ctx := c.Request().Context()
	clip, err := s.cfg.Library.Clip(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	if _, err := s.cfg.Library.StartProxy(ctx, clip.ID); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/sessions/"+clip.SessionID+"#clip-"+clip.ID)
}
