package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// sessionBody is what the page of a session shows.
type sessionBody struct {
	Dog     store.Dog
	Session store.Session
	Title   string
	Clips   []clipRow
	Reader  string // who coded last here, to start from
	Venues  []string
	Handler []string // handlers of this dog's other sessions, to choose from
	Saved   bool     // the facts were just stored
}

// clipRow is a clip with its readings.
type clipRow struct {
	store.Clip
	Number   int // within the session, from 1
	Readings []readingRow
}

// readingRow is a reading; Counts says that measures across clips use this one.
type readingRow struct {
	store.ReadingSummary
	Counts bool
}

// sessionPage shows one session: its facts, clips and readings.
func (s *Server) sessionPage(c echo.Context) error {
	ctx := c.Request().Context()
	l := s.cfg.Library
	session, err := l.Session(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	dog, err := l.Dog(ctx, session.DogID)
	if err != nil {
		return err
	}
	clips, err := l.Clips(ctx, session.ID)
	if err != nil {
		return err
	}
	sessions, err := l.Sessions(ctx, dog.ID)
	if err != nil {
		return err
	}
	body := sessionBody{Dog: dog, Session: session, Title: sessionTitles(sessions)[session.ID], Saved: c.QueryParam("saved") == "1"}
	for _, other := range sessions {
		body.Venues = append(body.Venues, other.Venue)
		body.Handler = append(body.Handler, other.Handler)
	}
	body.Venues, body.Handler = distinct(body.Venues), distinct(body.Handler)
	var newest *store.ReadingSummary
	for i, clip := range clips {
		row := clipRow{Clip: clip, Number: i + 1}
		readings, err := l.Readings(ctx, clip.ID)
		if err != nil {
			return err
		}
		counts := library.CountingOf(readings)
		for i, r := range readings {
			row.Readings = append(row.Readings, readingRow{ReadingSummary: r, Counts: r.ID == counts})
			if newest == nil || r.UpdatedAt.After(newest.UpdatedAt) {
				newest = &readings[i]
			}
		}
		body.Clips = append(body.Clips, row)
	}
	if newest != nil {
		body.Reader = newest.Reader
	}
	return s.render(c, http.StatusOK, "session", Page{
		Title:  dog.Name + ", " + body.Title,
		Crumbs: []Crumb{{Name: dog.Name, Href: "/dogs/" + dog.ID}, {Name: body.Title}},
		Body:   body,
	})
}

// setSession stores a session's facts.
func (s *Server) setSession(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	ctx := c.Request().Context()
	session, err := s.cfg.Library.Session(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	for field, to := range map[string]*string{"venue": &session.Venue, "handler": &session.Handler, "plan": &session.Plan, "notes": &session.Notes} {
		most := maxName
		if field == "plan" || field == "notes" {
			most = maxText
		}
		if *to, err = formText(c, field, most); err != nil {
			return err
		}
	}
	if err := s.cfg.Library.SetSession(ctx, session); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/sessions/"+session.ID+"?saved=1")
}

// clip leads to a clip's place in its session.
func (s *Server) clip(c echo.Context) error {
	clip, err := s.cfg.Library.Clip(c.Request().Context(), c.Param("id"))
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/sessions/"+clip.SessionID+"#clip-"+clip.ID)
}

// deskData is what the script of the desk starts from.
type deskData struct {
	Reading string `json:"reading"`
	Library string `json:"library"`
}

// deskPage is the page on which a clip is coded. What it shows is fetched by its
// script; the page itself says where it belongs.
func (s *Server) deskPage(c echo.Context) error {
	ctx := c.Request().Context()
	r, err := s.cfg.Library.Reading(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	clip, err := s.clipOf(ctx, r.ID)
	if err != nil {
		return err
	}
	return s.render(c, http.StatusOK, "desk", Page{
		Title: clip.Name + ", " + clip.Dog.Name, Class: "desk",
		Crumbs: []Crumb{{Name: clip.Dog.Name, Href: "/dogs/" + clip.Dog.ID}, {Name: clip.Session.Title, Href: "/sessions/" + clip.Session.ID}, {Name: clip.Name}},
		Data:   deskData{Reading: r.ID, Library: s.cfg.Library.ID()},
		Body: struct {
			Clip    clipReply
			Reading *annotate.Reading
		}{clip, r},
	})
}

// sessionTitle names one session of a dog.
func (s *Server) sessionTitle(ctx context.Context, dogID, sessionID string) (string, error) {
	sessions, err := s.cfg.Library.Sessions(ctx, dogID)
	if err != nil {
		return "", err
	}
	return sessionTitles(sessions)[sessionID], nil
}

// sessionTitles names a dog's sessions by id: "session 6, Sat 9 May 2026",
// numbered by date; those without a date have no number.
func sessionTitles(sessions []store.Session) map[string]string {
	dated := slices.DeleteFunc(slices.Clone(sessions), func(s store.Session) bool { return s.StartedAt == nil })
	slices.SortStableFunc(dated, func(a, b store.Session) int { return a.StartedAt.Compare(*b.StartedAt) })
	titles := map[string]string{}
	for _, s := range sessions {
		titles[s.ID] = "session without a date"
	}
	for i, s := range dated {
		titles[s.ID] = fmt.Sprintf("session %d, %s", i+1, day(s.StartedAt))
	}
	return titles
}

// titlesOf names the sessions of what counts.
func titlesOf(counted []library.Counted) map[string]string {
	var sessions []store.Session
	for _, n := range counted {
		sessions = append(sessions, n.Session)
	}
	return sessionTitles(sessions)
}

// distinct returns the texts that are not empty, sorted, each once.
func distinct(list []string) []string {
	list = slices.DeleteFunc(list, func(s string) bool { return s == "" })
	slices.Sort(list)
	return slices.Compact(list)
}
