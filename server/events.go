package server

import (
	"io"
	"iter"
	"log/slog"
	"net/http"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
)

// readingEvents answers with the events of one reading as a table.
func (s *Server) readingEvents(c echo.Context) error {
	ctx := c.Request().Context()
	l := s.cfg.Library
	r, err := l.Reading(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	clipID, err := l.ReadingClip(ctx, r.ID)
	if err != nil {
		return err
	}
	clip, err := l.Clip(ctx, clipID)
	if err != nil {
		return err
	}
	readings, err := l.Readings(ctx, clipID)
	if err != nil {
		return err
	}
	title, err := s.sessionTitle(ctx, clip.DogID, clip.SessionID)
	if err != nil {
		return err
	}
	one := func(yield func(exchange.CodedClip, error) bool) {
		yield(exchange.CodedClip{Reading: r, Session: title, Counts: library.CountingOf(readings) == r.ID}, nil)
	}
	return s.sendEvents(c, fileName(r, "events.csv"), one)
}

// sessionEvents answers with the events of all readings of a session as a table.
func (s *Server) sessionEvents(c echo.Context) error {
	ctx := c.Request().Context()
	session, err := s.cfg.Library.Session(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	dog, err := s.cfg.Library.Dog(ctx, session.DogID)
	if err != nil {
		return err
	}
	title, err := s.sessionTitle(ctx, dog.ID, session.ID)
	if err != nil {
		return err
	}
	name := plainName(dog.Name, 60)
	if session.StartedAt != nil {
		name += "." + session.StartedAt.Format("2006-01-02")
	}
	return s.sendEvents(c, name+".events.csv", titled(s.cfg.Library.CodedOf(ctx, dog.ID, session.ID), map[string]string{session.ID: title}))
}

// dogEvents answers with the events of all readings of a dog as a table.
func (s *Server) dogEvents(c echo.Context) error {
	ctx := c.Request().Context()
	dog, err := s.cfg.Library.Dog(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	sessions, err := s.cfg.Library.Sessions(ctx, dog.ID)
	if err != nil {
		return err
	}
	return s.sendEvents(c, plainName(dog.Name, 60)+".events.csv", titled(s.cfg.Library.CodedOf(ctx, dog.ID, ""), sessionTitles(sessions)))
}

// titled gives each reading the title of its session.
func titled(coded iter.Seq2[library.Coded, error], titles map[string]string) iter.Seq2[exchange.CodedClip, error] {
	return func(yield func(exchange.CodedClip, error) bool) {
		for n, err := range coded {
			if !yield(exchange.CodedClip{Reading: n.Reading, Session: titles[n.Session.ID], Counts: n.Counts}, err) {
				return
			}
		}
	}
}

// sendEvents sends a table as it is made; ?guarded=1 makes it safe to open in a
// spreadsheet. What fails before the first row is answered as any error; after it
// the connection is cut, so that half a table isn't taken for a whole one.
func (s *Server) sendEvents(c echo.Context, name string, readings iter.Seq2[exchange.CodedClip, error]) error {
	out := &lateBody{c: c, name: name}
	var options []exchange.CSVOption
	if c.QueryParam("guarded") == "1" {
		options = append(options, exchange.Guarded())
	}
	err := exchange.WriteEventsCSV(out, readings, options...)
	if err != nil && out.begun {
		if c.Request().Context().Err() == nil {
			s.cfg.Log.Error("table of events broken off", slog.Any(logError, err))
		}
		panic(http.ErrAbortHandler)
	}
	return err
}

// lateBody sends the headers of a table with its first byte.
type lateBody struct {
	c     echo.Context
	name  string
	begun bool
}

var _ io.Writer = (*lateBody)(nil)

func (b *lateBody) Write(p []byte) (int, error) {
	if !b.begun {
		b.begun = true
		h := b.c.Response().Header()
		h.Set(echo.HeaderContentType, "text/csv; charset=utf-8; header=present")
		h.Set(echo.HeaderContentDisposition, attachment(b.name))
		b.c.Response().WriteHeader(http.StatusOK)
	}
	return b.c.Response().Write(p)
}
