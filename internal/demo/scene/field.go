package scene

import (
	"image/color"
	"math"
	"math/rand/v2"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
)

// Field paints a venue, without anyone in it.
func Field(c Camera, venue string) paint.Picture {
	p := paint.New(int(c.width), int(c.height))
	f := painter{p, c, rand.New(rand.NewPCG(7, uint64(len(venue))))}
	switch venue {
	case outing.MillMeadow:
		f.millMeadow()
	case outing.QuarryCarPark:
		f.quarry()
	default:
		f.alderLane()
	}
	return p
}

// painter paints what stands still.
type painter struct {
	paint.Picture
	camera Camera
	rng    *rand.Rand
}

func rgb(hex uint32) color.NRGBA {
	return color.NRGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 255}
}

// band fills the picture's width between two rows.
func (f painter) band(colour color.NRGBA, top, bottom float64) {
	w := f.camera.width
	top, bottom = math.Round(top), math.Round(bottom) // no seams
	f.Polygon(colour, paint.Point{X: 0, Y: top}, paint.Point{X: w, Y: top}, paint.Point{X: w, Y: bottom}, paint.Point{X: 0, Y: bottom})
}

// row returns the row in which the ground at a distance is seen.
func (f painter) row(z float64) float64 {
	q, _ := f.camera.at(point{0, 0, z})
	return q.Y
}

// strip fills the ground between two distances.
func (f painter) strip(colour color.NRGBA, near, far float64) {
	f.band(colour, f.row(far), f.row(near))
}

// ridge fills hills that reach up from the horizon, metres high at a distance.
func (f painter) ridge(colour color.NRGBA, z, low, high, wave, shift float64) {
	var points []paint.Point
	for x := 0.0; x <= f.camera.width; x += f.camera.width / 60 {
		at := x/f.camera.width*2*math.Pi*wave + shift
		q, _ := f.camera.at(point{0, low + (high-low)*(0.5+0.35*math.Sin(at)+0.15*math.Sin(2.3*at+1)), z})
		points = append(points, paint.Point{X: x, Y: q.Y})
	}
	bottom := f.row(z) + 2
	points = append(points, paint.Point{X: f.camera.width, Y: bottom}, paint.Point{X: 0, Y: bottom})
	f.Polygon(colour, points...)
}

// cloud paints a flat cloud.
func (f painter) cloud(colour color.NRGBA, x, y, size float64) {
	w, h := f.camera.width, f.camera.height
	for _, part := range [][3]float64{{0, 0, 1}, {-0.8, 0.12, 0.7}, {0.85, 0.1, 0.75}, {0.3, -0.22, 0.7}} {
		f.Ellipse(colour, paint.Point{X: x*w + part[0]*size*w, Y: y*h + part[1]*size*w}, size*w*part[2]*0.8, size*w*part[2]*0.26)
	}
}

// tree paints a tree with a round crown.
func (f painter) tree(trunk, crown color.NRGBA, x, z, height, width float64) {
	a, s := f.camera.at(point{x, 0, z})
	b, _ := f.camera.at(point{x, height * 0.6, z})
	f.Stroke(trunk, a, 0.16*s, b, 0.09*s)
	dark := shade(crown, 0.1)
	for i, part := range [][3]float64{{0, 0.55, 1}, {-0.45, 0.45, 0.7}, {0.5, 0.48, 0.72}, {-0.1, 0.78, 0.75}, {0.25, 0.72, 0.6}} {
		colour := dark
		if i >= 3 {
			colour = crown
		}
		q, s := f.camera.at(point{x + part[0]*width, part[1] * height, z})
		f.Ellipse(colour, q, part[2]*width*s*0.62, part[2]*height*s*0.26)
	}
}

// hedge paints a bushy row along x from one place to another.
func (f painter) hedge(colour color.NRGBA, x0, x1, z, height float64) {
	for x := x0; x <= x1; x += 0.55 {
		q, s := f.camera.at(point{x, height * 0.5, z})
		f.Ellipse(shade(colour, 0.05*f.rng.Float64()), q, 0.5*s, (0.5+0.12*f.rng.Float64())*height*s)
	}
}

// tufts scatters blades of grass over the ground between two distances.
func (f painter) tufts(colour color.NRGBA, n int, near, far, height float64) {
	for range n {
		// Even in the picture, so more in the distance.
		z := 1 / (1/far + (1/near-1/far)*f.rng.Float64())
		x := (f.rng.Float64()*2 - 1) * 0.52 * z
		for _, lean := range []float64{-0.06, 0.01, 0.07} {
			a, s := f.camera.at(point{x + lean/3, 0, z})
			b, _ := f.camera.at(point{x + lean, height * (0.7 + 0.5*f.rng.Float64()), z})
			f.Stroke(colour, a, 0.012*s, b, 0.004*s)
		}
	}
}

// flowers scatters dots.
func (f painter) flowers(colour color.NRGBA, n int, near, far float64) {
	for range n {
		z := 1 / (1/far + (1/near-1/far)*f.rng.Float64())
		q, s := f.camera.at(point{(f.rng.Float64()*2 - 1) * 0.52 * z, 0.03, z})
		f.Disc(colour, q, 0.022*s)
	}
}

// fence paints posts and two rails along x.
func (f painter) fence(colour color.NRGBA, x0, x1, z float64) {
	for _, y := range []float64{0.45, 0.8} {
		a, s := f.camera.at(point{x0, y, z})
		b, _ := f.camera.at(point{x1, y, z})
		f.Line(colour, 0.06*s, a, b)
	}
	for x := x0; x <= x1+0.01; x += 1.6 {
		a, s := f.camera.at(point{x, 0, z})
		b, _ := f.camera.at(point{x, 1, z})
		f.Line(shade(colour, 0.12), 0.11*s, a, b)
	}
}
