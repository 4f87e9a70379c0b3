package chart

import "afterwalk/annotate"

// whiskers reach from the cue to the answer; broken where no answer was coded.
func (p *stripPen) whiskers(list []whisker) {
	y := sharp(p.rows.cue)
	last := -1e9
	var whole, broken, lapsed route
	for _, w := range list {
		if w.Start > p.scale.to || w.End < p.scale.from {
			continue
		}
		x0, x1 := p.scale.x(w.Start), p.scale.x(w.End)
		if x1-last < 1 {
			continue
		}
		last = x1
		if w.answered {
			whole.along(x0, x1, y)
		} else {
			broken.along(x0, x1, y)
		}
		if w.lapsed && p.scale.has(w.End) {
			lapsed.circle(x1, p.rows.cue, 4)
		}
	}
	p.draw(nib{stroke: inkInk, width: 1.2}, &whole)
	p.draw(nib{stroke: inkMuted, width: 1.2, dash: "3 3"}, &broken)
	p.draw(nib{fill: inkPaper, stroke: inkCorrection, width: 1.8}, &lapsed)
}

// cues draws cues as ticks with their names, releases as arrows, halts that ask for
// something as paler ticks, and the answers.
func (p *stripPen) cues() {
	y := p.rows.cue
	looks, groups := marksBy(p, trackCues, func(i *stripItem) string {
		switch {
		case i.release():
			return "release"
		case i.command == "name":
			return "name"
		}
		return "cue"
	})
	var ticks, names, freed route
	for _, look := range looks {
		for _, m := range groups[look] {
			switch look {
			case "release":
				freed.freed(m.x, y, 5)
			case "name":
				names.across(m.x, y-3.5, y+3.5)
			default:
				ticks.across(m.x, y-6.5, y+6.5)
			}
			if look == "cue" {
				p.nameCue(m, 5, faceName, inkInk)
			} else {
				p.nameCue(m, 25, faceItalic, inkSoft)
			}
		}
	}
	_, moves := marksBy(p, trackMoves, func(i *stripItem) bool { return i.role == annotate.RoleHalt && i.command != "" })
	for _, m := range moves[true] {
		names.across(m.x, y-6.5, y+6.5)
		p.nameCue(m, 6, faceItalic, inkSoft)
	}
	p.draw(nib{stroke: inkInk, width: 2}, &ticks)
	p.draw(nib{stroke: inkSoft, width: 2}, &names)
	p.draw(nib{stroke: inkInk, width: 1.4}, &freed)
	p.answers()
}

// nameCue offers a cue's name over its tick, to the right or the left of it.
func (p *stripPen) nameCue(m stripMark, order int, f face, ink token) {
	if !m.roomy(true) {
		return
	}
	name := elide(m.name, 160, f.size)
	p.offer(order, f, ink, wording{text: name, x: m.x - 1, y: p.rows.cueLabel}, wording{text: name, x: m.x + 1, y: p.rows.cueLabel, right: true})
}

// answers: did is a full circle, no answer a ring, something else a diamond; an ear
// is a cue that the dog was seen to take in.
func (p *stripPen) answers() {
	y := p.rows.cue
	looks, groups := marksBy(p, trackAnswers, func(i *stripItem) string {
		switch {
		case i.role == annotate.RoleHeard:
			return "heard"
		case i.result == "did", i.result == "none":
			return i.result
		}
		return "other"
	})
	var heard, did, none, other route
	for _, look := range looks {
		for _, m := range groups[look] {
			switch look {
			case "heard":
				heard.ear(m.x, y, 4.5)
			case "did":
				did.circle(m.x, y, 4)
			case "none":
				none.circle(m.x, y, 4)
			default:
				other.diamond(m.x, y, 5)
			}
		}
	}
	p.draw(nib{stroke: inkSoft, width: 1.6}, &heard)
	p.draw(nib{fill: inkAccent}, &did)
	p.draw(nib{fill: inkPaper, stroke: inkCorrection, width: 1.8}, &none)
	p.draw(nib{fill: inkSoft}, &other)
}

// moves draws turns, changes of pace and halts.
func (p *stripPen) moves() {
	y := p.rows.moves
	type look struct {
		role annotate.Role
		kind string
	}
	looks, groups := marksBy(p, trackMoves, func(i *stripItem) look { return look{i.role, i.kind} })
	var halts, lines route
	for _, l := range looks {
		for _, m := range groups[l] {
			switch l.role {
			case annotate.RoleHalt:
				halts.square(m.x, y, 4)
			case annotate.RoleTurn:
				lines.turn(m.x, y, 5, l.kind)
			default:
				lines.pace(m.x, y, 5, l.kind)
			}
			p.grid.mark(m.x-7, y-6, m.x+7, y+6)
		}
	}
	p.draw(nib{fill: inkMuted}, &halts)
	p.draw(nib{stroke: inkSoft, width: 1.4}, &lines)
}
