package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
)

// job is work in the background as JSON.
type job struct {
	ID      string     `json:"id"`
	Kind    string     `json:"kind"`
	Title   string     `json:"title"`
	Clip    string     `json:"clip"`
	State   string     `json:"state"`
	Done    float64    `json:"done"` // share, 0…1
	Message string     `json:"message"`
	Report  *addReport `json:"report,omitempty"`
}

// addReport says what became of each file that was to be added.
type addReport struct {
	Files []addedFile `json:"files"`
}

type addedFile struct {
	Path    string `json:"path"`
	Clip    string `json:"clip"` // "" if it was not added
	Again   bool   `json:"again"`
	Moved   bool   `json:"moved"`
	Problem string `json:"problem"`
}

// jobReply returns a job as JSON.
func jobReply(j library.Job) job {
	out := job{ID: j.ID, Kind: j.Kind, Title: j.Title, Clip: j.ClipID, State: j.State, Done: j.Done, Message: j.Message}
	if j.Report != nil {
		out.Report = &addReport{Files: []addedFile{}}
		for _, f := range j.Report.Files {
			out.Report.Files = append(out.Report.Files, addedFile{Path: f.Path, Clip: f.ClipID, Again: f.Again, Moved: f.Moved, Problem: f.Problem})
		}
	}
	return out
}

// jobs lists what is under way and what has ended since the start.
func (s *Server) jobs(c echo.Context) error {
	list := []job{}
	for _, j := range s.cfg.Library.Jobs() {
		list = append(list, jobReply(j))
	}
	return c.JSON(http.StatusOK, map[string][]job{"jobs": list})
}

// stopJob ends a job; what it has finished stays.
func (s *Server) stopJob(c echo.Context) error {
	if err := s.cfg.Library.StopJob(c.Param("id")); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// addRequest is what the page sends to add clips.
type addRequest struct {
	Dog    string   `json:"dog"`
	Paths  []string `json:"paths"`
	GapMin *float64 `json:"gap_min"`
}

// maxPaths is how many files and folders one request may name.
const maxPaths = 2000

// request checks everything about it, and returns it as the library takes it.
func (a addRequest) request(chooser *chooser) (library.AddRequest, error) {
	var p annotate.Problems
	out := library.AddRequest{Dog: strings.TrimSpace(a.Dog)}
	switch n := utf8.RuneCountInString(out.Dog); {
	case n == 0:
		p = append(p, annotate.Problem{Field: "dog", Message: "The dog's name is missing.", Hint: "Write the name of the dog in these clips."})
	case n > maxName:
		p = append(p, annotate.Problem{Field: "dog", Message: fmt.Sprintf("The dog's name is too long: %d characters, at most %d are kept.", n, maxName), Hint: "Shorten it."})
	}
	if len(a.Paths) == 0 {
		p = append(p, annotate.Problem{Field: "paths", Message: "Nothing is chosen.", Hint: "Choose clips, or a folder with clips."})
	}
	if len(a.Paths) > maxPaths {
		p = append(p, annotate.Problem{Field: "paths", Message: fmt.Sprintf("%d files and folders are too many at once.", len(a.Paths)), Hint: "Choose the folder that holds them."})
		return out, p
	}
	for _, path := range a.Paths {
		if err := chooser.allow(path); err != nil {
			p = append(p, annotate.Problem{Field: "paths", Message: fmt.Sprintf("%q can't be added from here.", path), Hint: "Choose it in the list; for other places use the command: afterwalk add."})
		}
		out.Paths = append(out.Paths, path)
	}
	if a.GapMin != nil {
		if *a.GapMin <= 0 || *a.GapMin > 24*60 {
			p = append(p, annotate.Problem{Field: "gap_min", Message: "The pause between sessions has to lie above 0 and up to 1440 minutes.", Hint: "30 is usual."})
		} else {
			out.Gap = time.Duration(*a.GapMin * float64(time.Minute))
		}
	}
	return out, p.Err()
}

// add starts adding clips and answers with the job's id.
func (s *Server) add(c echo.Context) error {
	var a addRequest
	if err := readJSON(c, &a); err != nil {
		return err
	}
	req, err := a.request(s.chooser)
	if err != nil {
		return err
	}
	id, err := s.cfg.Library.StartAdd(c.Request().Context(), req)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]string{"job": id})
}

// readJSON reads the one JSON value that a request's body holds.
func readJSON(c echo.Context, into any) error {
	kind, _, err := mime.ParseMediaType(c.Request().Header.Get("Content-Type"))
	if err != nil || kind != "application/json" {
		return errNotJSON
	}
	d := json.NewDecoder(c.Request().Body)
	if err := d.Decode(into); errors.Is(err, annotate.ErrInvalid) {
		return err // read, but not what it should be; it has its own words
	} else if err != nil {
		return &badRequest{message: "The request could not be read. Nothing was changed.", hint: "Reload the page; what waits in it is kept.", cause: err}
	}
	if d.More() {
		return &badRequest{message: "The request held more than one value. Nothing was changed.", hint: "Reload the page; what waits in it is kept."}
	}
	return nil
}
