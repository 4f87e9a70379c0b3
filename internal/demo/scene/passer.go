package scene

import (
	"image/color"
	"math"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
)

// passer paints a car or someone with a dog, who pass behind the field.
func passer(p paint.Picture, c Camera, who outing.Passer) {
	if who.Kind == outing.Car {
		car(p, c, who)
		return
	}
	heading := 0.0
	if who.Speed < 0 {
		heading = math.Pi
	}
	ahead := math.Cos(heading)
	walker, hand, _ := person(outing.Person{At: who.At, Heading: heading, Phase: who.Phase, Stride: 1})
	animal, ring := dog(outing.Animal{
		At: outing.Vec{X: who.At.X + 0.9*ahead, Z: who.At.Z - 0.3}, Heading: heading,
		Phase: who.Phase * 2, Stride: 1.2, Wag: 0.5 * math.Sin(who.Phase*3), Ear: 1,
	})
	shadow(p, c, who.At, 0.34, 0.2)
	walker.draw(p, c)
	shadow(p, c, outing.Vec{X: who.At.X + 0.7*ahead, Z: who.At.Z - 0.3}, 0.3, 0.12)
	line(p, c, hand, ring, true)
	animal.draw(p, c)
}

// car paints a small car, seen from its side.
func car(p paint.Picture, c Camera, who outing.Passer) {
	way := 1.0
	if who.Speed < 0 {
		way = -1
	}
	at := func(x, y float64) paint.Point {
		q, _ := c.at(point{who.At.X + way*x, y, who.At.Z})
		return q
	}
	_, scale := c.at(ground(who.At, 0))
	shadow(p, c, who.At, 1.9, 0.3)
	paintwork, glass := color.NRGBA{0x5f, 0x8a, 0x86, 255}, color.NRGBA{0xc9, 0xdc, 0xe2, 255}
	shape := []paint.Point{
		at(-1.75, 0.32), at(-1.78, 0.85), at(-1.45, 0.98), at(-0.95, 1.42), at(0.35, 1.44),
		at(0.92, 0.98), at(1.65, 0.86), at(1.8, 0.6), at(1.78, 0.32),
	}
	p.Polygon(paintwork, shape...)
	p.Line(outline, c.height/240, append(shape, shape[0])...)
	p.Polygon(glass, at(-1.18, 0.98), at(-0.86, 1.33), at(-0.32, 1.34), at(-0.32, 0.98))
	p.Polygon(glass, at(-0.2, 0.98), at(-0.2, 1.34), at(0.3, 1.35), at(0.72, 0.98))
	p.Line(shade(paintwork, 0.25), 0.03*scale, at(-0.26, 0.36), at(-0.26, 0.96))
	p.Line(shade(paintwork, 0.25), 0.04*scale, at(-1.7, 0.62), at(1.75, 0.62))
	p.Disc(color.NRGBA{0xf6, 0xe3, 0xa0, 255}, at(1.7, 0.7), 0.08*scale)
	p.Disc(color.NRGBA{0xb0, 0x3a, 0x34, 255}, at(-1.74, 0.76), 0.07*scale)
	for _, x := range []float64{-1.1, 1.12} {
		p.Disc(outline, at(x, 0.31), 0.31*scale)
		p.Disc(color.NRGBA{0xb8, 0xb8, 0xb0, 255}, at(x, 0.31), 0.17*scale)
		for i := range 3 {
			sin, cos := math.Sincos(who.Phase + float64(i)*math.Pi/3)
			p.Line(outline, 0.03*scale, at(x+0.16*cos, 0.31-0.16*sin), at(x-0.16*cos, 0.31+0.16*sin))
		}
	}
}
