package scene

import (
	"image/color"
	"math"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
)

// Draw paints a frame over a field.
func Draw(p paint.Picture, c Camera, field paint.Picture, f outing.Frame) {
	p.Copy(field)
	if f.Rider != nil {
		cyclist(p, c, *f.Rider)
	}
	if f.Passer != nil {
		passer(p, c, *f.Passer)
	}
	handler, hand, head := person(f.Handler)
	animal, ring := dog(f.Dog)
	near := f.Dog.At.Z < f.Handler.At.Z
	things := []struct {
		z    float64
		draw func()
	}{
		{f.Bed.Z + 0.36, func() { bed(p, c, f.Bed) }},
		{f.Handler.At.Z, func() {
			shadow(p, c, f.Handler.At, 0.34, 0.2)
			if !near {
				line(p, c, hand, ring, f.Taut)
			}
			handler.draw(p, c)
		}},
		{f.Dog.At.Z, func() {
			middle := outing.Vec{X: f.Dog.At.X - 0.2*math.Cos(f.Dog.Heading), Z: f.Dog.At.Z - 0.2*math.Sin(f.Dog.Heading)}
			if f.Dog.Height < 0.02 {
				shadow(p, c, middle, 0.16+0.24*math.Abs(math.Cos(f.Dog.Heading)), 0.12+0.24*math.Abs(math.Sin(f.Dog.Heading)))
			}
			animal.draw(p, c)
			if near {
				line(p, c, hand, ring, f.Taut)
			}
			if f.Lamp {
				at, scale := c.at(ring)
				glow, core := color.NRGBA{0xff, 0xb0, 0x30, 110}, color.NRGBA{0xff, 0xd9, 0x6a, 255}
				if f.Tap {
					glow, core = color.NRGBA{0xd8, 0x3a, 0x6c, 120}, color.NRGBA{0xff, 0x8a, 0xa8, 255}
				}
				p.Disc(glow, at, 0.13*scale)
				p.Disc(core, at, 0.045*scale)
			}
		}},
	}
	if f.Ball != nil {
		ball := *f.Ball
		things = append(things, struct {
			z    float64
			draw func()
		}{ball.At.Z, func() { toy(p, c, ball) }})
	}
	for len(things) > 0 { // far ones first
		far := 0
		for i := range things {
			if things[i].z > things[far].z {
				far = i
			}
		}
		things[far].draw()
		things = append(things[:far], things[far+1:]...)
	}
	if f.Voice > 0 {
		voice(p, c, head, f.Handler.Heading, f.Voice == 2)
	}
}

// voice paints small waves at the mouth of who speaks.
func voice(p paint.Picture, c Camera, head point, heading float64, glad bool) {
	colour := color.NRGBA{0x33, 0x36, 0x3a, 255}
	if glad {
		colour = color.NRGBA{0xb8, 0x4a, 0x1e, 255}
	}
	at, scale := c.at(head)
	side := 1.0
	if math.Cos(heading) < 0 {
		side = -1
	}
	for i := range 3 {
		r := (0.2 + 0.075*float64(i)) * scale
		var points []paint.Point
		for a := -0.55; a <= 0.56; a += 0.11 {
			points = append(points, paint.Point{X: at.X + side*r*math.Cos(a), Y: at.Y - r*math.Sin(a)})
		}
		p.Line(colour, c.height/220, points...)
	}
}
