package server

import (
	"html/template"
	"strconv"
	"strings"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/chart"
)

// stripView is the strip of one reading, as the page shows it.
type stripView struct {
	Wide, Narrow template.HTML // all text in them is escaped by the chart
	Summary      string
	Events       []chart.StripEvent
	Wrong        string // why it isn't drawn
	Says         string // whose reading it is
	Desk         string // its desk
	Long         string // how long the clip is, where one row shows it from afar; else ""
}

// farRow is the length from which a clip in one row shows no more than its course.
const farRow = 5 * 60 * annotate.Second

// The widths that strips are drawn in: the page on a screen, and on a tablet and
// paper, where the letters of a shrunk wide one would be too small.
const (
	wideStrip   = 1232
	narrowStrip = 760
)

// stripOf draws a reading.
func stripOf(r *annotate.Reading, title, says string) (stripView, chart.Strip) {
	s := chart.Strip{Reading: r, Title: title, Href: "/desk/" + r.ID, ID: r.ID}
	if m, err := measure.Of([]*annotate.Reading{r}, measure.KnownValid()); err == nil {
		s.Measures = m
	}
	view := stripView{Says: says, Desk: s.Href}
	if r.Clip.Duration > farRow {
		view.Long = length(r.Clip.Duration)
	}
	view.Summary, view.Events = s.Words()
	for _, w := range []struct {
		name  string
		width float64
		to    *template.HTML
	}{{"wide", wideStrip, &view.Wide}, {"narrow", narrowStrip, &view.Narrow}} {
		s.Width, s.ID = w.width, r.ID+"-"+w.name
		var b strings.Builder
		if err := chart.StripSVG(&b, s); err != nil {
			view.Wrong = "This reading could not be drawn; its events stand below."
			continue
		}
		*w.to = template.HTML(b.String())
	}
	return view, s
}

// deskAt is the address of the desk at a time of the clip.
func deskAt(readingID string, t annotate.Micros) string {
	return "/desk/" + readingID + "#t=" + strconv.FormatFloat(t.Seconds(), 'f', -1, 64)
}
