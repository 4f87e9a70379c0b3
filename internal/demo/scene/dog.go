package scene

import (
	"image/color"
	"math"

	"afterwalk/internal/demo/outing"
)

// pose is where the parts of a dog's body are, seen from the point below its
// shoulders: forward, to the left (of paired parts, of the left one) and up.
type pose struct {
	withers, rump, neck, head, tail, tip point
	elbow, paw, knee, hock, foot         point
}

var (
	standing = pose{
		withers: point{0, 0, 0.40}, rump: point{-0.42, 0, 0.40}, neck: point{0.12, 0, 0.47}, head: point{0.25, 0, 0.63},
		tail: point{-0.50, 0, 0.44}, tip: point{-0.68, 0, 0.56},
		elbow: point{-0.02, 0.085, 0.21}, paw: point{0.02, 0.08, 0.03}, knee: point{-0.36, 0.09, 0.24}, hock: point{-0.50, 0.085, 0.14}, foot: point{-0.45, 0.085, 0.03},
	}
	seated = pose{
		withers: point{-0.02, 0, 0.43}, rump: point{-0.28, 0, 0.16}, neck: point{0.06, 0, 0.52}, head: point{0.16, 0, 0.69},
		tail: point{-0.38, 0, 0.08}, tip: point{-0.60, 0, 0.05},
		elbow: point{0, 0.085, 0.23}, paw: point{0.04, 0.08, 0.03}, knee: point{-0.12, 0.14, 0.18}, hock: point{-0.30, 0.12, 0.05}, foot: point{-0.10, 0.13, 0.03},
	}
	stretched = pose{
		withers: point{0, 0, 0.19}, rump: point{-0.42, 0, 0.16}, neck: point{0.12, 0, 0.27}, head: point{0.23, 0, 0.43},
		tail: point{-0.52, 0, 0.12}, tip: point{-0.72, 0, 0.05},
		elbow: point{-0.03, 0.11, 0.07}, paw: point{0.25, 0.1, 0.03}, knee: point{-0.24, 0.16, 0.13}, hock: point{-0.44, 0.14, 0.05}, foot: point{-0.20, 0.15, 0.03},
	}
)

// breed is how a dog is built and coloured.
type breed struct {
	long, wide, high      float64 // against the spaniel
	stout                 float64 // of the limbs
	coat, ear, fur        color.NRGBA
	collar                color.NRGBA
	muzzle, earLong, tuck float64
}

var (
	spaniel = breed{1, 1, 1, 1, coat, ear, fur, collar, 1, 1, 0}
	lurcher = breed{
		1.22, 0.9, 1.42, 0.82, color.NRGBA{0x86, 0x88, 0x8e, 255}, color.NRGBA{0x5d, 0x5f, 0x66, 255}, color.NRGBA{0xb9, 0xb8, 0xb4, 255},
		color.NRGBA{0xc2, 0x8a, 0x2a, 255}, 1.45, 0.5, 0.07,
	}
	terrier = breed{0.85, 0.9, 0.8, 0.85, color.NRGBA{0x3c, 0x38, 0x35, 255}, color.NRGBA{0x2f, 0x2b, 0x29, 255}, color.NRGBA{0xb0, 0x84, 0x55, 255}, collar, 1, 0.4, 0}
)

// kennel says what each dog is.
var kennel = map[string]breed{outing.Tansy: spaniel, outing.Bramble: lurcher, "": terrier}

// built returns the pose of a dog of some breed.
func (p pose) built(k breed) pose {
	for _, q := range []*point{&p.withers, &p.rump, &p.neck, &p.head, &p.tail, &p.tip, &p.elbow, &p.paw, &p.knee, &p.hock, &p.foot} {
		*q = point{q.x * k.long, q.y * k.wide, q.z * k.high}
	}
	return p
}

// between returns the pose at a share of the way from p to q.
func (p pose) between(q pose, t float64) pose {
	return pose{
		mix(p.withers, q.withers, t), mix(p.rump, q.rump, t), mix(p.neck, q.neck, t), mix(p.head, q.head, t), mix(p.tail, q.tail, t), mix(p.tip, q.tip, t),
		mix(p.elbow, q.elbow, t), mix(p.paw, q.paw, t), mix(p.knee, q.knee, t), mix(p.hock, q.hock, t), mix(p.foot, q.foot, t),
	}
}

// dog returns the dog's body and where the line is clipped to its collar.
func dog(a outing.Animal) (f figure, ring point) {
	k := kennel[a.Name]
	s := pose.between(standing, seated, a.Sit).between(stretched, a.Down).built(k)
	s.neck = mix(s.neck, point{0.14 * k.long, 0, 0.34 * k.high}, a.Nose)
	s.head = mix(s.head, point{0.32 * k.long, 0, 0.15}, a.Nose)
	s.head = s.head.plus(point{-0.03 * a.Up, 0.05 * a.Look, 0.03 * a.Up})
	b := newBody(a.At, a.Heading, a.Height+0.02*a.Stride*math.Abs(math.Sin(a.Phase)))
	at := func(p point, side float64) point { return b.to(p.x, p.y*side, p.z) }
	limit := min(a.Stride, 1.6)
	for i, side := range []float64{1, -1} {
		// Legs that stand crosswise move together.
		front, hind := a.Phase+math.Pi*float64(i), a.Phase+math.Pi*float64(1-i)
		paw, foot := s.paw, s.foot
		elbow, hock := s.elbow, s.hock
		paw.x += 0.13 * limit * math.Sin(front)
		paw.z += 0.07 * limit * max(0, math.Cos(front))
		elbow.x += 0.05 * limit * math.Sin(front)
		foot.x += 0.13 * limit * math.Sin(hind)
		foot.z += 0.07 * limit * max(0, math.Cos(hind))
		hock.x += 0.07 * limit * math.Sin(hind)
		shoulder := mix(s.withers, s.elbow, 0.35)
		f.add(k.coat, at(point{shoulder.x, 0.07, shoulder.z}, side), 0.062, at(elbow, side), 0.045)
		f.add(k.fur, at(elbow, side), 0.04, at(paw, side), 0.032)
		f.add(k.fur, at(paw, side), 0.034, at(paw.plus(point{0.05, 0, -0.005}), side), 0.028)
		f.add(k.coat, at(point{s.rump.x + 0.02, 0.07, s.rump.z}, side), 0.085, at(s.knee, side), 0.06)
		f.add(k.coat, at(s.knee, side), 0.055, at(hock, side), 0.036)
		f.add(k.fur, at(hock, side), 0.034, at(foot, side), 0.03)
		f.add(k.fur, at(foot, side), 0.032, at(foot.plus(point{0.05, 0, -0.005}), side), 0.026)
	}
	under := point{0, 0, -0.05 + k.tuck*0.4}
	f.add(k.fur, at(s.withers.plus(under), 1), 0.1, at(mix(s.withers, s.rump, 0.75).plus(under), 1), 0.075)
	f.add(k.coat, at(s.withers, 1), 0.118, at(s.rump, 1), 0.108-0.3*k.tuck)
	f.add(k.coat, at(s.withers.plus(point{0.02, 0, 0.02}), 1), 0.1, at(s.neck, 1), 0.085)
	f.add(k.fur, at(s.withers.plus(point{0.06, 0, -0.04}), 1), 0.092, at(s.neck.plus(point{0.035, 0, -0.035}), 1), 0.07)
	f.add(k.coat, at(s.neck, 1), 0.08, at(s.head, 1), 0.07)
	ring = at(mix(s.neck, s.head, 0.3), 1)
	f.add(k.collar, at(mix(s.neck, s.head, 0.3).plus(point{-0.02, 0.05, 0.02}), 1), 0.042, at(mix(s.neck, s.head, 0.3).plus(point{-0.02, 0.05, 0.02}), -1), 0.042)
	for i := range f {
		f[i].ra *= k.stout
		f[i].rb *= k.stout
	}

	// The head has a frame of its own.
	h := body{at(s.head, 1), math.Sin(a.Heading + a.Look), math.Cos(a.Heading + a.Look)}
	pitch := 0.5*a.Up - 1.0*a.Nose - 0.12
	sin, cos := math.Sincos(pitch)
	on := func(ahead, left, up float64) point { return h.to(cos*ahead-sin*up, left, sin*ahead+cos*up) }
	f.ball(k.coat, on(0, 0, 0), 0.092)
	f.add(k.fur, on(0.045, 0, 0.05), 0.045, on(0.09, 0, 0.01), 0.046)
	f.add(k.fur, on(0.06, 0, -0.02), 0.058, on(0.165*k.muzzle, 0, -0.035), 0.042/math.Sqrt(k.muzzle))
	f.ball(outline, on(0.16*k.muzzle+0.045, 0, -0.02), 0.021)
	if a.Lick > 0 {
		f.add(tongue, on(0.13*k.muzzle, 0, -0.06), 0.026, on(0.17*k.muzzle+0.05*a.Lick, 0, -0.06+0.05*a.Lick), 0.024)
		f[len(f)-1].near = 0.1
	}
	for _, side := range []float64{1, -1} {
		f.ball(outline, on(0.082, 0.048*side, 0.03), 0.014)
		base := on(-0.02, 0.075*side, 0.05)
		tip := on(-0.035+0.02*a.Ear, (0.1+0.035*a.Ear)*side, (-0.105+0.075*a.Ear)*k.earLong)
		f.add(k.ear, base, 0.036, tip, 0.05)
	}
	tip := s.tip
	tip.y += 0.22 * math.Sin(a.Wag)
	f.add(k.coat, at(s.tail, 1), 0.04, at(mix(s.tail, tip, 0.55), 1), 0.04)
	f.add(k.fur, at(mix(s.tail, tip, 0.55), 1), 0.04, at(tip, 1), 0.022)
	return f, ring
}
