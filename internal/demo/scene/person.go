package scene

import (
	"image/color"
	"math"

	"afterwalk/internal/demo/outing"
)

// clothes are the colours by which people are told apart.
type clothes struct {
	jacket, sleeve, trousers, boots, hat color.NRGBA
	bobble, beard                        bool
}

var (
	blueJacket = clothes{jacket: jacket, sleeve: sleeve, trousers: trousers, boots: boots, hat: hat, bobble: true}
	redJacket  = clothes{
		jacket: color.NRGBA{0x8c, 0x44, 0x4a, 255}, sleeve: color.NRGBA{0x7a, 0x3a, 0x40, 255},
		trousers: color.NRGBA{0x9c, 0x8b, 0x6b, 255}, boots: color.NRGBA{0x3d, 0x3a, 0x36, 255},
		hat: color.NRGBA{0x4a, 0x55, 0x4e, 255}, beard: true,
	}
	greyJacket = clothes{
		jacket: color.NRGBA{0x77, 0x7d, 0x7a, 255}, sleeve: color.NRGBA{0x6a, 0x70, 0x6d, 255},
		trousers: color.NRGBA{0x54, 0x5b, 0x66, 255}, boots: boots, hat: color.NRGBA{0xb8, 0xa9, 0x86, 255},
	}
)

// wardrobe says what each handler wears.
var wardrobe = map[string]clothes{outing.Varga: blueJacket, outing.Quill: redJacket, "": greyJacket}

// person returns the handler's body, the hand that holds the line, and the head.
func person(p outing.Person) (f figure, hand, head point) {
	wears := wardrobe[p.Name]
	lineHand := 1.0 // left
	if p.Right {
		lineHand = -1
	}
	b := newBody(p.At, p.Heading, 0)
	const thigh, shin = 0.44, 0.42
	// The hips are as high as the straighter leg allows.
	type leg struct{ hip, knee float64 } // angles against the vertical, forward positive
	var legs [2]leg
	hips := 0.0
	for i, side := range []float64{1, -1} {
		swing := 0.44 * p.Stride * math.Sin(p.Phase) * side
		bend := 0.75 * p.Stride * max(0, math.Cos(p.Phase)*side)
		bend += 0.5 * p.Bow
		legs[i] = leg{swing + 0.35*p.Bow, swing + 0.35*p.Bow - bend}
		hips = max(hips, thigh*math.Cos(legs[i].hip)+shin*math.Cos(legs[i].knee)+0.07)
	}
	for i, side := range []float64{1, -1} {
		l := legs[i]
		colour := wears.trousers
		hip := b.to(0, 0.09*side, hips-0.05)
		knee := b.to(thigh*math.Sin(l.hip), 0.1*side, hips-thigh*math.Cos(l.hip))
		ax, ay := thigh*math.Sin(l.hip)+shin*math.Sin(l.knee), hips-thigh*math.Cos(l.hip)-shin*math.Cos(l.knee)
		ankle := b.to(ax, 0.1*side, ay)
		f.add(colour, hip, 0.088, knee, 0.07)
		f.add(colour, knee, 0.07, ankle, 0.052)
		f.add(wears.boots, b.to(ax-0.03, 0.1*side, ay-0.02), 0.052, b.to(ax+0.15, 0.11*side, ay-0.03), 0.04)
	}
	pitch := 0.95*p.Bow + 0.28*p.Lean + 0.04*p.Stride
	along := func(up, ahead, side float64) point { // up the back
		return b.to(math.Sin(pitch)*up+math.Cos(pitch)*ahead, side, hips+math.Cos(pitch)*up-math.Sin(pitch)*ahead)
	}
	f.add(wears.jacket, along(-0.01, 0, 0.055), 0.14, along(-0.01, 0, -0.055), 0.14)
	f.add(wears.jacket, along(0, 0, 0), 0.145, along(0.4, 0.01, 0), 0.165)
	f.add(wears.jacket, along(0.43, 0, 0.12), 0.09, along(0.43, 0, -0.12), 0.09)
	for i := len(f) - 3; i < len(f); i++ {
		f[i].near = 0.12
	}
	f.add(skin, along(0.5, 0, 0), 0.055, along(0.6, 0.02, 0), 0.055)
	head = along(0.69, 0.03, 0)
	f.ball(skin, head, 0.108)
	f.add(wears.hat, along(0.755, -0.015, 0), 0.108, along(0.785, -0.015, 0), 0.085)
	f.add(wears.hat, along(0.77, 0.095, 0.06), 0.02, along(0.77, 0.095, -0.06), 0.02)
	if wears.bobble {
		f.ball(shade(wears.hat, 0.2), along(0.89, -0.03, 0), 0.035)
	}
	if wears.beard {
		f.add(beard, along(0.63, 0.07, 0.03), 0.04, along(0.63, 0.07, -0.03), 0.04)
	}
	f.ball(shade(skin, 0.12), along(0.675, 0.135, 0), 0.022)
	for _, side := range []float64{1, -1} {
		f.ball(outline, along(0.7, 0.125, 0.045*side), 0.013)
	}
	// One hand holds the line in front of the hip; the other swings, shows
	// the way or gives.
	shoulder := along(0.42, 0, 0.2*lineHand)
	sway := 0.06 * p.Stride * math.Sin(p.Phase)
	elbow := along(0.16, -0.06+sway, 0.25*lineHand)
	hand = along(0.05, 0.19+sway, 0.2*lineHand)
	f.add(wears.sleeve, shoulder, 0.068, elbow, 0.056)
	f.add(wears.sleeve, elbow, 0.054, hand, 0.045)
	f.ball(skin, hand, 0.048)
	angle := -0.5*p.Stride*math.Sin(p.Phase) + 0.12 // against the vertical
	angle += (1.45 - angle) * p.Arm
	angle += (0.5 - angle) * p.Bow
	bend := 0.35 * (1 - p.Arm) * (1 - p.Bow)
	reach := func(from point, a, length float64) point {
		return from.plus(b.to(math.Sin(a)*length, 0, -math.Cos(a)*length).minus(b.at))
	}
	shoulder = along(0.42, 0, -0.2*lineHand)
	elbow = reach(shoulder, angle, 0.28)
	right := reach(elbow, angle+bend, 0.26)
	f.add(wears.sleeve, shoulder, 0.068, elbow, 0.056)
	f.add(wears.sleeve, elbow, 0.054, right, 0.045)
	f.ball(skin, right, 0.048)
	return f, hand, head
}

// Colours of the figures.
var (
	outline  = color.NRGBA{0x2b, 0x2a, 0x26, 255}
	skin     = color.NRGBA{0xd9, 0xab, 0x88, 255}
	hat      = color.NRGBA{0xc7, 0x8f, 0x3a, 255}
	jacket   = color.NRGBA{0x44, 0x66, 0x82, 255}
	sleeve   = color.NRGBA{0x3b, 0x5a, 0x74, 255}
	trousers = color.NRGBA{0x4b, 0x4a, 0x46, 255}
	boots    = color.NRGBA{0x5c, 0x43, 0x31, 255}
	coat     = color.NRGBA{0x8a, 0x52, 0x2c, 255}
	ear      = color.NRGBA{0x6a, 0x3c, 0x20, 255}
	fur      = color.NRGBA{0xf4, 0xee, 0xe2, 255}
	cord     = color.NRGBA{0xd0, 0x5a, 0x2c, 255}
	beard    = color.NRGBA{0x7d, 0x74, 0x68, 255}
	tongue   = color.NRGBA{0xe0, 0x6a, 0x78, 255}
	collar   = color.NRGBA{0x2f, 0x6b, 0x5a, 255}
)
