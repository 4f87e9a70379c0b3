package server

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"reflect"
	"strings"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/chart"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// figure is one chart of a dog's page, with the same in words and as a table.
type figure struct {
	Name     string // as in its address
	Heading  string
	Says     string        // what is drawn
	Wrong    string        // why there is none, for the person
	SVG      template.HTML // all text in it is escaped by the chart
	Alt      string
	Table    []chart.Row
	Gaps     []string // sessions without a value for a flaw of their readings
	Cautions []string
}

// series are the charts of a dog's page, in order.
var series = []struct {
	name, heading, says, label, hint string
	format                           func(float64) string
	ladder                           bool // values are rungs
	cautions                         []string
}{
	{name: measure.PositionError, heading: "Out of position", label: "share of heel work",
		says:   "How much of the heel work was out of position; each point is a session.",
		hint:   "Code some heel work and finish the reading: its share then stands here.",
		format: chart.Percent},
	{name: measure.BreaksPerMinute, heading: "Breaks per minute of stay", label: "breaks per minute",
		says: "How often stays were broken for each minute of stay; the bars are 95 % intervals.",
		hint: "Code a stay and finish the reading: its breaks per minute then stand here."},
	{name: measure.EscalationRank, heading: "Highest pressure", label: "rung of the ladder",
		says:   "The highest rung that was used in each session, the highest level there beside it. The line stops where the device changes.",
		hint:   "Code pressure and finish the reading: its highest rung then stands here.",
		ladder: true, cautions: levelCautions},
}

// levelCautions stand wherever levels are shown.
var levelCautions = []string{
	"Law where you are first, then the device's manual. If either says no, it is no.",
	"Levels record one dog, one collar, one day. They are not settings to copy.",
	"Collar time is limited; look at the skin under it each time.",
	"Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
}

// figures draws all charts of a dog.
func figures(dog store.Dog, counted []library.Counted, book *annotate.Codebook) []figure {
	sessions := sessionsOf(counted, book)
	var list []figure
	for _, s := range series {
		f := figure{Name: s.name, Heading: s.heading, Says: s.says, Cautions: s.cautions}
		c, gaps := drawn(s.name, dog, sessions, book)
		c.Title, c.Name = "", c.Title // the page has a heading
		f.Alt, f.Table, f.Gaps = c.Alt(), c.Table(), gaps
		var b bytes.Buffer
		if err := c.SVG(&b); err != nil {
			f.Wrong = "This chart could not be drawn; its numbers stand below."
		}
		f.SVG = template.HTML(b.String())
		list = append(list, f)
	}
	return list
}

// drawn describes one chart of a dog, and says which sessions have no value
// because something is wrong with their readings. A name that is none of series
// gives an empty chart.
func drawn(name string, dog store.Dog, sessions []measure.Session, book *annotate.Codebook) (chart.Figure, []string) {
	var fig chart.Figure
	for _, s := range series {
		if s.name != name {
			continue
		}
		fig = chart.Figure{Title: dog.Name + ": " + strings.ToLower(s.heading), Desc: s.says, YLabel: s.label, Hint: s.hint, Format: s.format}
		if s.ladder {
			fig.Ticks = rungs(book)
		}
	}
	var gaps []string
	result := measure.Series(name, sessions)
	for _, p := range result.Points {
		if p.Problem != "" {
			gaps = append(gaps, fmt.Sprintf("%s: %s", day(&p.At), p.Problem))
		}
		point := chart.Point{
			At: p.At, Value: p.Value, Low: p.Low, High: p.High, Label: p.Text, Href: leadsTo(name, p.Session, sessions),
			Below: strings.Join(p.Setting.Words(), "\n"), Picked: p.Picked, BreakBefore: p.DeviceChanged,
		}
		if p.DeviceChanged {
			point.Below = strings.TrimPrefix(point.Below+"\nother device", "\n")
		}
		fig.Points = append(fig.Points, point)
	}
	return fig, gaps
}

// leadsTo returns where a session's point leads: to the desk of the clip with the
// highest value of the same measure, the first of equals.
func leadsTo(name, session string, sessions []measure.Session) string {
	best, href := -1.0, "/sessions/"+session
	for _, s := range sessions {
		if s.ID != session {
			continue
		}
		for _, r := range s.Readings {
			if r == nil {
				continue
			}
			alone := s
			alone.Readings = []*annotate.Reading{r}
			value := 0.0
			if points := measure.Series(name, []measure.Session{alone}).Points; len(points) == 1 && points[0].Value != nil {
				value = *points[0].Value
			}
			if value > best {
				best, href = value, "/desk/"+r.ID
			}
		}
	}
	return href
}

// sessionsOf returns what counts of a dog, as series take it. All readings are
// measured under the rules of one book, so that a rule which was changed since
// doesn't look like a change of the dog.
func sessionsOf(counted []library.Counted, book *annotate.Codebook) []measure.Session {
	var sessions []measure.Session
	for _, n := range counted {
		s := measure.Session{ID: n.Session.ID, StartedAt: n.Session.StartedAt, Venue: n.Session.Venue, Handler: n.Session.Handler}
		coded := false
		for _, r := range n.Readings {
			if r != nil {
				r, coded = underRules(r, book), true
			}
			s.Readings = append(s.Readings, r)
		}
		if coded {
			sessions = append(sessions, s)
		}
	}
	return sessions
}

// underRules returns the reading with the ladder and house rules of another book.
// A reading that doesn't go with them keeps its own.
func underRules(r *annotate.Reading, book *annotate.Codebook) *annotate.Reading {
	own := r.Book
	if book == nil || own == book || own.HelpRank == book.HelpRank && reflect.DeepEqual(own.Ladder, book.Ladder) && reflect.DeepEqual(own.House, book.House) {
		return r
	}
	mixed, copied := *own, *r
	mixed.HelpRank, mixed.Ladder, mixed.House = book.HelpRank, book.Ladder, book.House
	copied.Book = &mixed
	if len(copied.Validate()) > 0 {
		return r
	}
	return &copied
}

// rungs names the rungs of a book's ladder on the axis.
func rungs(book *annotate.Codebook) []chart.Tick {
	if book == nil {
		return nil
	}
	var ticks []chart.Tick
	for _, rung := range book.Ladder {
		name := annotate.Scale(rung.Channel, rung.Device)
		at := -1
		for i, t := range ticks {
			if t.Value == float64(rung.Rank) {
				at = i
			}
		}
		if at < 0 {
			ticks = append(ticks, chart.Tick{Value: float64(rung.Rank), Label: name})
		} else {
			ticks[at].Label += ", " + name
		}
	}
	return ticks
}

// book returns the book whose rules pages measure by, nil if there is none yet.
func (s *Server) book(ctx context.Context) (*annotate.Codebook, error) {
	b, err := s.cfg.Library.Book(ctx)
	if isNotFound(err) {
		return nil, nil
	}
	return b, err
}

// chart answers with one chart of a dog: NAME.svg, or NAME.png to keep, with
// ?dark=1 on dark paper.
func (s *Server) chart(c echo.Context) error {
	ctx := c.Request().Context()
	name, format, _ := strings.Cut(c.Param("file"), ".")
	known := false
	for _, n := range series {
		known = known || n.name == name
	}
	if !known || format != "svg" && format != "png" {
		return fmt.Errorf("server: chart %q: %w", c.Param("file"), annotate.ErrNotFound)
	}
	dog, err := s.cfg.Library.Dog(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	counted, err := s.cfg.Library.Counting(ctx, dog.ID)
	if err != nil {
		return err
	}
	book, err := s.book(ctx)
	if err != nil {
		return err
	}
	fig, _ := drawn(name, dog, sessionsOf(counted, book), book)
	var b bytes.Buffer
	kind := "image/svg+xml"
	if format == "png" {
		kind = "image/png"
		err = fig.PNG(&b, c.QueryParam("dark") == "1")
	} else {
		err = fig.SVG(&b)
	}
	if err != nil {
		return fmt.Errorf("server: chart %s of dog %s: %w", name, dog.ID, err)
	}
	return saved(c, kind, plainName(dog.Name, 60)+"."+name+"."+format, format == "png", b.Bytes())
}
