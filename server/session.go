package server

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/chart"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// sessionBody is what the page of a session shows.
type sessionBody struct {
	Dog      store.Dog
	Session  store.Session
	Title    string
	Clips    []clipRow
	Numbers  numbers
	Legend   []legendEntry
	Reader   string // who codes, to start from
	Venues   []string
	Handlers []string // of other sessions, to choose from
	Lines    []string
	Devices  []string // of the dog, and the one that is set
	Saved    bool     // the facts were just stored
	Readings int      // of all clips
}

// legendEntry is a shape of the strips and what it means.
type legendEntry struct {
	SVG   template.HTML // nothing in it was typed
	Words string
}

// clipRow is a clip with its readings.
type clipRow struct {
	store.Clip
	Number   int // within the session, from 1
	Readings []readingRow
	Making   bool       // a copy that the browser can play is being made, or waits to be
	Strip    *stripView // of the reading that counts, else the newest; nil without readings
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
	body := sessionBody{Dog: dog, Session: session, Saved: c.QueryParam("saved") == "1"}
	if err := s.sessionChoices(ctx, &body); err != nil {
		return err
	}
	if err := s.sessionClips(ctx, &body); err != nil {
		return err
	}
	if set, err := l.Settings(ctx); err != nil {
		return err
	} else if set.Reader != "" {
		body.Reader = set.Reader
	}
	return s.render(c, http.StatusOK, "session", Page{
		Title:  dog.Name + ", " + body.Title,
		Crumbs: []Crumb{{Name: dog.Name, Href: "/dogs/" + dog.ID}, {Name: body.Title}},
		Body:   body,
	})
}

// sessionChoices fills in the session's title and what its fields may be chosen
// from: what was used before.
func (s *Server) sessionChoices(ctx context.Context, body *sessionBody) error {
	sessions, err := s.cfg.Library.Sessions(ctx, body.Dog.ID)
	if err != nil {
		return err
	}
	body.Title = sessionTitles(sessions)[body.Session.ID]
	dogs, err := s.cfg.Library.Dogs(ctx)
	if err != nil {
		return err
	}
	for _, dog := range dogs { // venues and handlers are shared by the dogs of one person
		of, err := s.cfg.Library.Sessions(ctx, dog.ID)
		if err != nil {
			return err
		}
		for _, other := range of {
			body.Venues = append(body.Venues, other.Venue)
			body.Handlers = append(body.Handlers, other.Handler)
			body.Lines = append(body.Lines, other.Line)
		}
	}
	body.Lines = append(body.Lines, "leash", "long line", "dragging", "off")
	body.Venues, body.Handlers, body.Lines = distinct(body.Venues), distinct(body.Handlers), distinct(body.Lines)
	for _, d := range body.Dog.Devices {
		body.Devices = append(body.Devices, d.Name)
	}
	if set := body.Session.Device; set != "" && !slices.Contains(body.Devices, set) {
		body.Devices = append(body.Devices, set)
	}
	return nil
}

// sessionClips fills in the clips with their strips, and the numbers of the
// readings that count.
func (s *Server) sessionClips(ctx context.Context, body *sessionBody) error {
	l := s.cfg.Library
	clips, err := l.Clips(ctx, body.Session.ID)
	if err != nil {
		return err
	}
	var counting []*annotate.Reading
	numbered := map[string]int{} // clips, by reading
	var strips []chart.Strip
	var newest store.ReadingSummary // of all clips
	for i, clip := range clips {
		row := clipRow{Clip: clip, Number: i + 1}
		_, row.Making = l.ProxyJob(clip.Footage.ID)
		readings, err := l.Readings(ctx, clip.ID)
		if err != nil {
			return err
		}
		counts := library.CountingOf(readings)
		var shown store.ReadingSummary
		for _, r := range readings {
			row.Readings = append(row.Readings, readingRow{ReadingSummary: r, Counts: r.ID == counts})
			if r.ID == counts || counts == "" && (shown.ID == "" || r.UpdatedAt.After(shown.UpdatedAt)) {
				shown = r
			}
			if newest.ID == "" || r.UpdatedAt.After(newest.UpdatedAt) {
				newest = r
			}
		}
		body.Readings += len(readings)
		if shown.ID != "" {
			r, err := l.Reading(ctx, shown.ID)
			if err != nil {
				return err
			}
			if counts != "" {
				counting, numbered[r.ID] = append(counting, r), row.Number
			}
			view, strip := stripOf(r, fmt.Sprintf("Clip %d, read by %s", row.Number, shown.Reader), readBy(shown, len(readings)))
			row.Strip = &view
			strips = append(strips, strip)
		}
		body.Clips = append(body.Clips, row)
	}
	body.Reader = newest.Reader
	book, err := s.book(ctx)
	if err != nil {
		return err
	}
	body.Numbers = numbersOf(counting, numbered, book)
	for _, e := range chart.StripLegend(strips...) {
		body.Legend = append(body.Legend, legendEntry{template.HTML(e.SVG), e.Words})
	}
	return nil
}

// readBy says whose reading a strip shows, where there is something to say.
func readBy(r store.ReadingSummary, of int) string {
	switch {
	case r.Agreed && of > 1:
		return "The agreed reading."
	case r.Finished && of > 1:
		return "The reading by " + r.Reader + ", which counts."
	case !r.Finished && of > 1:
		return "The newest reading, by " + r.Reader + ", coded to " + length(r.Window.End) + "; none is finished."
	case !r.Finished:
		return "Coded to " + length(r.Window.End) + ", not finished."
	}
	return ""
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
	was := session.Device
	given := c.Request().PostForm
	for field, to := range map[string]*string{
		"venue": &session.Venue, "handler": &session.Handler, "line": &session.Line, "device": &session.Device,
		"plan": &session.Plan, "notes": &session.Notes,
	} {
		if !given.Has(field) {
			continue
		}
		most := maxName
		if field == "plan" || field == "notes" {
			most = maxText
		}
		if *to, err = formText(c, field, most); err != nil {
			return err
		}
	}
	if d := session.Device; d != "" && d != was {
		dog, err := s.cfg.Library.Dog(ctx, session.DogID)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(dog.Devices, func(known store.Device) bool { return known.Name == d }) {
			return annotate.Problems{{Field: "device", Message: fmt.Sprintf("%s has no device %q.", dog.Name, d), Hint: "Add the device on the dog's page first. Nothing was saved."}}
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
	Reading  string   `json:"reading"`
	Library  string   `json:"library"`
	Cautions []string `json:"cautions"`
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
		Title: clip.Name + ", " + clip.Dog.Name, Class: deskClass,
		Crumbs: []Crumb{{Name: clip.Dog.Name, Href: "/dogs/" + clip.Dog.ID}, {Name: clip.Session.Title, Href: "/sessions/" + clip.Session.ID}, {Name: clip.Name}},
		Data:   deskData{Reading: r.ID, Library: s.cfg.Library.ID(), Cautions: annotate.Cautions()},
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
