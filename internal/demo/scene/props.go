package scene

import (
	"image/color"
	"math"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
)

// ring paints a circle that stands upright across the picture.
func ring(p paint.Picture, c Camera, colour color.NRGBA, middle point, r, width float64) {
	const corners = 28
	points := make([]paint.Point, corners+1)
	var scale float64
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		points[i], scale = c.at(middle.plus(point{r * cos, r * sin, 0}))
	}
	p.Line(colour, width*scale, points...)
}

// cyclist paints someone on a bicycle who rides across.
func cyclist(p paint.Picture, c Camera, r outing.Cyclist) {
	way := 1.0
	if r.Speed < 0 {
		way = -1
	}
	at := func(x, y, side float64) point { return point{r.At.X + way*x, y, r.At.Z + side} }
	metal := color.NRGBA{0x8c, 0x34, 0x2c, 255}
	for _, x := range []float64{-0.52, 0.52} {
		ring(p, c, outline, at(x, 0.34, 0), 0.33, 0.045)
		for i := range 3 {
			sin, cos := math.Sincos(r.Phase*way + float64(i)*math.Pi/3)
			a, s := c.at(at(x, 0.34, 0).plus(point{0.31 * cos, -0.31 * sin, 0}))
			b, _ := c.at(at(x, 0.34, 0).plus(point{-0.31 * cos, 0.31 * sin, 0}))
			p.Line(shade(fur, 0.35), 0.012*s, a, b)
		}
	}
	line := func(colour color.NRGBA, width float64, points ...point) {
		var flat []paint.Point
		var s float64
		for _, q := range points {
			var f paint.Point
			f, s = c.at(q)
			flat = append(flat, f)
		}
		p.Line(colour, width*s, flat...)
	}
	line(metal, 0.05, at(-0.52, 0.34, 0), at(-0.15, 0.85, 0), at(0.38, 0.82, 0), at(0, 0.34, 0), at(-0.15, 0.85, 0))
	line(metal, 0.05, at(-0.52, 0.34, 0), at(0, 0.34, 0))
	line(metal, 0.05, at(0.52, 0.34, 0), at(0.36, 0.95, 0), at(0.5, 1.05, 0))
	var f figure
	for i, side := range []float64{0.1, -0.1} {
		sin, cos := math.Sincos(-r.Phase + float64(i)*math.Pi)
		foot := at(0.17*cos, 0.34+0.17*sin, side)
		knee := at(0.22+0.08*cos, 0.68+0.1*sin, side)
		f.add(shade(trousers, 0.1), at(-0.16, 0.95, side), 0.09, knee, 0.07)
		f.add(shade(trousers, 0.1), knee, 0.065, foot, 0.05)
		f.add(sleeveRed, at(0.12, 1.38, side*1.4), 0.06, at(0.46, 1.06, side*1.6), 0.045)
	}
	f.add(sleeveRed, at(-0.16, 0.98, 0), 0.13, at(0.1, 1.38, 0), 0.14)
	f.ball(skin, at(0.2, 1.62, 0), 0.105)
	f.add(fur, at(0.17, 1.68, 0), 0.1, at(0.2, 1.69, 0), 0.1)
	f.draw(p, c)
}

var sleeveRed = color.NRGBA{0x9d, 0x4a, 0x3a, 255}

// toy paints the ball.
func toy(p paint.Picture, c Camera, b outing.Ball) {
	const r = 0.12
	middle := ground(b.At, r)
	shadow(p, c, b.At, 0.13, 0.05)
	at, scale := c.at(middle)
	p.Disc(outline, at, r*scale+c.height/360)
	p.Disc(color.NRGBA{0xd2, 0x4b, 0x3c, 255}, at, r*scale)
	sin, cos := math.Sincos(b.Turn)
	x, y := 0.55*r*scale*cos, 0.55*r*scale*sin
	p.Disc(fur, paint.Point{X: at.X + x, Y: at.Y + y}, 0.28*r*scale)
	p.Disc(fur, paint.Point{X: at.X - x, Y: at.Y - y}, 0.28*r*scale)
}

// bed paints the dog's raised bed.
func bed(p paint.Picture, c Camera, at outing.Vec) {
	const half, deep, high = 0.58, 0.36, 0.12
	wood, cloth := color.NRGBA{0x7a, 0x62, 0x48, 255}, color.NRGBA{0x5d, 0x7f, 0x86, 255}
	corner := func(x, y, z float64) paint.Point {
		q, _ := c.at(point{at.X + x*half, y, at.Z + z*deep})
		return q
	}
	shadow(p, c, at, 0.62, 0.34)
	_, scale := c.at(ground(at, 0))
	for _, x := range []float64{-0.94, 0.94} {
		for _, z := range []float64{0.9, -0.9} {
			p.Line(wood, 0.05*scale, corner(x, 0.01, z), corner(x, high, z))
		}
	}
	p.Polygon(cloth, corner(-1, high, -1), corner(1, high, -1), corner(1, high, 1), corner(-1, high, 1))
	p.Line(wood, 0.045*scale, corner(-1, high, -1), corner(1, high, -1), corner(1, high, 1), corner(-1, high, 1), corner(-1, high, -1))
}

// shadow paints a soft flat shadow on the ground, of half a length along x and
// along z.
func shadow(p paint.Picture, c Camera, at outing.Vec, x, z float64) {
	q, scale := c.at(ground(at, 0))
	near, _ := c.at(ground(outing.Vec{X: at.X, Z: at.Z - z}, 0))
	p.Ellipse(color.NRGBA{0x20, 0x2a, 0x18, 70}, q, x*scale, max(1, near.Y-q.Y))
}

// line paints the long line from hand to collar: it hangs, lies on the ground
// where there is much of it, or is taut.
func line(p paint.Picture, c Camera, hand, ring point, taut bool) {
	reach := math.Hypot(hand.x-ring.x, hand.z-ring.z)
	hang := 0.1 + 0.25*min(1, reach) + 1.2*max(0, min(1, reach-0.9))
	if taut {
		hang = 0
	}
	const pieces = 24
	points := make([]paint.Point, pieces+1)
	for i := range points {
		t := float64(i) / pieces
		q := mix(hand, ring, t)
		q.y = max(0.02, q.y-hang*4*t*(1-t))
		points[i], _ = c.at(q)
	}
	p.Line(cord, c.height/230, points...)
}
