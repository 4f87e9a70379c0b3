package chart

// labelled returns the marks whose values are written, the most wanted first:
// last, first, highest, lowest, then all if there are few.
func (p *plot) labelled() []int {
	var valued []int
	for i, m := range p.marks {
		if m.hasValue {
			valued = append(valued, i)
		}
	}
	low, high := valued[0], valued[0]
	for _, i := range valued {
		if p.marks[i].value < p.marks[low].value {
			low = i
		}
		if p.marks[i].value > p.marks[high].value {
			high = i
		}
	}
	order := []int{valued[len(valued)-1], valued[0], high, low}
	if len(valued) <= 24 {
		order = append(order, valued...)
	}
	var once []int
	seen := map[int]bool{}
	for _, i := range order {
		if !seen[i] {
			seen[i] = true
			once = append(once, i)
		}
	}
	return once
}

// drawLabels writes values beside their marks, where they hide nothing. One that
// finds no such place is left to tooltip and table; the last and the first may
// cross the line.
func (p *plot) drawLabels() {
	var taken []rect
	reach := int((p.r + 2) * sub)
	for i, m := range p.marks {
		at := p.at[i]
		taken = append(taken, rect{at.x - reach, at.y - reach, at.x + reach, at.y + reach})
		if m.hasLow || m.hasHigh {
			half := int(p.r * sub)
			taken = append(taken, rect{at.x - half, at.high - sub, at.x + half, at.low + sub})
		}
	}
	segments := p.segments()
	field := rect{p.box.Left, p.box.Top - 18*sub, p.width*sub - 8*sub, p.box.Bottom}
	for rank, i := range p.labelled() {
		text := elide(p.valueText(p.marks[i]), maxLabel, sizeLabel)
		if text == "" {
			continue
		}
		at := p.at[i]
		width := int(textWidth(text, sizeLabel) * sub)
		best, found := place{}, false
		for _, where := range places(at.x, at.y, int(p.r*sub)+5*sub, width) {
			if !free(where.rect, field, taken) {
				continue
			}
			clear := true
			for _, s := range segments {
				a, b := p.at[s[0]], p.at[s[1]]
				clear = clear && !where.crossed(a.x, a.y, b.x, b.y)
			}
			if clear {
				best, found = where, true
				break
			}
			if rank < 2 && !found {
				best, found = where, true
			}
		}
		if !found {
			continue
		}
		taken = append(taken, best.rect)
		p.s.textAt(text, best.x, best.y, letters{class: "af-label", size: sizeLabel, ink: p.colours.ink, anchor: best.anchor})
	}
}

// place is a place for a label: what it covers and where its text is put.
type place struct {
	rect
	x, y   int
	anchor anchor
}

// places returns the places around (x, y) for a label of that width, the best
// first: above right, below right, right, above, below, then the same on the left.
func places(x, y, away, width int) []place {
	const (
		ascent  = 11 * sub
		descent = 3 * sub
	)
	spots := []struct {
		dx, baseline int
		anchor       anchor
	}{
		{away, y - 6*sub, atStart},
		{away, y + 14*sub, atStart},
		{away, y + 4*sub, atStart},
		{0, y - away - 2*sub, atMiddle},
		{0, y + away + ascent, atMiddle},
		{-away, y - 6*sub, atEnd},
		{-away, y + 14*sub, atEnd},
		{-away, y + 4*sub, atEnd},
	}
	list := make([]place, len(spots))
	for i, s := range spots {
		left := x + s.dx - width*int(s.anchor)/2
		list[i] = place{
			rect: rect{left, s.baseline - ascent, left + width, s.baseline + descent},
			x:    x + s.dx, y: s.baseline, anchor: s.anchor,
		}
	}
	return list
}

// free reports whether r lies inside the field and on nothing taken.
func free(r, field rect, taken []rect) bool {
	if r.left < field.left || r.right > field.right || r.top < field.top || r.bottom > field.bottom {
		return false
	}
	for _, t := range taken {
		if r.overlaps(t) {
			return false
		}
	}
	return true
}
