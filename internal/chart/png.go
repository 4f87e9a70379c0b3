package chart

import (
	"math"

	"github.com/golang/freetype/truetype"
	gochart "github.com/wcharczuk/go-chart/v2"
)

// PNGScale is how many pixels of the PNG there are to one of the figure, so that
// it stays sharp in print and on fine screens.
const PNGScale = 2

// pngRenderer draws on the library's bitmap, turning units of 1/sub pixel into
// the bitmap's pixels.
type pngRenderer struct {
	gochart.Renderer
	letters *truetype.Font
}

var _ surface = pngRenderer{}

// newPNG returns a surface of width by height pixels of the figure.
func newPNG(width, height int) (gochart.Renderer, error) {
	r, err := gochart.PNG(width*PNGScale, height*PNGScale)
	if err != nil {
		return nil, err
	}
	f, err := font()
	if err != nil {
		return nil, err
	}
	return pngRenderer{r, f}, nil
}

// pixel returns the bitmap's pixel at a coordinate in units.
func pixel(n int) int { return int(math.Round(float64(n) * PNGScale / sub)) }

// length returns a length in units in the bitmap's pixels.
func length(x float64) float64 { return x * PNGScale / sub }

// SetDPI sets the one resolution at which a letter size is a size in pixels: the
// library multiplies the two where a letter's size in 64ths of a pixel is wanted.
func (p pngRenderer) SetDPI(float64) { p.Renderer.SetDPI(64) }

func (p pngRenderer) SetStrokeWidth(width float64) { p.Renderer.SetStrokeWidth(length(width)) }
func (p pngRenderer) SetFontSize(size float64)     { p.Renderer.SetFontSize(length(size)) }
func (p pngRenderer) MoveTo(x, y int)              { p.Renderer.MoveTo(pixel(x), pixel(y)) }
func (p pngRenderer) LineTo(x, y int)              { p.Renderer.LineTo(pixel(x), pixel(y)) }
func (p pngRenderer) Text(body string, x, y int)   { p.Renderer.Text(body, pixel(x), pixel(y)) }

func (p pngRenderer) SetStrokeDashArray(dashes []float64) {
	scaled := make([]float64, len(dashes))
	for i, d := range dashes {
		scaled[i] = length(d)
	}
	p.Renderer.SetStrokeDashArray(scaled)
}

func (p pngRenderer) QuadCurveTo(cx, cy, x, y int) {
	p.Renderer.QuadCurveTo(pixel(cx), pixel(cy), pixel(x), pixel(y))
}

func (p pngRenderer) ArcTo(cx, cy int, rx, ry, startAngle, delta float64) {
	p.Renderer.ArcTo(pixel(cx), pixel(cy), length(rx), length(ry), startAngle, delta)
}

// Circle draws an arc; the library's own four curves are not round.
func (p pngRenderer) Circle(radius float64, x, y int) {
	p.Renderer.MoveTo(pixel(x)+int(math.Round(length(radius))), pixel(y))
	p.Renderer.ArcTo(pixel(x), pixel(y), length(radius), length(radius), 0, 2*math.Pi)
	p.Renderer.Close()
}

func (p pngRenderer) textAt(body string, x, y int, l letters) {
	if body == "" {
		return
	}
	width := letterWidth(body) * l.size * sub
	switch l.anchor {
	case atMiddle:
		x -= int(width / 2)
	case atEnd:
		x -= int(width)
	}
	p.SetFont(p.letters) // the library forgets it after each box it draws
	p.SetFontSize(l.size * sub)
	p.SetFontColor(l.ink)
	p.Text(body, x, y)
}

func (pngRenderer) openGroup(group) {}
func (pngRenderer) closeGroup()     {}
func (pngRenderer) hit(_, _, _ int) {}
