package scene

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
)

// point is a place in space.
type point struct{ x, y, z float64 }

func (p point) plus(q point) point         { return point{p.x + q.x, p.y + q.y, p.z + q.z} }
func (p point) minus(q point) point        { return point{p.x - q.x, p.y - q.y, p.z - q.z} }
func (p point) times(k float64) point      { return point{p.x * k, p.y * k, p.z * k} }
func mix(a, b point, t float64) point      { return a.plus(b.minus(a).times(t)) }
func ground(v outing.Vec, y float64) point { return point{v.X, y, v.Z} }

// Camera looks along z from the height of a tripod. The picture is cut from a
// wider one below its middle, as with a shifted lens: what stands upright stays
// upright.
type Camera struct {
	width, height float64
	focal         float64 // pixels
	horizon       float64 // row
}

// eye is the camera's height.
const eye = 1.9

// NewCamera returns the camera for pictures of a size.
func NewCamera(width, height int) Camera {
	s := float64(height) / 540
	return Camera{float64(width), float64(height), 970 * s, 185 * s}
}

// at returns where a place is seen, and how many pixels a metre has there.
func (c Camera) at(p point) (q paint.Point, scale float64) {
	z := max(p.z, 0.5)
	scale = c.focal / z
	return paint.Point{X: c.width/2 + p.x*scale, Y: c.horizon + (eye-p.y)*scale}, scale
}

// limb is a rounded part of a figure, thicker at one end than at the other.
type limb struct {
	a, b   point
	ra, rb float64
	colour color.NRGBA
	near   float64 // painted as if it were so much nearer: clothes over what they cover
}

// figure is a body made of limbs.
type figure []limb

func (f *figure) add(colour color.NRGBA, a point, ra float64, b point, rb float64) {
	*f = append(*f, limb{a, b, ra, rb, colour, 0})
}

func (f *figure) ball(colour color.NRGBA, at point, r float64) { f.add(colour, at, r, at, r) }

// draw paints a figure, its far limbs first, with a dark line around the whole.
func (f figure) draw(p paint.Picture, c Camera) {
	limbs := slices.Clone(f)
	slices.SortStableFunc(limbs, func(a, b limb) int {
		return -cmp.Compare(a.depth(), b.depth())
	})
	for _, edge := range []bool{true, false} {
		for _, l := range limbs {
			a, sa := c.at(l.a)
			b, sb := c.at(l.b)
			line, colour := 0.0, l.colour
			if edge {
				line, colour = c.height/360, outline
			}
			p.Stroke(colour, a, l.ra*sa+line, b, l.rb*sb+line)
		}
	}
}

// depth is how far away a limb is taken to be.
func (l limb) depth() float64 { return (l.a.z+l.b.z)/2 - l.near }

// body is a frame of reference: forward, to the left and up from a place.
type body struct {
	at       point
	sin, cos float64
}

func newBody(at outing.Vec, heading, height float64) body {
	sin, cos := math.Sincos(heading)
	return body{ground(at, height), sin, cos}
}

// to returns a place in space.
func (b body) to(forward, left, up float64) point {
	return b.at.plus(point{b.cos*forward - b.sin*left, up, b.sin*forward + b.cos*left})
}

// shade darkens a colour by a share.
func shade(c color.NRGBA, k float64) color.NRGBA {
	return color.NRGBA{uint8(float64(c.R) * (1 - k)), uint8(float64(c.G) * (1 - k)), uint8(float64(c.B) * (1 - k)), c.A}
}
