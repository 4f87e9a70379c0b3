package chart

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// rewards are triangles: full where the dog gets something, hollow for a marker,
// which only promises.
func (p *stripPen) rewards() {
	y := p.rows.rewards
	looks, groups := marksBy(p, trackRewards, func(i *stripItem) bool { return i.kind == "marker" })
	var given, promised route
	for _, look := range looks {
		for _, m := range groups[look] {
			if look {
				promised.triangle(m.x, y, 4.5)
			} else {
				given.triangle(m.x, y, 4.5)
			}
			p.grid.mark(m.x-5, y-5, m.x+5, y+5)
		}
	}
	p.draw(nib{fill: inkAccent}, &given)
	p.draw(nib{fill: inkPaper, stroke: inkAccent, width: 1.3}, &promised)
}

// help without pressure is a dome on the ground line, with a bar as long as it
// went on.
func (p *stripPen) help() {
	y := p.rows.ground
	var bars, domes route
	for _, m := range p.marks(trackHelp) {
		if m.x1 > m.x {
			bars.box(m.x, y-3, m.x1, y)
		}
		domes.dome(m.x, y, 5)
		p.grid.mark(m.x-6, y-6, m.x+6, y)
		if m.roomy(false) {
			word := m.kind
			if word == "" {
				word = m.name
			}
			p.offer(46, faceItalic, inkHelp, wording{text: elide(word, 160, faceItalic.size), x: m.x + 8, y: y - 3})
		}
	}
	p.draw(nib{fill: inkHelp}, &bars)
	p.draw(nib{fill: inkPaper, stroke: inkHelp, width: 1.5}, &domes)
}

// pressure hangs from the ground. The length of a stem is its rank; help ends in a
// round foot, correction in a square one with a heavier stem. Held pressure is a
// bar at the foot as long as it was on.
func (p *stripPen) pressure() {
	ranks, groups := marksBy(p, trackPressure, func(i *stripItem) int { return i.rank })
	slices.SortFunc(ranks, func(a, b int) int { return cmp.Compare(b, a) }) // long stems first: the foot of a short one isn't crossed
	for _, rank := range ranks {
		p.stems(groups[rank])
	}
	for _, rank := range ranks {
		for _, m := range groups[rank] {
			if m.roomy(true) && m.opens {
				p.labelPressure(m)
			}
		}
	}
}

// stems draws stems of one rank.
func (p *stripPen) stems(list []stripMark) {
	helps := list[0].helps
	y := p.rows.rung(list[0].rank)
	ink, wide, thick := inkCorrection, 2.25, 2.5
	if helps {
		ink, wide, thick = inkHelp, 1.5, 1.5
	}
	var stems, bars, feet, ends route
	for _, m := range list {
		if m.x1 > m.x {
			bars.box(m.x, y-thick, m.x1, y+thick)
			if m.closes && helps {
				ends.across(m.x1, y-3, y+3)
			}
		}
		p.grid.mark(m.x-4, y-4, max(m.x+4, m.x1), y+4)
		if !m.opens {
			continue
		}
		stems.across(m.x, p.rows.ground, y)
		if helps {
			feet.circle(m.x, y, 4)
		} else {
			feet.square(m.x, y, 4)
		}
		p.grid.mark(m.x-1.5, p.rows.ground, m.x+1.5, y-4)
	}
	p.draw(nib{stroke: ink, width: wide}, &stems)
	p.draw(nib{fill: ink}, &bars)
	p.draw(nib{stroke: ink, width: 1.5}, &ends)
	p.draw(nib{fill: ink}, &feet)
}

// labelPressure writes what it is, level and taps at the foot; the level is kept
// longest.
func (p *stripPen) labelPressure(m stripMark) {
	y := p.rows.rung(m.rank) + 4
	level, taps := "", ""
	if m.level != nil {
		level = plainNumber(*m.level)
	}
	if m.taps > 1 {
		taps = "×" + strconv.Itoa(m.taps)
	}
	numbers := strings.TrimSpace(level + " " + taps)
	whole := strings.TrimSpace(elide(m.called, 160, faceLabel.size) + " " + numbers)
	ink, order := inkCorrection, 15
	if m.helps {
		ink = inkHelp
	}
	if numbers != "" {
		order = 8
	}
	right, left := m.x1+7, m.x-7
	if m.x1 > m.x {
		right = m.x1 + 5
	}
	p.offer(order, faceLabel, ink,
		wording{text: whole, x: right, y: y}, wording{text: whole, x: left, y: y, right: true},
		wording{text: numbers, x: right, y: y}, wording{text: numbers, x: left, y: y, right: true})
}
