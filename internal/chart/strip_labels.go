package chart

import (
	"cmp"
	"math"
	"slices"
)

// occupancy is a grid of small cells over a strip that says what is taken.
// Shapes that must stay clear are marked first, then labels are offered in order
// of importance; what finds no free place is dropped, never printed over
// something.
type occupancy struct {
	columns, rows int
	cells         []bool
}

const (
	cellWidth  = 2
	cellHeight = 3
)

func newOccupancy(width, height float64) *occupancy {
	o := &occupancy{columns: max(1, int(math.Ceil(width/cellWidth))), rows: max(1, int(math.Ceil(height/cellHeight)))}
	o.cells = make([]bool, o.columns*o.rows)
	return o
}

// mark takes a box.
func (o *occupancy) mark(x0, y0, x1, y1 float64) {
	a, b := max(0, int(math.Floor(x0/cellWidth))), min(o.columns, int(math.Ceil(x1/cellWidth)))
	for r := max(0, int(math.Floor(y0/cellHeight))); r < min(o.rows, int(math.Ceil(y1/cellHeight))); r++ {
		for c := a; c < b; c++ {
			o.cells[r*o.columns+c] = true
		}
	}
}

// free reports whether nothing that is taken touches the box; a box that leaves
// the grid isn't free.
func (o *occupancy) free(x0, y0, x1, y1 float64) bool {
	a, b := int(math.Floor(x0/cellWidth)), int(math.Ceil(x1/cellWidth))
	r0, r1 := int(math.Floor(y0/cellHeight)), int(math.Ceil(y1/cellHeight))
	if a < 0 || r0 < 0 || b > o.columns || r1 > o.rows {
		return false
	}
	for r := r0; r < r1; r++ {
		if slices.Contains(o.cells[r*o.columns+a:r*o.columns+b], true) {
			return false
		}
	}
	return true
}

// wording is a text at a place that it could take.
type wording struct {
	text  string
	x, y  float64 // left end, or right end, of the baseline
	right bool
}

// stripLabel is a text that waits for a place.
type stripLabel struct {
	order    int // of two labels the one with the lower order is offered a place first
	face     face
	ink      token
	wordings []wording // the best first
}

// face is how words on a strip are written.
type face struct {
	size   float64 // pixels
	italic bool
}

// The faces of the strip on the desk.
var (
	faceName   = face{size: 13}
	faceLabel  = face{size: 12}
	faceSmall  = face{size: 11}
	faceItalic = face{size: 12, italic: true}
)

func (f face) width(text string) float64 { return textWidth(text, f.size) }

// offer takes a label whose wordings are tried in order.
func (p *stripPen) offer(order int, f face, ink token, wordings ...wording) {
	p.labels = append(p.labels, stripLabel{order, f, ink, wordings})
}

// offerCentred offers texts over the middle of [x0, x1], the longest wording
// first; if the middle is taken, a little to the left or right of it.
func (p *stripPen) offerCentred(order int, f face, ink token, texts []string, x0, x1, y float64) {
	var list []wording
	for _, text := range texts {
		w := f.width(text)
		at := min(max((x0+x1)/2-w/2, p.scale.left), p.scale.right-w)
		for _, part := range []float64{0, -0.2, 0.2, -0.4, 0.4} {
			list = append(list, wording{text: text, x: at + part*w, y: y})
		}
	}
	p.offer(order, f, ink, list...)
}

// writeLabels writes the labels that find a place, in their order.
func (p *stripPen) writeLabels() {
	const air = 3
	slices.SortStableFunc(p.labels, func(a, b stripLabel) int { return cmp.Compare(a.order, b.order) })
	right := max(p.scale.right, p.rows.width-3)
	for _, l := range p.labels {
		for _, w := range l.wordings {
			if w.text == "" {
				continue
			}
			width := l.face.width(w.text)
			x := w.x
			if w.right {
				x -= width
			}
			if x < p.scale.left-6 || x+width > right || !p.grid.free(x, w.y-9, x+width, w.y+2) {
				continue
			}
			p.grid.mark(x-air, w.y-9, x+width+air, w.y+2)
			p.write(l.face, l.ink, w.text, w.x, w.y, w.right)
			break
		}
	}
	p.labels = nil
}
