package server

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"reflect"
	"slices"
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
	Hint     string // what to do for it to have a value
	Table    []chart.Row
	Gaps     []string // sessions without a value for a flaw of their readings
	Values   int      // sessions with a value
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
		ladder: true, cautions: annotate.Cautions()},
}

// figures draws all charts of a dog. One without any value isn't drawn: its Alt
// says what to do.
func figures(dog store.Dog, sessions []measure.Session, book *annotate.Codebook) []figure {
	var names []string
	for _, s := range series {
		names = append(names, s.name)
	}
	of := newCourses(sessions, names...)
	var list []figure
	for _, s := range series {
		f := figure{Name: s.name, Heading: s.heading, Says: s.says, Hint: s.hint}
		c, gaps := of.drawn(s.name, dog, book)
		c.Title, c.Name = "", c.Title // the page has a heading
		f.Alt, f.Gaps = c.Alt(), gaps
		for _, p := range c.Points {
			if p.Value != nil {
				f.Values++
			}
		}
		if f.Values > 0 {
			f.Table, f.Cautions = c.Table(), s.cautions
			var b bytes.Buffer
			if err := c.SVG(&b); err != nil {
				f.Wrong = "This chart could not be drawn; its numbers stand below."
			}
			f.SVG = template.HTML(b.String())
		}
		list = append(list, f)
	}
	return list
}

// courses is what charts of a dog are drawn from, worked out once for all of them.
type courses struct {
	series map[string]measure.SeriesResult
	leads  map[string]map[string]string // series to session to where its point leads
}

// newCourses measures sessions, and each reading of a session of several by itself.
func newCourses(sessions []measure.Session, names ...string) courses {
	of := courses{map[string]measure.SeriesResult{}, map[string]map[string]string{}}
	for i, r := range measure.AllSeries(sessions, names...) {
		of.series[names[i]] = r
	}
	var alone []measure.Session // of each reading one, under the reading's id
	for _, s := range sessions {
		readings := slices.DeleteFunc(slices.Clone(s.Readings), func(r *annotate.Reading) bool { return r == nil })
		for _, r := range readings {
			if len(readings) > 1 { // with one there is nothing to choose
				alone = append(alone, measure.Session{ID: r.ID, StartedAt: s.StartedAt, Readings: []*annotate.Reading{r}})
			}
		}
	}
	for i, r := range measure.AllSeries(alone, names...) {
		value := map[string]float64{}
		for _, p := range r.Points {
			if p.Value != nil {
				value[p.Session] = *p.Value
			}
		}
		of.leads[names[i]] = leads(sessions, value)
	}
	return of
}

// leads returns where each session's point leads: to the desk of the clip with the
// highest value, the first of equals; to the session where none was read. Values
// go by reading; one without counts as 0.
func leads(sessions []measure.Session, value map[string]float64) map[string]string {
	out := map[string]string{}
	for _, s := range sessions {
		best := -1.0
		out[s.ID] = "/sessions/" + s.ID
		for _, r := range s.Readings {
			if r != nil && value[r.ID] > best {
				best, out[s.ID] = value[r.ID], "/desk/"+r.ID
			}
		}
	}
	return out
}

// drawn describes one chart of a dog, and says which sessions have no value
// because something is wrong with their readings. A name that is none of series
// gives an empty chart.
func (of courses) drawn(name string, dog store.Dog, book *annotate.Codebook) (chart.Figure, []string) {
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
	for _, p := range of.series[name].Points {
		if p.Problem != "" {
			gaps = append(gaps, fmt.Sprintf("%s: %s", day(&p.At), p.Problem))
		}
		point := chart.Point{
			At: p.At, Value: p.Value, Low: p.Low, High: p.High, Label: p.Text, Href: of.leads[name][p.Session],
			Below: strings.Join(p.Setting.Words(), "\n"), Picked: p.Picked, BreakBefore: p.DeviceChanged,
		}
		if p.DeviceChanged {
			point.Below = strings.TrimPrefix(point.Below+"\nother device", "\n")
		}
		fig.Points = append(fig.Points, point)
	}
	return fig, gaps
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
	fig, _ := newCourses(sessionsOf(counted, book), name).drawn(name, dog, book)
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
