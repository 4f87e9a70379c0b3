package server

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/library"
)

// jobsBody is what the page of jobs shows, the newest first.
type jobsBody struct{ Running, Ended []library.Job }

// jobsPage shows what is under way and what has ended since the start. Its script
// keeps it up to date; without it, it shows how things stood when it was asked for.
func (s *Server) jobsPage(c echo.Context) error {
	var body jobsBody
	list := s.cfg.Library.Jobs()
	slices.Reverse(list)
	for _, j := range list {
		if underWay(j) {
			body.Running = append(body.Running, j)
		} else {
			body.Ended = append(body.Ended, j)
		}
	}
	return s.render(c, http.StatusOK, "jobs", Page{Title: "Jobs", Crumbs: []Crumb{{Name: "Jobs"}}, Body: body})
}

// stopJobForm is stopJob for the page without its script.
func (s *Server) stopJobForm(c echo.Context) error {
	if err := s.cfg.Library.StopJob(c.Param("id")); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/jobs")
}

// underWay reports whether a job waits or runs.
func underWay(j library.Job) bool { return j.State == "waiting" || j.State == "running" }
