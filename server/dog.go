package server

import (
	"context"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// addData is what the script of the page for adding starts from.
type addData struct {
	Places []choiceRoot `json:"places"`
}

// addPage is where clips are chosen for a dog; ?dog= fills in the name.
func (s *Server) addPage(c echo.Context) error {
	dogs, err := s.cfg.Library.Dogs(c.Request().Context())
	if err != nil {
		return err
	}
	set, err := s.cfg.Library.Settings(c.Request().Context())
	if err != nil {
		return err
	}
	body := struct {
		Dogs   []store.DogSummary
		Dog    string
		GapMin string
	}{dogs, c.QueryParam("dog"), formOf(set).GapMin}
	data := addData{Places: []choiceRoot{}}
	for _, p := range s.chooser.places() {
		data.Places = append(data.Places, choiceRoot(p))
	}
	return s.render(c, http.StatusOK, "add", Page{Title: "Add clips", Crumbs: []Crumb{{Name: "Add clips"}}, Data: data, Body: body})
}

// dogBody is what the page of a dog shows.
type dogBody struct {
	Dog      store.Dog
	Clips    int
	Sessions []sessionRow // newest first, undated ones last
	Figures  []figure
	Drawn    int    // figures with a value
	Book     string // whose rules the charts are measured by
	Left     leftOut
	Waits    library.Waiting
	Facts    factsForm
	Saved    bool // the facts were just stored
	Others   []store.DogSummary
	Cautions []string
}

// sessionRow is a session in the list of a dog's sessions.
type sessionRow struct {
	store.Session
	Title    string
	Clips    int
	Counting int // clips with a reading that counts
}

// leftOut says what the charts don't hold, and why.
type leftOut struct {
	Undated  []sessionRow  // sessions without a date, with readings that would count
	Unread   []leftOutClip // clips that nobody has read
	Unclosed []leftOutClip // clips whose readings aren't finished
}

// Any reports whether something is left out.
func (l leftOut) Any() bool { return len(l.Undated)+len(l.Unread)+len(l.Unclosed) > 0 }

type leftOutClip struct {
	Name, Session, Title string // Session is its id
	ID                   string
	Readings             []store.ReadingSummary
}

// dogPage shows one dog: its charts over time, its sessions and its facts.
func (s *Server) dogPage(c echo.Context) error {
	dog, err := s.cfg.Library.Dog(c.Request().Context(), c.Param("id"))
	if err != nil {
		return err
	}
	book, err := s.book(c.Request().Context())
	if err != nil {
		return err
	}
	return s.showDog(c, http.StatusOK, dog, factsOf(dog, book))
}

// showDog shows a dog's page with its facts as they stand in a form.
func (s *Server) showDog(c echo.Context, status int, dog store.Dog, facts factsForm) error {
	ctx := c.Request().Context()
	l := s.cfg.Library
	counted, err := l.Counting(ctx, dog.ID)
	if err != nil {
		return err
	}
	waits, err := l.Waiting(ctx)
	if err != nil {
		return err
	}
	body := dogBody{Dog: dog, Facts: facts, Waits: waits[dog.ID], Saved: c.QueryParam("saved") == "1", Cautions: annotate.Cautions()}
	if body.Left, err = s.leftOut(ctx, counted); err != nil {
		return err
	}
	if body.Others, err = s.otherDogs(ctx, dog.ID); err != nil {
		return err
	}
	titles := titlesOf(counted)
	for _, n := range counted {
		body.Sessions = append(body.Sessions, rowOf(n, titles))
		body.Clips += len(n.Clips)
	}
	newestFirst(body.Sessions)
	book, err := s.book(ctx)
	if err != nil {
		return err
	}
	if book != nil {
		body.Book = book.Name
	}
	body.Figures = figures(dog, sessionsOf(counted, book), book)
	for _, f := range body.Figures {
		if f.Values > 0 {
			body.Drawn++
		}
	}
	return s.render(c, status, "dog", Page{Title: dog.Name, Crumbs: []Crumb{{Name: dog.Name}}, Body: body})
}

// otherDogs returns all dogs but one.
func (s *Server) otherDogs(ctx context.Context, id string) ([]store.DogSummary, error) {
	dogs, err := s.cfg.Library.Dogs(ctx)
	return slices.DeleteFunc(dogs, func(d store.DogSummary) bool { return d.ID == id }), err
}

// leftOut finds what the charts of a dog can't show.
func (s *Server) leftOut(ctx context.Context, counted []library.Counted) (leftOut, error) {
	var out leftOut
	titles := titlesOf(counted)
	for _, n := range counted {
		row := rowOf(n, titles)
		if n.Session.StartedAt == nil && row.Counting > 0 {
			out.Undated = append(out.Undated, row)
		}
		for i, clip := range n.Clips {
			if n.Readings[i] != nil {
				continue
			}
			readings, err := s.cfg.Library.Readings(ctx, clip.ID)
			if err != nil {
				return leftOut{}, err
			}
			l := leftOutClip{Name: clipName(clip.Footage), ID: clip.ID, Session: n.Session.ID, Title: row.Title, Readings: readings}
			if len(readings) == 0 {
				out.Unread = append(out.Unread, l)
			} else {
				out.Unclosed = append(out.Unclosed, l)
			}
		}
	}
	return out, nil
}

// rowOf is a session with its clips counted.
func rowOf(n library.Counted, titles map[string]string) sessionRow {
	row := sessionRow{Session: n.Session, Title: titles[n.Session.ID], Clips: len(n.Clips)}
	for _, r := range n.Readings {
		if r != nil {
			row.Counting++
		}
	}
	return row
}

// newestFirst orders sessions for a list; those without a date come last.
func newestFirst(rows []sessionRow) {
	slices.SortStableFunc(rows, func(a, b sessionRow) int {
		switch {
		case a.StartedAt == nil && b.StartedAt == nil:
			return 0
		case a.StartedAt == nil:
			return 1
		case b.StartedAt == nil:
			return -1
		}
		return b.StartedAt.Compare(*a.StartedAt)
	})
}
