package chart

import "math"

// spot is where a mark stands, in units.
type spot struct {
	x, y      int
	low, high int // ends of the whisker, y itself without one
}

// rect is a box in units, left < right and top < bottom.
type rect struct{ left, top, right, bottom int }

// overlaps reports whether the two have more than a side in common.
func (a rect) overlaps(b rect) bool {
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

// crossed reports whether the line from (x0, y0) to (x1, y1) runs through a.
func (a rect) crossed(x0, y0, x1, y1 int) bool {
	// The line is cut to the rect, side by side (Liang and Barsky 1984).
	t0, t1 := 0.0, 1.0
	dx, dy := float64(x1-x0), float64(y1-y0)
	for _, side := range [...][2]float64{
		{-dx, float64(x0 - a.left)}, {dx, float64(a.right - x0)},
		{-dy, float64(y0 - a.top)}, {dy, float64(a.bottom - y0)},
	} {
		switch p, q := side[0], side[1]; {
		case p == 0 && q < 0:
			return false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	return t0 < t1
}

// place finds the spot of each mark and the middle of each day.
func (p *plot) place() {
	p.at = make([]spot, len(p.marks))
	for i, m := range p.marks {
		y := p.y(m.value)
		switch { // what cannot stand at its value stands inside the field
		case !m.hasValue:
			y = p.box.Bottom - 9*sub
		case m.value > p.high:
			y = p.box.Top + 13*sub
		case m.value < p.low:
			y = p.box.Bottom - 13*sub
		}
		at := spot{x: snap(p.x(m.civil)), y: y, low: y, high: y}
		if m.hasLow {
			at.low = max(y, p.y(m.low))
		}
		if m.hasHigh {
			at.high = min(y, p.y(m.high))
		}
		p.at[i] = at
	}
	for i := range p.days {
		d := &p.days[i]
		d.x = (p.at[d.first].x + p.at[d.past-1].x) / 2
	}
	for i := range p.days {
		p.spread(i)
	}
}

// spread moves the marks of day i apart where one would hide another, as far as
// the days beside leave room, but never so close that two become one.
func (p *plot) spread(i int) {
	d := p.days[i]
	n := d.past - d.first
	gap := (2*p.r + 3) * sub
	clear := true
	for j := d.first + 1; j < d.past; j++ {
		clear = clear && float64(p.at[j].x-p.at[j-1].x) >= gap
	}
	if clear {
		return
	}
	room := math.Inf(1) // half the way to the nearer neighbour
	if i > 0 {
		room = min(room, 0.45*float64(d.x-p.days[i-1].x))
	}
	if i+1 < len(p.days) {
		room = min(room, 0.45*float64(p.days[i+1].x-d.x))
	}
	gap = max(min(gap, 2*room/float64(n-1)), 4*sub)
	gap = min(gap, float64(p.box.Width())/float64(n))
	half := gap * float64(n-1) / 2
	middle := min(max(float64(d.x), float64(p.box.Left)+half), float64(p.box.Right)-half)
	for j := range n {
		p.at[d.first+j].x = snap(int(middle - half + gap*float64(j)))
	}
}

// segments returns the pairs of marks that the line joins.
func (p *plot) segments() (pairs [][2]int) {
	last := -1
	for i, m := range p.marks {
		if !m.hasValue {
			last = -1
			continue
		}
		if last >= 0 && !m.BreakBefore {
			pairs = append(pairs, [2]int{last, i})
		}
		last = i
	}
	return pairs
}
