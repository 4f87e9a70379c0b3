package chart

import "afterwalk/annotate"

// stays draws stays as bars with a notch for each break.
func (p *stripPen) stays() {
	var bars, outlines route
	for _, m := range p.marks(trackStays) {
		p.stayBar(&bars, &outlines, m)
		p.labelStay(m)
	}
	p.draw(nib{fill: inkStay}, &bars)
	p.draw(nib{stroke: inkInk, width: 1.25}, &outlines)
}

// stayBar adds one bar. Its outline is open where an end is not to be seen or not
// coded yet.
func (p *stripPen) stayBar(bars, outlines *route, m stripMark) {
	r, s := &p.rows, p.scale
	top, bottom, deep := sharp(r.leg-r.half), sharp(r.leg+r.half), sharp(r.leg+r.half*0.45)
	x0, x1 := m.x, max(m.x1, m.x+1)
	var upper route // from the top left corner to the top right one
	x := x0
	for _, b := range p.scene.tracks[trackBreaks] {
		if b.start < m.start || b.start >= m.end || b.start > s.to || !b.moment() && b.end < s.from {
			continue
		}
		from, to := s.x(b.start), s.x(min(b.end, m.end))
		if b.moment() {
			from, to = from-4, to+4
		}
		from, to = max(from, x), min(to, x1)
		if to <= from {
			continue
		}
		upper.line(from, top)
		if b.moment() {
			upper.line((from+to)/2, deep)
		} else {
			upper.line(from, deep)
			upper.line(to, deep)
		}
		upper.line(to, top)
		x = to
		p.grid.mark(from, r.leg-r.half, to, deep)
	}
	upper.line(x1, top)

	bars.to(x0, bottom)
	bars.line(x0, top)
	bars.WriteString(upper.String())
	bars.line(x1, bottom)
	bars.shut()

	outlines.to(x0, bottom)
	if m.opens {
		outlines.line(x0, top)
	} else {
		outlines.to(x0, top)
	}
	outlines.WriteString(upper.String())
	if m.closes {
		outlines.line(x1, bottom)
	} else {
		outlines.to(x1, bottom)
	}
	outlines.line(x0, bottom)
}

func (p *stripPen) labelStay(m stripMark) {
	y := p.rows.leg + 4.5
	name := m.posture
	if name == "" {
		name = m.name
	}
	name = elide(name, m.x1-m.x-10, faceName.size)
	if name == "" {
		return
	}
	w := faceName.width(name)
	p.offer(20, faceName, inkInk, wording{text: name, x: m.x + 7, y: y})
	length := secondsLabel(m.end-m.start) + " s"
	if !m.open && m.x1-m.x > w+faceLabel.width(length)+30 {
		p.offer(40, faceLabel, inkSoft, wording{text: length, x: m.x1 - 7, y: y, right: true})
	}
}

// breaks names the breaks; those outside any stay are outlined only.
func (p *stripPen) breaks() {
	r := &p.rows
	var outlines route
	stays := p.scene.union(trackStays)
	for _, m := range p.marks(trackBreaks) {
		if !m.in(stays) {
			outlines.box(max(sharp(m.x)-4, 0), sharp(r.leg-r.half), min(sharp(m.x1)+4, r.width), sharp(r.leg+r.half*0.45))
		}
		word := m.kind
		if word == "" {
			word = m.name
		}
		word = elide(word, 160, faceLabel.size)
		texts := []string{word}
		if !m.moment() && !m.open {
			length := secondsLabel(m.end-m.start) + " s"
			texts = []string{word + " " + length, length}
		}
		p.offerCentred(10, faceLabel, inkCorrection, texts, m.x, m.x1, r.above)
	}
	p.draw(nib{stroke: inkFaint, width: 1, dash: "3 3"}, &outlines)
}

// others draws the other exercises: recall as an arrow to the leg, free time
// dotted, anything else a thin line.
func (p *stripPen) others() {
	y := sharp(p.rows.leg)
	var lines, free, ends route
	for _, m := range p.marks(trackOthers) {
		if m.kind == "free" {
			free.along(m.x, m.x1, y)
		} else {
			lines.along(m.x, m.x1, y)
		}
		if m.opens {
			ends.across(sharp(m.x), y-4, y+4)
		}
		switch {
		case m.closes && m.kind == "recall":
			ends.to(max(m.x1-6, m.x), y-4)
			ends.line(m.x1, y)
			ends.line(max(m.x1-6, m.x), y+4)
		case m.closes:
			ends.across(sharp(m.x1), y-4, y+4)
		}
		p.offer(45, faceItalic, inkMuted, wording{text: elide(m.name, m.x1-m.x-8, faceItalic.size), x: m.x + 5, y: y - 5})
	}
	p.draw(nib{stroke: inkSoft, width: 1.25}, &lines)
	p.draw(nib{stroke: inkSoft, width: 1.25, dash: "1.5 4"}, &free)
	p.draw(nib{stroke: inkSoft, width: 1.25}, &ends)
}

// has reports whether anything of the reading is drawn in a track.
func (s *stripScene) has(t track) bool { return len(s.tracks[t]) > 0 }

// spanOf returns the time from the first event's start to the last one's end.
func (s *stripScene) spanOf() annotate.Span {
	var w annotate.Span
	for k, i := range s.items {
		if k == 0 {
			w = i.span()
		}
		w.End = max(w.End, i.end)
	}
	return w
}
