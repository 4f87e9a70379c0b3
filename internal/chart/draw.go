package chart

import (
	"math"

	gochart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// stroke draws what path lays down, as a line.
func (p *plot) stroke(class string, ink drawing.Color, width float64, path func()) {
	p.s.SetClassName(class)
	p.s.SetStrokeColor(ink)
	p.s.SetStrokeWidth(width * sub)
	path()
	p.s.Stroke()
}

// line draws a straight line.
func (p *plot) line(class string, ink drawing.Color, width float64, x0, y0, x1, y1 int) {
	p.stroke(class, ink, width, func() {
		p.s.MoveTo(x0, y0)
		p.s.LineTo(x1, y1)
	})
}

// shape draws what path lays down, filled and outlined.
func (p *plot) shape(class string, fill, outline drawing.Color, width float64, path func()) {
	p.s.SetClassName(class)
	p.s.SetFillColor(fill)
	p.s.SetStrokeColor(outline)
	p.s.SetStrokeWidth(width * sub)
	path()
	p.s.FillStroke()
}

// snap returns the middle of the pixel at n, where a hairline is sharp.
func snap(n int) int { return n - mod(n, sub) + sub/2 }

func (p *plot) drawTitle() {
	if p.Title == "" {
		return
	}
	title := elide(p.Title, float64(p.width-2*edge), sizeTitle)
	p.s.textAt(title, edge*sub, (edge+17)*sub, letters{class: "af-title", size: sizeTitle, ink: p.colours.ink})
}

// drawEmpty says that there is nothing to draw, and what to do.
func (p *plot) drawEmpty() {
	middle := p.height / 2
	room := float64(p.width - 2*edge)
	p.s.textAt(elide(nothingYet, room, sizeEmpty), edge*sub, middle*sub,
		letters{class: "af-empty", size: sizeEmpty, ink: p.colours.muted})
	y := middle + 28
	for _, line := range wrap(p.hint(), room, sizeLabel, 3) {
		p.s.textAt(line, edge*sub, y*sub, letters{class: "af-hint", size: sizeLabel, ink: p.colours.soft})
		y += 20
	}
}

// drawLegend writes what the values are, and on the other side what the shapes
// mean that occur.
func (p *plot) drawLegend() {
	y := (p.top - 44 + 16) * sub
	if p.Title == "" {
		y = (edge + 12) * sub
	}
	right := (p.width - edge) * sub
	left := edge * sub
	entry := func(text string, draw func(x, y int)) {
		x := right - int(textWidth(text, sizeText)*sub) - 18*sub
		if x < left+p.width*sub/4 {
			return // no room: the tooltips tell
		}
		draw(snap(x+7*sub), y-4*sub)
		p.s.textAt(text, x+18*sub, y, letters{class: "af-note", size: sizeText, ink: p.colours.muted})
		right = x - 12*sub
	}
	var picked, without, interval bool
	for _, m := range p.marks {
		without = without || !m.hasValue
		picked = picked || m.hasValue && m.Picked
		interval = interval || m.hasLow || m.hasHigh
	}
	if interval {
		text := clean(p.Interval)
		if text == "" {
			text = "95 % interval"
		}
		entry(text, func(x, y int) { p.whisker(x, y+7*sub, y-7*sub, true, true) })
	}
	if picked {
		entry("window picked by hand", p.diamond)
	}
	if without {
		entry("no value", p.cross)
	}
	if label := elide(p.YLabel, float64(right-left)/sub, sizeLabel); label != "" {
		p.s.textAt(label, left, y, letters{class: "af-ylabel", size: sizeLabel, ink: p.colours.muted})
	}
}

// drawValueAxis draws a line across for each tick and names it on the left.
func (p *plot) drawValueAxis() {
	var above *int // baseline of the label before
	for _, t := range p.ticks {
		y := p.y(t.Value)
		if y != p.box.Bottom {
			p.line("af-grid", p.colours.line, 1, p.box.Left, snap(y), p.box.Right, snap(y))
		}
		baseline := y + 4*sub
		if above != nil && *above-baseline < sizeText*sub || t.Label == "" {
			continue // would run into the one below
		}
		above = &baseline
		p.s.textAt(t.Label, p.box.Left-10*sub, baseline, letters{class: "af-text", size: sizeText, ink: p.colours.soft, anchor: atEnd})
	}
}

// drawLine joins the values; it ends where a value is missing.
func (p *plot) drawLine() {
	pairs := p.segments()
	if len(pairs) == 0 {
		return
	}
	p.stroke("af-line", p.colours.accent, 1.5, func() {
		for i, pair := range pairs {
			if i == 0 || pairs[i-1][1] != pair[0] {
				p.s.MoveTo(p.at[pair[0]].x, p.at[pair[0]].y)
			}
			p.s.LineTo(p.at[pair[1]].x, p.at[pair[1]].y)
		}
	})
}

func (p *plot) drawWhiskers() {
	for i, m := range p.marks {
		if m.hasLow || m.hasHigh {
			p.whisker(p.at[i].x, p.at[i].low, p.at[i].high,
				m.hasLow && m.low >= p.low, m.hasHigh && m.high <= p.high)
		}
	}
}

// whisker draws an interval from y = low up to y = high; an end without a cap
// goes on outside the field, or has no limit.
func (p *plot) whisker(x, low, high int, lowCap, highCap bool) {
	half := int(math.Round((p.r - 1) * sub))
	p.stroke("af-whisker", p.colours.muted, 1, func() {
		p.s.MoveTo(x, low)
		p.s.LineTo(x, high)
		if lowCap {
			p.s.MoveTo(x-half, low)
			p.s.LineTo(x+half, low)
		}
		if highCap {
			p.s.MoveTo(x-half, high)
			p.s.LineTo(x+half, high)
		}
	})
}

// drawMarks draws the points, each a group with its tooltip, linked if it leads
// somewhere.
func (p *plot) drawMarks() {
	for i, m := range p.marks {
		g := group{class: "af-mark", href: m.Href, title: p.tooltip(m)}
		if m.Href != "" {
			g.class += " af-link"
		}
		p.s.openGroup(g)
		at := p.at[i]
		p.s.hit(at.x, at.y, p.reach(i))
		switch {
		case !m.hasValue:
			p.cross(at.x, at.y)
		case m.Picked:
			p.diamond(at.x, at.y)
		default:
			p.shape("af-point", p.colours.accent, p.colours.ground, 1.5, func() {
				p.s.Circle(p.r*sub, at.x, at.y)
			})
		}
		if m.hasValue && m.value > p.high {
			p.arrow(at.x, at.y, -1)
		}
		if m.hasValue && m.value < p.low {
			p.arrow(at.x, at.y, 1)
		}
		p.s.closeGroup()
	}
}

// reach returns how far from its middle mark i takes the pointer: 12 pixels, but
// not past the half of the way to a mark beside it.
func (p *plot) reach(i int) int {
	reach := 12.0 * sub
	for _, j := range []int{i - 1, i + 1} {
		if j >= 0 && j < len(p.at) {
			a, b := p.at[i], p.at[j]
			reach = min(reach, math.Hypot(float64(a.x-b.x), float64(a.y-b.y))/2)
		}
	}
	return int(max(reach, 2*sub))
}

// diamond is the mark of a window picked by hand.
func (p *plot) diamond(x, y int) {
	half := int(math.Round((p.r + 1) * sub))
	p.shape("af-picked", p.colours.ground, p.colours.accent, 1.8, func() {
		p.s.MoveTo(x-half, y)
		p.s.LineTo(x, y-half)
		p.s.LineTo(x+half, y)
		p.s.LineTo(x, y+half)
		p.s.Close()
	})
}

// cross is the mark of a point without a value.
func (p *plot) cross(x, y int) {
	half := int(math.Round((p.r - 1) * sub))
	p.stroke("af-none", p.colours.muted, 1.5, func() {
		p.s.MoveTo(x-half, y-half)
		p.s.LineTo(x+half, y+half)
		p.s.MoveTo(x-half, y+half)
		p.s.LineTo(x+half, y-half)
	})
}

// arrow says that the value lies beyond the edge: up for -1, down for 1.
func (p *plot) arrow(x, y, down int) {
	half := int(math.Round((p.r - 1) * sub))
	y += down * (int(p.r) + 3) * sub
	p.stroke("af-beyond", p.colours.accent, 1.8, func() {
		p.s.MoveTo(x-half, y)
		p.s.LineTo(x, y+down*half)
		p.s.LineTo(x+half, y)
	})
}

var _ gochart.Series = (*plot)(nil)
