package chart

import (
	"math"
	"strconv"

	"afterwalk/annotate"
)

// hatchPeriod is how far the lines of hatching are apart, pixels along a row.
const hatchPeriod = 7

// hatching lays distractions behind everything. The lines hang on the plot, so that
// those of neighbours go on in each other.
func (p *stripPen) hatching() {
	var lines route
	for _, c := range p.scene.union(trackDistractions).Cut(p.view()) {
		x0 := p.scale.x(c.Start)
		p.hatch(&lines, x0, max(p.scale.x(c.End), x0+1))
	}
	p.draw(nib{stroke: inkHatch, width: 1}, &lines)
}

// hatch adds the lines of one distraction, from the upper right to the lower left,
// each cut where it leaves the box, and the box's own sides.
func (p *stripPen) hatch(g *route, x0, x1 float64) {
	top, bottom := p.rows.top, p.rows.bottom
	first := p.scale.left + math.Ceil((x0-p.scale.left)/hatchPeriod)*hatchPeriod
	for x := first; x < x1+bottom-top; x += hatchPeriod { // where it meets the top
		from, to := min(x, x1), max(x-(bottom-top), x0)
		if from > to {
			g.to(from, top+x-from)
			g.line(to, top+x-to)
		}
	}
	g.across(sharp(x0), top, bottom)
	g.across(sharp(x1), top, bottom)
}

// labelDistractions names what is hatched.
func (p *stripPen) labelDistractions() {
	for _, m := range p.marks(trackDistractions) {
		what := m.kind
		if m.note != "" {
			what = m.note
		} else if what == "" {
			what = m.name
		}
		far := ""
		if m.distance != nil {
			far = ", " + plainNumber(*m.distance) + " m"
		}
		x := m.x + 4
		p.offer(30, faceItalic, inkMuted,
			wording{text: elide(what+far, 260, faceItalic.size), x: x, y: p.rows.behindLabel},
			wording{text: elide(what, max(m.x1-x, 90), faceItalic.size), x: x, y: p.rows.behindLabel})
	}
}

// guides are the leg's line, the rungs, the line between help and correction, and
// the ground of pressure.
func (p *stripPen) guides(helpRank int) {
	r, s := &p.rows, p.scale
	line := func(y float64, n nib) {
		var g route
		g.along(s.left, s.right, sharp(y))
		n.width = 1
		p.draw(n, &g)
	}
	line(r.leg, nib{stroke: inkGuide})
	for _, y := range r.rungs[1:] {
		line(y, nib{stroke: inkGuide, dash: "1 5"})
	}
	if helpRank > 0 && helpRank < len(r.rungs)-1 {
		line((r.rungs[helpRank]+r.rungs[helpRank+1])/2, nib{stroke: inkFaint, dash: "6 4"})
	}
	line(r.ground, nib{stroke: inkStrong})
}

// hidden leaves blank paper where the dog can't be seen, and says so.
func (p *stripPen) hidden() {
	var blank, edges route
	for _, c := range p.scene.hidden.Cut(annotate.Span{Start: p.scale.from, End: p.scale.to}) {
		x0, x1 := p.scale.x(c.Start), p.scale.x(c.End)
		blank.box(x0, p.rows.top, max(x1, x0+1), p.rows.bottom)
		edges.across(sharp(x0), p.rows.top, p.rows.bottom)
		edges.across(sharp(x1), p.rows.top, p.rows.bottom)
		var texts []string
		for _, text := range []string{"dog not in sight", "not in sight", "hidden"} {
			if faceItalic.width(text) < x1-x0-8 {
				texts = append(texts, text)
			}
		}
		p.offerCentred(35, faceItalic, inkMuted, texts, x0, x1, p.rows.leg+4)
	}
	p.draw(nib{fill: inkPaper}, &blank)
	p.draw(nib{stroke: inkFaint, width: 1, dash: "2 3"}, &edges)
}

// outside lays paper over what lies outside the coded window, and brackets at its
// ends. What stands on an end belongs to the window: its shapes stay clear.
func (p *stripPen) outside(window annotate.Span) {
	s, bottom := p.scale, p.rows.height-2
	var veil, brackets route
	cover := func(x0, x1 float64) {
		if x1 > x0 {
			veil.box(x0, p.rows.top-2, x1, bottom)
		}
	}
	bracket := func(x, side float64) {
		brackets.to(sharp(x)+side*6, sharp(p.rows.top-1))
		brackets.line(sharp(x), sharp(p.rows.top-1))
		brackets.line(sharp(x), sharp(bottom))
		brackets.line(sharp(x)+side*6, sharp(bottom))
	}
	if window.Start > s.from {
		cover(s.left-7, s.x(window.Start)-p.shapesAt(window.Start))
		if window.Start < s.to {
			bracket(s.x(window.Start), 1)
		}
	}
	if window.End < s.to {
		cover(s.x(window.End)+p.shapesAt(window.End), min(s.right+8, p.rows.width))
		if window.End > s.from {
			bracket(s.x(window.End), -1)
		}
	}
	if veil.Len() > 0 {
		p.body.WriteString(`<path class="af-veil" fill="` + onPaper[inkPaper] + `" fill-opacity="0.62" d="` + veil.String() + "\"/>\n")
	}
	p.draw(nib{stroke: inkMuted, width: 1}, &brackets)
}

// shapesAt returns how far the shapes of what starts or ends at a time, as far as
// pixels tell, go from it: 0 where nothing does.
func (p *stripPen) shapesAt(t annotate.Micros) float64 {
	const reach = 8
	x := p.scale.x(t)
	for _, i := range p.scene.items {
		if math.Abs(p.scale.x(i.start)-x) < 1 || !i.open && math.Abs(p.scale.x(i.end)-x) < 1 {
			return reach
		}
	}
	return 0
}

// keepWindowClear keeps words off the brackets.
func (p *stripPen) keepWindowClear(window annotate.Span) {
	for _, t := range []annotate.Micros{window.Start, window.End} {
		if t > p.scale.from && t < p.scale.to {
			x := p.scale.x(t)
			p.grid.mark(x-2, 0, x+2, p.rows.height)
		}
	}
}

// names stand left of the rows.
func (p *stripPen) names(helpRank int) {
	r := &p.rows
	if !r.named {
		return
	}
	x := r.left - 10
	write := func(f face, y float64, text, short string) {
		if short != "" && f.width(text) > x-2 {
			text = short
		}
		if text = elide(text, x-2, f.size); text != "" {
			p.write(f, inkMuted, text, x, y+4, true)
		}
	}
	write(faceItalic, r.cue, "cue, answer", "cues")
	write(faceSmall, r.leg-r.depth+1, "ahead", "")
	write(faceItalic, r.leg, "at the leg", "")
	write(faceSmall, r.leg+r.depth-1, "behind", "")
	write(faceItalic, r.ground, "pressure", "")
	last := len(r.rungs) - 1
	middle := func(a, b int) float64 { return (r.rungs[a] + r.rungs[b]) / 2 }
	if helpRank >= 1 {
		write(faceSmall, max(middle(1, min(helpRank, last)), r.ground+14), "help", "")
	}
	if helpRank >= 0 && helpRank < last {
		write(faceSmall, middle(helpRank+1, last), "correction", "")
	}
	if r.signs > 0 {
		write(faceItalic, r.signs, "signs, remarks", "signs")
	}
	for _, c := range r.context {
		write(faceItalic, c.y, clean(c.lane), "")
	}
}

// plainNumber writes a number as short as it can be.
func plainNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
