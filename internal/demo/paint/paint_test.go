package paint

import (
	"image/color"
	"math"
	"testing"
)

var white = color.NRGBA{255, 255, 255, 255}

// cover returns the sum of cover of a white shape on black, in pixels.
func cover(p Picture) (sum float64) {
	for i := 0; i < len(p.Pix); i += 4 {
		sum += float64(p.Pix[i]) / 255
	}
	return sum
}

// Areas by plane geometry.
func TestAreas(t *testing.T) {
	// Outer tangents of discs with radii 12 and 6, 30 apart: the hull's area is
	// two right trapezoids of side √(30² − 6²) plus the two parts of the discs
	// behind the points of contact, whose half angles are π/2 ± asin(6/30).
	lean := math.Asin(6.0 / 30)
	hull := (12+6)*math.Sqrt(30*30-6*6) + 12*12*(math.Pi/2+lean) + 6*6*(math.Pi/2-lean)
	for _, c := range []struct {
		name string
		draw func(Picture)
		want float64
	}{
		{"a square on whole pixels", func(p Picture) { p.Polygon(white, Point{10, 10}, Point{20, 10}, Point{20, 20}, Point{10, 20}) }, 100},
		{"a square off them", func(p Picture) {
			p.Polygon(white, Point{10.3, 10.4}, Point{20.3, 10.4}, Point{20.3, 20.4}, Point{10.3, 20.4})
		}, 100},
		{"a triangle", func(p Picture) { p.Polygon(white, Point{10, 10}, Point{50, 20}, Point{20, 60}) }, 950},
		{"half outside", func(p Picture) { p.Polygon(white, Point{-10, 10}, Point{10, 10}, Point{10, 20}, Point{-10, 20}) }, 100},
		{"a disc", func(p Picture) { p.Disc(white, Point{40.2, 40.7}, 12) }, math.Pi * 144},
		{"an ellipse", func(p Picture) { p.Ellipse(white, Point{40, 40}, 20, 10) }, math.Pi * 200},
		{"a stroke of one width", func(p Picture) { p.Stroke(white, Point{20, 20}, 5, Point{50, 60}, 5) }, 500 + math.Pi*25},
		{"a stroke that thins", func(p Picture) { p.Stroke(white, Point{30, 30}, 12, Point{48, 54}, 6) }, hull},
		{"the same, from its thin end", func(p Picture) { p.Stroke(white, Point{48, 54}, 6, Point{30, 30}, 12) }, hull},
		{"a disc in a disc", func(p Picture) { p.Stroke(white, Point{40, 40}, 12, Point{43, 40}, 6) }, math.Pi * 144},
		{"outside", func(p Picture) { p.Disc(white, Point{-40, 200}, 12) }, 0},
	} {
		p := New(100, 100)
		c.draw(p)
		if got := cover(p); math.Abs(got-c.want) > 0.01*c.want+0.5 {
			t.Errorf("%s covers %.1f pixels, want %.1f", c.name, got, c.want)
		}
	}
}

// Half a cover of a half transparent colour is a quarter of it.
func TestTransparent(t *testing.T) {
	p := New(4, 4)
	p.Polygon(color.NRGBA{200, 100, 0, 128}, Point{1, 1}, Point{1.5, 1}, Point{1.5, 2}, Point{1, 2})
	if got := p.RGBAAt(1, 1); got != (color.RGBA{50, 25, 0, 255}) {
		t.Errorf("got %v, want a quarter of the colour", got)
	}
}
