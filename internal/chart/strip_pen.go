package chart

import (
	"bytes"
	"strings"
)

// token is a colour of the pages, by the name of its custom property.
type token string

// The colours that a strip is drawn in.
const (
	inkPaper      token = "paper"
	inkInk        token = "ink"
	inkSoft       token = "soft"
	inkMuted      token = "muted"
	inkStrong     token = "strong"
	inkAccent     token = "accent"
	inkHelp       token = "help"
	inkCorrection token = "correction"
	inkError      token = "error"
	inkStay       token = "stay"
	inkHatch      token = "hatch"
	inkGuide      token = "guide"
	inkFaint      token = "faint"
)

// onPaper are the light colours, for a strip without the page's CSS.
var onPaper = map[token]string{
	inkPaper: "#f7f4ea", inkInk: "#23261f", inkSoft: "#4b4d43", inkMuted: "#66624f", inkStrong: "#857f6b",
	inkAccent: "#2f6545", inkHelp: "#2c5a86", inkCorrection: "#a8481f", inkError: "#e9c3ab", inkStay: "#d9dcc9",
	inkHatch: "#ddd7c6", inkGuide: "#ddd7c6", inkFaint: "#a49e8a",
}

// stripPen writes the shapes of one strip.
type stripPen struct {
	body   bytes.Buffer
	id     string
	rows   stripRows
	scale  stripScale
	scene  *stripScene
	grid   *occupancy
	labels []stripLabel
}

// route is the data of a path.
type route struct{ strings.Builder }

func (r *route) to(x, y float64)   { r.put("M", x, y) }
func (r *route) line(x, y float64) { r.put("L", x, y) }
func (r *route) shut()             { r.WriteString("Z") }

func (r *route) put(command string, numbers ...float64) {
	r.WriteString(command)
	for i, n := range numbers {
		if i > 0 {
			r.WriteByte(' ')
		}
		r.WriteString(decimal(n))
	}
}

// box adds a rectangle.
func (r *route) box(x0, y0, x1, y1 float64) {
	r.to(x0, y0)
	r.WriteString("H" + decimal(x1) + "V" + decimal(y1) + "H" + decimal(x0) + "Z")
}

// across and along add a hairline of one direction.
func (r *route) along(x0, x1, y float64)  { r.to(x0, y); r.WriteString("H" + decimal(x1)) }
func (r *route) across(x, y0, y1 float64) { r.to(x, y0); r.WriteString("V" + decimal(y1)) }

// nib is how a path is painted; what is "" or 0 is left out.
type nib struct {
	fill, stroke token
	width        float64
	dash         string
	round        bool // ends of dashes
}

// draw paints a path; an empty one leaves nothing.
func (p *stripPen) draw(n nib, r *route) {
	if r.Len() == 0 {
		return
	}
	p.body.WriteString("<path")
	n.attributes(&p.body)
	p.body.WriteString(` d="` + r.String() + "\"/>\n")
}

// attributes writes the classes that a page colours, and the same for a strip
// that stands alone.
func (n nib) attributes(b *bytes.Buffer) {
	attr := func(name, value string) { b.WriteString(" " + name + `="` + value + `"`) }
	var classes []string
	fill := "none"
	if n.fill != "" {
		classes, fill = append(classes, "af-fill-"+string(n.fill)), onPaper[n.fill]
	}
	if n.stroke != "" {
		classes = append(classes, "af-draw-"+string(n.stroke))
	}
	attr("class", strings.Join(classes, " "))
	attr("fill", fill)
	if n.stroke != "" {
		attr("stroke", onPaper[n.stroke])
		attr("stroke-width", decimal(n.width))
		if n.dash != "" {
			attr("stroke-dasharray", n.dash)
		}
		if n.round {
			attr("stroke-linecap", "round")
		}
	}
}

// write writes a text; right says that x is its right end.
func (p *stripPen) write(f face, ink token, text string, x, y float64, right bool) {
	p.body.WriteString(`<text x="` + decimal(x) + `" y="` + decimal(y) + `"`)
	nib{fill: ink}.attributes(&p.body)
	p.body.WriteString(` font-size="` + decimal(f.size) + `"`)
	if f.italic {
		p.body.WriteString(` font-style="italic"`)
	}
	if right {
		p.body.WriteString(` text-anchor="end"`)
	}
	p.body.WriteString(">" + escape(text) + "</text>\n")
}

// group writes what paint draws as a group of its own.
func (p *stripPen) group(class string, paint func()) {
	before := p.body.Len()
	open := `<g class="af-` + class + "\">\n"
	p.body.WriteString(open)
	paint()
	if p.body.Len() == before+len(open) {
		p.body.Truncate(before)
		return
	}
	p.body.WriteString("</g>\n")
}

// mark is an item in view with its pixels.
type stripMark struct {
	*stripItem
	x, x1         float64 // x1 = x for a moment
	opens, closes bool    // whether its start and end are to be seen
	before, after float64 // pixels to the marks of the same look beside it
}

// apart is how far two shapes of one look must be for both to be drawn; least is
// the room that the shortest word needs. Both in pixels.
const (
	apart = 4
	least = 12
)

// marks returns the items of a track in view, by look, in order of start. Of those
// of one look that start and end close to each other only the first is kept:
// thousands on a few pixels look like one.
func marksBy[K comparable](p *stripPen, t track, look func(*stripItem) K) ([]K, map[K][]stripMark) {
	var order []K
	list := map[K][]stripMark{}
	for _, i := range p.scene.tracks[t] {
		m, ok := p.markOf(i)
		if !ok {
			continue
		}
		k := look(i)
		if n := len(list[k]); n > 0 {
			last := &list[k][n-1]
			if m.x-last.x < apart && m.x1-last.x1 < apart {
				continue
			}
			m.before, last.after = m.x-last.x, m.x-last.x
		} else {
			order = append(order, k)
		}
		list[k] = append(list[k], m)
	}
	return order, list
}

// marks is marksBy with one look for all.
func (p *stripPen) marks(t track) []stripMark {
	_, list := marksBy(p, t, func(*stripItem) bool { return true })
	return list[true]
}

// markOf places an item; ok is false where nothing of it is in view.
func (p *stripPen) markOf(i *stripItem) (m stripMark, ok bool) {
	s := p.scale
	if i.start > s.to || i.end < s.from || !i.moment() && i.end <= s.from && i.start < s.from {
		return m, false
	}
	m = stripMark{stripItem: i, x: s.x(i.start), x1: s.x(i.end), opens: s.has(i.start), before: 1e9, after: 1e9}
	m.closes = !i.open && s.has(i.end)
	if i.open && m.x1 < m.x+14 {
		m.x1 = min(m.x+14, s.right)
	}
	return m, true
}

// roomy reports whether a word right of the mark could find room at all; either
// says that left of it will do.
func (m stripMark) roomy(either bool) bool {
	return m.after > least || either && m.before > least
}
