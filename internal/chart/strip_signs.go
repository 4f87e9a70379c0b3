package chart

import "afterwalk/annotate"

// signs draws the row of stress signs, ease and remarks.
func (p *stripPen) signs() {
	y := p.rows.signs
	if y == 0 {
		return
	}
	roles, groups := marksBy(p, trackSigns, func(i *stripItem) annotate.Role { return i.role })
	var stress, ease, flags, bars route
	for _, role := range roles {
		for _, m := range groups[role] {
			switch role {
			case annotate.RoleStress:
				if m.x1 > m.x+12 {
					stress.zigzag(m.x, m.x1, y, 5)
				} else {
					stress.zigzag(m.x-6, m.x+6, y, 5)
				}
			case annotate.RoleOffered:
				ease.smile(m.x, y, 5)
			default:
				if m.x1 > m.x {
					bars.box(m.x, y+6, m.x1, y+7)
				}
				flags.flag(m.x, y, 5)
			}
			p.labelSign(m)
		}
	}
	p.draw(nib{stroke: inkCorrection, width: 1.6}, &stress)
	p.draw(nib{stroke: inkAccent, width: 1.8}, &ease)
	p.draw(nib{fill: inkSoft}, &bars)
	p.draw(nib{stroke: inkSoft, width: 1.2}, &flags)
}

func (p *stripPen) labelSign(m stripMark) {
	y := p.rows.signs
	stress := m.role == annotate.RoleStress
	after := m.x
	if stress && m.x1 > m.x+12 {
		after = m.x1
	}
	p.grid.mark(m.x-6, y-5, after+6, y+5)
	if !m.roomy(true) {
		return
	}
	text, ink, order := m.kind, inkSoft, 47
	switch {
	case m.role != annotate.RoleStress && m.role != annotate.RoleOffered:
		text = m.note
	case stress:
		ink, order = inkCorrection, 14
	default:
		ink = inkAccent
	}
	if text == "" {
		text = m.name
	}
	most := min(p.scale.right-after-9, 260)
	var list []wording
	if faceItalic.width(text) <= most {
		list = append(list, wording{text: text, x: after + 9, y: y + 4})
	}
	list = append(list, wording{text: elide(text, 260, faceItalic.size), x: m.x - 9, y: y + 4, right: true})
	for _, part := range []float64{1, 0.6, 0.35} {
		list = append(list, wording{text: elide(text, most*part, faceItalic.size), x: after + 9, y: y + 4})
	}
	p.offer(order, faceItalic, ink, list...)
}

// context draws line and handler: the words, and after them a rule to the end of
// the span.
func (p *stripPen) context() {
	lanes, groups := marksBy(p, trackContext, func(i *stripItem) string { return i.lane })
	var rules route
	for _, lane := range lanes {
		y := p.rows.contextAt(lane)
		if y == 0 {
			continue
		}
		for _, m := range groups[lane] {
			if m.opens {
				rules.across(sharp(m.x), y-4, y+4)
			}
			from := m.x
			if text := elide(m.name, m.x1-m.x-11, faceItalic.size); text != "" {
				p.write(faceItalic, inkMuted, text, m.x+5, y+4, false)
				from += faceItalic.width(text) + 10
			}
			if m.x1 > from {
				rules.along(from, m.x1, sharp(y))
			}
			if m.closes {
				rules.across(sharp(m.x1), y-4, y+4)
			}
		}
	}
	p.draw(nib{stroke: inkMuted, width: 1}, &rules)
}
