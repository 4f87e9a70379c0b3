package chart

import (
	"math"
	"time"

	gochart "github.com/wcharczuk/go-chart/v2"
)

// plot is a figure measured out: what goes where, in pixels, and the ranges. To
// the library it is its one series.
type plot struct {
	Figure
	colours       palette
	marks         []mark
	days          []day // the marks' days, in order
	width, height int
	empty         bool // nothing has a value

	top, left, right, bottom int // margins around the field of the values

	from, to  float64 // of the date axis, civil seconds
	low, high float64 // of the y axis
	ticks     []Tick  // of the y axis
	rows      int     // lines under the dates

	// Set once the library says where the field is; in units of 1/sub pixel.
	s    surface
	box  gochart.Box
	x, y func(float64) int
	at   []spot // of each mark
	r    float64
}

// day is the marks of one civil day.
type day struct {
	date        time.Time
	first, past int      // marks[first:past]
	lines       []string // what stands under the date
	x           int      // middle of its marks
}

// Letter sizes in pixels, and distances.
const (
	sizeTitle = 21
	sizeText  = 13
	sizeLabel = 14
	sizeEmpty = 24

	edge    = 16 // between the figure's edge and what is in it
	inset   = 30 // between the field's sides and the first and last date
	rowStep = 17 // between lines under the dates
	maxRows = 3

	maxLabel = 140 // widest value beside a mark
)

// newPlot measures f out.
func newPlot(f Figure, colours palette) *plot {
	p := &plot{Figure: f, colours: colours, from: 0, to: 1, low: 0, high: 1, r: 5}
	p.width, p.height = f.size()
	p.Title, p.YLabel = clean(f.Title), clean(f.YLabel)
	p.marks, _ = f.marks()
	p.empty = !drawable(p.marks)
	p.top, p.left, p.right, p.bottom = edge, edge, edge, edge
	if p.Title != "" {
		p.top += 26
	}
	if p.empty {
		return p
	}
	p.splitDays()

	p.top += 44 // what the values are, and room for the label of the highest
	p.low, p.high = f.valueRange(p.marks)
	p.ticks = f.valueTicks(p.low, p.high)
	widest := 0.0
	for i := range p.ticks {
		t := &p.ticks[i]
		t.Label = elide(t.Label, float64(p.width)*0.3, sizeText)
		widest = max(widest, textWidth(t.Label, sizeText))
	}
	p.left += int(math.Ceil(widest)) + 10
	p.right += 8
	p.bottom += 18 + p.rows*rowStep
	if p.rows > 0 {
		p.bottom += 2
	}
	// Many marks are smaller, so that they stand beside each other.
	field := float64(p.width - p.left - p.right)
	p.r = min(max(0.45*field/float64(len(p.marks)), 2), p.r)
	p.dateRange()
	return p
}

// splitDays groups the marks by day and collects what stands under each.
func (p *plot) splitDays() {
	rows := maxRows
	if p.height < 280 {
		rows = 1
	}
	for i, m := range p.marks {
		if i == 0 || !m.day.Equal(p.marks[i-1].day) {
			p.days = append(p.days, day{date: m.day, first: i})
		}
		d := &p.days[len(p.days)-1]
		d.past = i + 1
	}
	for i := range p.days {
		d := &p.days[i]
		d.lines = belowLines(p.marks[d.first:d.past])
		if len(d.lines) > rows {
			d.lines = d.lines[:rows]
		}
		p.rows = max(p.rows, len(d.lines))
	}
}

// belowLines returns what stands under one day: the lines of its mark, or of
// several each one's own line, doubles left out.
func belowLines(marks []mark) []string {
	if len(marks) == 1 {
		return cleanLines(marks[0].Below)
	}
	var lines []string
	seen := map[string]bool{}
	for _, m := range marks {
		line := clean(m.Below)
		if line != "" && !seen[line] {
			seen[line] = true
			lines = append(lines, line)
		}
	}
	return lines
}

// dateRange sets the ends of the date axis so that the first and the last mark
// stand inset from the sides; a single day stands in the middle of a week.
func (p *plot) dateRange() {
	const day = 24 * 60 * 60
	first, last := p.marks[0].civil, p.marks[len(p.marks)-1].civil
	if len(p.days) == 1 {
		p.from, p.to = first-3.5*day, last+3.5*day
		return
	}
	field := float64(p.width - p.left - p.right)
	right := float64(inset) // and room for the value of the last mark beside it
	if m := p.marks[len(p.marks)-1]; m.hasValue {
		label := elide(p.valueText(m), maxLabel, sizeLabel)
		right = min(max(right, textWidth(label, sizeLabel)+p.r), field/4)
	}
	second := (last - first) / max(field-inset-right, 1) // to a pixel
	p.from, p.to = first-inset*second, last+right*second
}

// The library's Series.

func (p *plot) GetName() string             { return p.Title }
func (p *plot) GetYAxis() gochart.YAxisType { return gochart.YAxisPrimary }
func (p *plot) GetStyle() gochart.Style     { return gochart.Style{} }
func (p *plot) Validate() error             { return nil }

// Render draws the whole figure into the frame that the library has laid out.
func (p *plot) Render(r gochart.Renderer, box gochart.Box, xrange, yrange gochart.Range, _ gochart.Style) {
	p.s, p.box = r.(surface), box
	p.x = func(civil float64) int {
		return box.Left + xrange.Translate(min(max(civil, p.from), p.to))
	}
	p.y = func(value float64) int {
		return box.Bottom - yrange.Translate(min(max(value, p.low), p.high))
	}
	links := hasLinks(p.marks)
	if links { // what leads somewhere must not hide inside an image
		p.s.openGroup(group{image: true, title: p.name()})
	}
	p.drawTitle()
	if p.empty {
		p.drawEmpty()
	} else {
		p.place()
		p.drawLegend()
		p.drawValueAxis()
		p.drawDateAxis()
		p.drawBelow()
		p.drawLine()
		p.drawWhiskers()
		p.drawLabels()
	}
	if links {
		p.s.closeGroup()
	}
	if !p.empty {
		p.drawMarks()
	}
}
