package scene

import (
	"image/color"

	"afterwalk/internal/demo/paint"
)

// quarry is a gravel car park in an old quarry, a road along its wall.
func (f painter) quarry() {
	horizon := f.camera.horizon
	f.band(rgb(0xd3dbe0), 0, horizon*0.5)
	f.band(rgb(0xdde1e1), horizon*0.5, horizon+4)
	f.cloud(rgb(0xe9ebea), 0.32, 0.07, 0.09)
	f.cloud(rgb(0xe9ebea), 0.86, 0.12, 0.06)
	f.ridge(rgb(0xa9b7a2), 120, 6, 14, 1.1, 1)
	f.strip(rgb(0xb7b3a4), 14, 120)
	f.face(rgb(0xc9bfa8), 26, 4.6, 0.4)
	f.face(rgb(0xbdb199), 22, 2.9, 2.6)
	for _, b := range [][3]float64{{-9.5, 19, 0.8}, {-3.4, 20, 0.55}, {2.6, 19.5, 0.7}, {8.8, 18.5, 0.9}} {
		f.boulder(rgb(0xa89d88), b[0], b[1], b[2])
	}
	f.tree(rgb(0x75664f), rgb(0x8b9f6c), -7.4, 18, 3.2, 1.1)
	f.tree(rgb(0x75664f), rgb(0x809665), 6.3, 18, 2.8, 1)
	f.strip(rgb(0x9fa29c), 12.5, 14.8)
	f.strip(rgb(0xbcbcb2), 14.6, 14.8)
	f.strip(rgb(0xbcbcb2), 12.35, 12.6)
	f.strip(rgb(0xcbc4b2), 4, 12.35)
	f.strip(rgb(0xc4bcaa), 8.4, 10)
	f.strip(rgb(0xc4bcaa), 5.3, 6.2)
	f.sign(-4.9, 11.9)
	for x := -5.2; x <= 5.3; x += 2.6 { // bays
		a, s := f.camera.at(point{x, 0, 12.2})
		b, _ := f.camera.at(point{x * 1.02, 0, 9.9})
		f.Line(rgb(0xe2ded2), 0.07*s, a, b)
	}
	f.tufts(rgb(0x9aa478), 9, 9, 12.2, 0.12)
	for range 120 { // gravel
		z := 1 / (1/11.8 + (1/5.2-1/11.8)*f.rng.Float64())
		q, s := f.camera.at(point{(f.rng.Float64()*2 - 1) * 0.52 * z, 0, z})
		f.Ellipse(shade(rgb(0xb5ac98), 0.1*f.rng.Float64()), q, 0.03*s, 0.014*s)
	}
}

// face paints a wall of rock that ends unevenly.
func (f painter) face(colour color.NRGBA, z, height, shift float64) {
	f.ridge(colour, z, height*0.7, height, 1.6, shift)
	for range 14 { // cracks
		x := (f.rng.Float64()*2 - 1) * 0.5 * z
		a, s := f.camera.at(point{x, height * 0.62 * f.rng.Float64(), z})
		b, _ := f.camera.at(point{x + 0.5*(f.rng.Float64()-0.5), height * 0.66, z})
		f.Line(shade(colour, 0.1), 0.05*s, a, b)
	}
}

// boulder paints a lump of rock.
func (f painter) boulder(colour color.NRGBA, x, z, size float64) {
	q, s := f.camera.at(point{x, size * 0.35, z})
	f.Ellipse(colour, q, size*s, size*0.5*s)
	f.Ellipse(shade(colour, -0.08), paint.Point{X: q.X - 0.2*size*s, Y: q.Y - 0.12*size*s}, size*0.6*s, size*0.26*s)
}

// sign paints a board on a post.
func (f painter) sign(x, z float64) {
	foot, s := f.camera.at(point{x, 0, z})
	top, _ := f.camera.at(point{x, 1.9, z})
	f.Line(rgb(0x8a8d8c), 0.07*s, foot, top)
	at := func(dx, y float64) paint.Point { q, _ := f.camera.at(point{x + dx, y, z}); return q }
	f.Polygon(rgb(0x41678c), at(-0.32, 1.25), at(0.32, 1.25), at(0.32, 1.95), at(-0.32, 1.95))
	f.Line(rgb(0xf2f2ee), 0.08*s, at(-0.1, 1.38), at(-0.1, 1.82), at(0.08, 1.82), at(0.14, 1.7), at(0.08, 1.58), at(-0.1, 1.58))
}
