package paint

import (
	"image"
	"image/color"
	"math"
)

// Point is a place in a picture.
type Point struct{ X, Y float64 }

// Picture is what is drawn into.
type Picture struct{ *image.RGBA }

// New returns a black picture.
func New(width, height int) Picture {
	p := Picture{image.NewRGBA(image.Rect(0, 0, width, height))}
	for i := 3; i < len(p.Pix); i += 4 {
		p.Pix[i] = 255
	}
	return p
}

// Copy draws all of another picture of the same size over p.
func (p Picture) Copy(from Picture) { copy(p.Pix, from.Pix) }

// blend lays a colour over a pixel with a share of cover from 0 to 1; the
// colour's own transparency counts as well. Places outside are passed over.
func (p Picture) blend(x, y int, c color.NRGBA, cover float64) {
	b := p.Rect
	if x < 0 || y < 0 || x >= b.Max.X || y >= b.Max.Y || cover <= 0 {
		return
	}
	a := min(1, cover) * float64(c.A) / 255
	i := p.PixOffset(x, y)
	for k, v := range [3]uint8{c.R, c.G, c.B} {
		old := float64(p.Pix[i+k])
		p.Pix[i+k] = uint8(math.Round(old + (float64(v)-old)*a))
	}
}

// Stroke draws the shape that a disc sweeps on its way from a to b while its
// radius goes from ra to rb.
func (p Picture) Stroke(c color.NRGBA, a Point, ra float64, b Point, rb float64) {
	if ra < rb {
		a, ra, b, rb = b, rb, a, ra
	}
	x0, x1 := int(math.Floor(min(a.X-ra, b.X-rb)-1)), int(math.Ceil(max(a.X+ra, b.X+rb)+1))
	y0, y1 := int(math.Floor(min(a.Y-ra, b.Y-rb)-1)), int(math.Ceil(max(a.Y+ra, b.Y+rb)+1))
	x0, y0 = max(x0, 0), max(y0, 0)
	x1, y1 = min(x1, p.Rect.Max.X), min(y1, p.Rect.Max.Y)
	dx, dy := b.X-a.X, b.Y-a.Y
	length := math.Hypot(dx, dy)
	if length <= ra-rb { // the smaller disc lies in the larger
		length = 0
	} else {
		dx, dy = dx/length, dy/length
	}
	// The straight sides lean by the angle whose sine is (ra-rb)/length.
	sin, cos := 0.0, 1.0
	if length > 0 {
		sin = (ra - rb) / length
		cos = math.Sqrt(1 - sin*sin)
	}
	for y := y0; y < y1; y++ {
		for x := x0; x < x1; x++ {
			px, py := float64(x)+0.5-a.X, float64(y)+0.5-a.Y
			distance := math.Hypot(px, py) - ra
			if length > 0 {
				along, across := px*dx+py*dy, math.Abs(py*dx-px*dy)
				switch foot := along*cos - across*sin; { // place along the side
				case foot <= 0:
				case foot >= length*cos:
					distance = math.Hypot(px-dx*length, py-dy*length) - rb
				default:
					distance = across*cos + along*sin - ra
				}
			}
			p.blend(x, y, c, 0.5-distance)
		}
	}
}

// Disc draws a disc.
func (p Picture) Disc(c color.NRGBA, at Point, r float64) { p.Stroke(c, at, r, at, r) }

// Line draws strokes of one width from point to point.
func (p Picture) Line(c color.NRGBA, width float64, points ...Point) {
	for i := 1; i < len(points); i++ {
		p.Stroke(c, points[i-1], width/2, points[i], width/2)
	}
}
