package chart

import "math"

// The strip's shapes. Each means one thing in black and white as well; colour only
// repeats it. x, y is the centre, r half the size.

func (g *route) circle(x, y, r float64) {
	g.to(x-r, y)
	g.put("A", r, r, 0, 1, 1, x+r, y)
	g.put("A", r, r, 0, 1, 1, x-r, y)
	g.shut()
}

func (g *route) square(x, y, r float64) { g.box(x-r, y-r, x+r, y+r) }

func (g *route) diamond(x, y, r float64) {
	g.to(x, y-r)
	g.line(x+r, y)
	g.line(x, y+r)
	g.line(x-r, y)
	g.shut()
}

// triangle stands on its base.
func (g *route) triangle(x, y, r float64) {
	g.to(x-r, y+r*0.8)
	g.line(x+r, y+r*0.8)
	g.line(x, y-r)
	g.shut()
}

// dome stands on the line y.
func (g *route) dome(x, y, r float64) {
	g.to(x-r, y)
	g.put("A", r, r, 0, 0, 1, x+r, y)
	g.shut()
}

// ear is a half ring open to the left.
func (g *route) ear(x, y, r float64) {
	a := math.Pi / 2.2
	cx := x - r*0.5
	g.to(cx+r*math.Cos(a), y-r*math.Sin(a))
	g.put("A", r, r, 0, 0, 1, cx+r*math.Cos(a), y+r*math.Sin(a))
}

// freed is an arrow up and to the right: set free.
func (g *route) freed(x, y, r float64) {
	tx, ty := x+r*1.3, y-r
	g.to(x, y+r)
	g.line(tx, ty)
	g.to(tx-r*0.9, ty)
	g.line(tx, ty)
	g.line(tx, ty+r*0.9)
}

// turn is an arc with a head to the left or right, back on itself for about, bare
// for any other kind.
func (g *route) turn(x, y, r float64, kind string) {
	side := 1.0
	if kind == "left" {
		side = -1
	}
	if kind == "about" {
		g.to(x-r*0.7, y+r)
		g.line(x-r*0.7, y-r*0.2)
		g.put("A", r*0.7, r*0.7, 0, 0, 1, x+r*0.7, y-r*0.2)
		g.line(x+r*0.7, y+r*0.9)
		g.head(x+r*0.7, y+r, 0, 1, r*0.7)
		return
	}
	g.to(x-side*r*0.7, y+r)
	g.line(x-side*r*0.7, y)
	g.put("Q", x-side*r*0.7, y-r*0.7, x, y-r*0.7)
	g.line(x+side*r*0.9, y-r*0.7)
	if kind == "left" || kind == "right" {
		g.head(x+side*r, y-r*0.7, side, 0, r*0.7)
	}
}

// pace is two chevrons for faster and slower, an arrow for going away and coming
// back, two bars for any other kind.
func (g *route) pace(x, y, r float64, kind string) {
	side := 1.0
	if kind == "slow" || kind == "comes back" {
		side = -1
	}
	switch kind {
	case "fast", "slow":
		for _, dx := range []float64{-0.7, 0.3} {
			g.to(x+side*r*dx, y-r*0.7)
			g.line(x+side*r*(dx+0.6), y)
			g.line(x+side*r*dx, y+r*0.7)
		}
	case "goes away", "comes back":
		g.to(x-side*r, y)
		g.line(x+side*r, y)
		g.head(x+side*r, y, side, 0, r*0.8)
	default:
		g.across(x-r*0.4, y-r*0.7, y+r*0.7)
		g.across(x+r*0.4, y-r*0.7, y+r*0.7)
	}
}

// zigzag runs from x to x1, at least one tooth: stress.
func (g *route) zigzag(x, x1, y, r float64) {
	g.to(x, y)
	up := -1.0
	for at := x + r*0.35; at < x1; at += r * 0.7 {
		g.line(at, y+up*r*0.7)
		up = -up
	}
	g.line(x1, y)
}

// smile is ease.
func (g *route) smile(x, y, r float64) {
	a := math.Pi * 0.12
	cy := y - r*0.5
	g.to(x+r*math.Cos(a), cy+r*math.Sin(a))
	g.put("A", r, r, 0, 0, 1, x-r*math.Cos(a), cy+r*math.Sin(a))
}

// flag is a remark.
func (g *route) flag(x, y, r float64) {
	g.to(x, y+r)
	g.line(x, y-r)
	g.line(x+r*1.3, y-r*0.45)
	g.line(x, y+r*0.1)
}

// head is the head of an arrow that points along dx, dy.
func (g *route) head(x, y, dx, dy, n float64) {
	g.to(x-dx*n-dy*n*0.7, y-dy*n-dx*n*0.7)
	g.line(x, y)
	g.line(x-dx*n+dy*n*0.7, y-dy*n+dx*n*0.7)
}
