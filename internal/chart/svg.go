package chart

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/golang/freetype/truetype"
	gochart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// svgLetters are the pages' letters.
const svgLetters = `Iowan Old Style, Palatino Linotype, Palatino, URW Palladio L, DejaVu Serif, Georgia, serif`

// svgRenderer draws SVG for the library. Coordinates and sizes come in units of
// 1/sub pixel. It writes classes and presentation attributes, never style, and
// escapes all text.
type svgRenderer struct {
	width, height int // pixels
	title, desc   string
	links         bool // marks lead somewhere, so the whole is no single image

	body bytes.Buffer
	path []string
	disc string // the circle waiting for its fill, or ""
	open []string

	dpi    float64
	style  gochart.Style
	rotate float64 // radians
}

var _ surface = (*svgRenderer)(nil)

func (s *svgRenderer) ResetStyle() {
	s.style = gochart.Style{Font: s.style.Font}
	s.rotate = 0
}

func (s *svgRenderer) GetDPI() float64                        { return s.dpi }
func (s *svgRenderer) SetDPI(dpi float64)                     { s.dpi = dpi }
func (s *svgRenderer) SetClassName(name string)               { s.style.ClassName = name }
func (s *svgRenderer) SetStrokeColor(c drawing.Color)         { s.style.StrokeColor = c }
func (s *svgRenderer) SetFillColor(c drawing.Color)           { s.style.FillColor = c }
func (s *svgRenderer) SetStrokeWidth(width float64)           { s.style.StrokeWidth = width }
func (s *svgRenderer) SetStrokeDashArray(dashArray []float64) { s.style.StrokeDashArray = dashArray }
func (s *svgRenderer) SetFont(f *truetype.Font)               { s.style.Font = f }
func (s *svgRenderer) SetFontColor(c drawing.Color)           { s.style.FontColor = c }
func (s *svgRenderer) SetFontSize(size float64)               { s.style.FontSize = size }
func (s *svgRenderer) SetTextRotation(radians float64)        { s.rotate = radians }
func (s *svgRenderer) ClearTextRotation()                     { s.rotate = 0 }

func (s *svgRenderer) MoveTo(x, y int) { s.add("M", units(x), units(y)) }
func (s *svgRenderer) LineTo(x, y int) {
	if len(s.path) == 0 { // a line needs a start
		s.MoveTo(x, y)
		return
	}
	s.add("L", units(x), units(y))
}

func (s *svgRenderer) QuadCurveTo(cx, cy, x, y int) {
	s.add("Q", units(cx), units(cy), units(x), units(y))
}

// ArcTo draws an arc around (cx, cy), angles in radians from the right,
// clockwise as seen, joined by a line to where the path stands.
func (s *svgRenderer) ArcTo(cx, cy int, rx, ry, startAngle, delta float64) {
	at := func(angle float64) (string, string) {
		return decimal((float64(cx) + rx*math.Cos(angle)) / sub), decimal((float64(cy) + ry*math.Sin(angle)) / sub)
	}
	sweep := "1"
	if delta < 0 {
		sweep = "0"
	}
	x, y := at(startAngle)
	if len(s.path) == 0 {
		s.add("M", x, y)
	} else {
		s.add("L", x, y)
	}
	// In two halves, since an arc that ends where it starts is none.
	for _, part := range []float64{0.5, 1} {
		x, y = at(startAngle + delta*part)
		large := "0"
		if math.Abs(delta)/2 > math.Pi {
			large = "1"
		}
		s.add("A", decimal(rx/sub), decimal(ry/sub), "0", large, sweep, x, y)
	}
}

func (s *svgRenderer) Close() { s.path = append(s.path, "Z") }

func (s *svgRenderer) add(command string, numbers ...string) {
	s.path = append(s.path, command+strings.Join(numbers, " "))
}

func (s *svgRenderer) Stroke()     { s.paint(false, true) }
func (s *svgRenderer) Fill()       { s.paint(true, false) }
func (s *svgRenderer) FillStroke() { s.paint(true, true) }

// Circle waits for its fill or stroke, as a path does.
func (s *svgRenderer) Circle(radius float64, x, y int) {
	s.disc = fmt.Sprintf(`<circle cx="%s" cy="%s" r="%s"`, units(x), units(y), decimal(radius/sub))
}

// paint writes what was drawn since the last time; nothing where it would not
// be seen.
func (s *svgRenderer) paint(fill, stroke bool) {
	fill = fill && s.style.FillColor.A > 0
	stroke = stroke && s.style.StrokeColor.A > 0 && s.style.StrokeWidth > 0
	shapes := []string{}
	if len(s.path) > 0 {
		shapes = append(shapes, `<path d="`+strings.Join(s.path, "")+`"`)
	}
	if s.disc != "" {
		shapes = append(shapes, s.disc)
	}
	s.path, s.disc = nil, ""
	if !fill && !stroke {
		return
	}
	for _, shape := range shapes {
		s.body.WriteString(shape)
		s.class(s.style.ClassName)
		if fill {
			s.colour("fill", s.style.FillColor)
		} else {
			s.body.WriteString(` fill="none"`)
		}
		if stroke {
			s.colour("stroke", s.style.StrokeColor)
			s.attribute("stroke-width", decimal(s.style.StrokeWidth/sub))
			if len(s.style.StrokeDashArray) > 0 {
				dashes := make([]string, len(s.style.StrokeDashArray))
				for i, d := range s.style.StrokeDashArray {
					dashes[i] = decimal(d / sub)
				}
				s.attribute("stroke-dasharray", strings.Join(dashes, " "))
			}
		}
		s.body.WriteString("/>\n")
	}
}

// Text writes body from x on. The library turns texts around their start.
func (s *svgRenderer) Text(body string, x, y int) {
	s.textAt(body, x, y, letters{class: s.style.ClassName, size: s.style.FontSize / sub, ink: s.style.FontColor})
}

func (s *svgRenderer) textAt(body string, x, y int, l letters) {
	fmt.Fprintf(&s.body, `<text x="%s" y="%s"`, units(x), units(y))
	s.class(l.class)
	s.attribute("font-size", decimal(l.size))
	s.colour("fill", l.ink)
	if l.anchor != atStart {
		s.attribute("text-anchor", [...]string{"start", "middle", "end"}[l.anchor])
	}
	if s.rotate != 0 {
		s.attribute("transform", fmt.Sprintf("rotate(%s %s %s)", decimal(s.rotate*180/math.Pi), units(x), units(y)))
	}
	s.body.WriteString(">" + escape(body) + "</text>\n")
}

// MeasureText returns an upper estimate of the size of body in units.
func (s *svgRenderer) MeasureText(body string) gochart.Box {
	size := s.style.FontSize * max(s.dpi, 1) / 72
	return gochart.Box{
		IsSet:  true,
		Right:  int(math.Ceil(textWidth(body, size))),
		Bottom: int(math.Ceil(size)),
	}
}

func (s *svgRenderer) openGroup(g group) {
	tag := "g"
	if g.href != "" {
		tag = "a"
	}
	s.body.WriteString("<" + tag)
	s.class(g.class)
	if g.href != "" {
		s.attribute("href", g.href)
	}
	if g.image {
		s.attribute("role", "img")
	}
	s.body.WriteString(">")
	if g.title != "" {
		s.body.WriteString("<title>" + escape(g.title) + "</title>")
	}
	s.body.WriteString("\n")
	s.open = append(s.open, tag)
}

func (s *svgRenderer) closeGroup() {
	last := len(s.open) - 1
	s.body.WriteString("</" + s.open[last] + ">\n")
	s.open = s.open[:last]
}

func (s *svgRenderer) hit(x, y, radius int) {
	fmt.Fprintf(&s.body, `<circle cx="%s" cy="%s" r="%s" class="af-hit" fill="none" pointer-events="all"/>`+"\n",
		units(x), units(y), units(radius))
}

// Save writes the whole picture.
func (s *svgRenderer) Save(w io.Writer) error {
	for len(s.open) > 0 {
		s.closeGroup()
	}
	var head bytes.Buffer
	role := "img"
	if s.links {
		role = "group"
	}
	fmt.Fprintf(&head, `<svg xmlns="http://www.w3.org/2000/svg" class="af-figure" role="%s" width="%d" height="%d" viewBox="0 0 %d %d" font-family="%s">`+"\n",
		role, s.width, s.height, s.width, s.height, svgLetters)
	fmt.Fprintf(&head, "<title>%s</title>\n<desc>%s</desc>\n", escape(s.title), escape(s.desc))
	if _, err := w.Write(head.Bytes()); err != nil {
		return err
	}
	if _, err := w.Write(s.body.Bytes()); err != nil {
		return err
	}
	_, err := io.WriteString(w, "</svg>\n")
	return err
}

func (s *svgRenderer) class(name string) {
	if name != "" {
		s.attribute("class", name)
	}
}

func (s *svgRenderer) attribute(name, value string) {
	s.body.WriteString(" " + name + `="` + escape(value) + `"`)
}

// colour writes a colour, and its opacity if it has less than all.
func (s *svgRenderer) colour(name string, c drawing.Color) {
	s.attribute(name, fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B))
	if c.A < 255 {
		s.attribute(name+"-opacity", decimal(float64(c.A)/255))
	}
}

// units writes a coordinate in pixels.
func units(n int) string { return decimal(float64(n) / sub) }

// decimal writes x with at most two decimals, and 0 for what is no number.
func decimal(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "0"
	}
	return strconv.FormatFloat(math.Round(x*100)/100+0, 'f', -1, 64)
}

// escape makes s fit for text and attributes.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder does not fail
	return b.String()
}
