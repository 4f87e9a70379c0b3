package chart

// axisTick is a name under the date axis, in units.
type axisTick struct {
	x     int
	label string
}

// drawDateAxis draws the line of dates. The days of the marks are named if their
// names stand clear of each other, else days, weeks, months or years of the
// calendar.
func (p *plot) drawDateAxis() {
	y := p.box.Bottom
	p.line("af-axis", p.colours.ink, 1, p.box.Left, snap(y), p.box.Right, snap(y))
	for _, t := range p.dateTicks() {
		p.line("af-tick", p.colours.ink, 1, snap(t.x), y, snap(t.x), y+5*sub)
		half := int(textWidth(t.label, sizeText) * sub / 2)
		x := min(max(t.x, edge*sub/2+half), p.width*sub-edge*sub/2-half)
		p.s.textAt(t.label, x, y+20*sub, letters{class: "af-text", size: sizeText, ink: p.colours.soft, anchor: atMiddle})
	}
}

// dateTicks returns the ticks of the date axis, none of them crowded.
func (p *plot) dateTicks() []axisTick {
	if ticks := p.dayNames(p.days); len(ticks) <= 12 && !crowded(ticks) {
		return ticks
	}
	toAxis := func(ticks []dateTick) []axisTick {
		list := make([]axisTick, len(ticks))
		for i, t := range ticks {
			list[i] = axisTick{p.x(t.at), t.label}
		}
		return list
	}
	ticks := toAxis(calendarTicks(p.from, p.to, func(ticks []dateTick) bool { return !crowded(toAxis(ticks)) }))
	if len(ticks) >= 2 {
		return ticks
	}
	// Too narrow for the calendar: the ends, or the beginning.
	ends := p.dayNames([]day{p.days[0], p.days[len(p.days)-1]})
	if crowded(ends) {
		return ends[:1]
	}
	return ends
}

// dayNames returns a tick for each of the days, at the middle of its marks; the
// year stands where it is new.
func (p *plot) dayNames(days []day) []axisTick {
	ticks := make([]axisTick, len(days))
	for i, d := range days {
		newYear := i == 0 || d.date.Year() != days[i-1].date.Year()
		ticks[i] = axisTick{d.x, tickLabel(d.date, dateStep{days: 1}, newYear)}
	}
	return ticks
}

// crowded reports whether two neighbouring names come closer than a space.
func crowded(ticks []axisTick) bool {
	for i := 1; i < len(ticks); i++ {
		half := (textWidth(ticks[i-1].label, sizeText) + textWidth(ticks[i].label, sizeText)) / 2
		if float64(ticks[i].x-ticks[i-1].x) < (half+10)*sub {
			return true
		}
	}
	return false
}

// drawBelow writes what stands under the days. Neighbouring days with the same
// line share it, under a stroke as long as they last; a line that no room is
// left for is left to tooltip and table.
func (p *plot) drawBelow() {
	for row := range p.rows {
		y := p.box.Bottom + (24+rowStep*(row+1))*sub
		line := func(i int) string {
			if row < len(p.days[i].lines) {
				return p.days[i].lines[row]
			}
			return ""
		}
		for first := 0; first < len(p.days); {
			past := first + 1
			for past < len(p.days) && line(past) == line(first) {
				past++
			}
			p.drawRun(line(first), first, past, y)
			first = past
		}
	}
}

// drawRun writes text under the days first to past, between the middles of the
// ways to the days beside.
func (p *plot) drawRun(text string, first, past, y int) {
	if text == "" {
		return
	}
	from, to := p.days[first].x, p.days[past-1].x
	middle := (from + to) / 2
	left, right := edge*sub/2, p.width*sub-edge*sub/2
	if first > 0 {
		left = (p.days[first-1].x + from) / 2
	}
	if past < len(p.days) {
		right = (to + p.days[past].x) / 2
	}
	room := float64(right-left-8*sub) / sub
	if text = elide(text, room, sizeText); text == "" || room < 40 {
		return
	}
	half := int(textWidth(text, sizeText)*sub)/2 + 4*sub
	middle = min(max(middle, left+half), right-half)
	if past-first > 1 {
		from, to, y := max(from-6*sub, left+3*sub), min(to+6*sub, right-3*sub), snap(y-13*sub)
		p.line("af-grid", p.colours.line, 1, from, y, to, y)
	}
	p.s.textAt(text, middle, y, letters{class: "af-below", size: sizeText, ink: p.colours.muted, anchor: atMiddle})
}
