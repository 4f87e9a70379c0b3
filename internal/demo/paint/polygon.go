package paint

import (
	"image/color"
	"math"
	"slices"
)

// layers is how many lines are drawn through each row of pixels; across a line
// cover is exact.
const layers = 5

// Polygon fills the area between points; where its sides cross, what is inside
// an odd number of times.
func (p Picture) Polygon(c color.NRGBA, points ...Point) {
	if len(points) < 3 {
		return
	}
	top, bottom := points[0].Y, points[0].Y
	for _, q := range points {
		top, bottom = min(top, q.Y), max(bottom, q.Y)
	}
	width := p.Rect.Max.X
	cover := make([]float64, width+1)
	var crossings []float64
	for y := max(0, int(math.Floor(top))); y < min(p.Rect.Max.Y, int(math.Ceil(bottom))); y++ {
		clear(cover)
		for layer := range layers {
			at := float64(y) + (float64(layer)+0.5)/layers
			crossings = crossings[:0]
			for i, a := range points {
				b := points[(i+1)%len(points)]
				if (a.Y <= at) != (b.Y <= at) {
					crossings = append(crossings, a.X+(at-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
			slices.Sort(crossings)
			for i := 0; i+1 < len(crossings); i += 2 {
				fill(cover[:width], crossings[i], crossings[i+1])
			}
		}
		for x := range width {
			p.blend(x, y, c, cover[x])
		}
	}
}

// fill adds one layer's cover from x0 to x1.
func fill(cover []float64, x0, x1 float64) {
	x0, x1 = max(0, x0), min(float64(len(cover)), x1)
	if x1 <= x0 {
		return
	}
	first, last := int(x0), min(int(x1), len(cover)-1)
	if first == last {
		cover[first] += (x1 - x0) / layers
		return
	}
	cover[first] += (float64(first+1) - x0) / layers
	for x := first + 1; x < last; x++ {
		cover[x] += 1.0 / layers
	}
	cover[last] += (x1 - float64(last)) / layers
}

// Ellipse fills an upright ellipse.
func (p Picture) Ellipse(c color.NRGBA, at Point, rx, ry float64) {
	points := make([]Point, 48)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(points)))
		points[i] = Point{at.X + rx*cos, at.Y + ry*sin}
	}
	p.Polygon(c, points...)
}
