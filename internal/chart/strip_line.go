package chart

import "afterwalk/annotate"

// run is a shape in pixels; opens and closes say whether its ends are drawn.
type run struct {
	x0, x1        float64
	kind          string
	opens, closes bool
}

// runs returns the pieces in a span of time as pixels. Those of one kind that are
// less than a pixel apart become one.
func (p *stripPen) runs(pieces []piece, w annotate.Span) []run {
	var out []run
	last := map[string]int{}
	for _, c := range pieces {
		if c.End <= w.Start || c.Start >= w.End {
			continue
		}
		x0, x1 := p.scale.x(max(c.Start, w.Start)), p.scale.x(min(c.End, w.End))
		closes := c.closes && c.End <= w.End
		if at, ok := last[c.kind]; ok && x0-out[at].x1 < 1 && x0-out[at].x0 < 1.5 {
			out[at].x1, out[at].closes = max(out[at].x1, x1), closes
			continue
		}
		last[c.kind] = len(out)
		out = append(out, run{x0, x1, c.kind, c.opens && c.Start >= w.Start, closes})
	}
	return out
}

// view is the time that is drawn.
func (p *stripPen) view() annotate.Span { return annotate.Span{Start: p.scale.from, End: p.scale.to} }

// errors fill the time out of position within heel work; where no heel work runs
// it counts for nothing and is a broken outline.
func (p *stripPen) errors() {
	var filled, outlines, broken route
	for _, r := range p.runs(p.scene.inside, p.view()) {
		top, bottom := p.rows.errorBand(r.kind)
		filled.box(r.x0, top, max(r.x1, r.x0+1), bottom)
		if !isStep(r.kind) {
			p.outlineBand(&outlines, r)
		}
	}
	for _, r := range p.runs(p.scene.beside, p.view()) {
		top, bottom := p.rows.errorBand(r.kind)
		broken.box(sharp(r.x0), sharp(top), max(sharp(r.x1), sharp(r.x0)+1), sharp(bottom))
	}
	p.draw(nib{fill: inkError}, &filled)
	p.draw(nib{stroke: inkInk, width: 1}, &outlines)
	p.draw(nib{stroke: inkFaint, width: 1, dash: "3 3"}, &broken)
}

// outlineBand adds a bar's two long sides and its ends; wide, which lies clear of
// the leg, is tied to it at its ends.
func (p *stripPen) outlineBand(g *route, r run) {
	top, bottom := p.rows.errorBand(r.kind)
	top, bottom = sharp(top), sharp(bottom)
	x0, x1 := sharp(r.x0), sharp(max(r.x1, r.x0+1))
	g.along(x0, x1, top)
	g.along(x0, x1, bottom)
	from, to := top, bottom
	if r.kind == "wide" {
		from, to = p.rows.leg, bottom
		if p.rows.outside < 0 {
			to = top
		}
	}
	if r.opens {
		g.across(x0, from, to)
	}
	if r.closes {
		g.across(x1, from, to)
	}
}

// dogLine draws the dog on the leg, stepped off by ahead and behind; dotted while
// off task.
func (p *stripPen) dogLine() {
	var whole, dotted, loose route
	p.follow(&whole, p.scene.solid, false)
	p.follow(&dotted, p.scene.dotted, true)
	for _, c := range p.joined(p.scene.loose) {
		loose.along(p.scale.x(c.Start)+1, max(p.scale.x(c.End), p.scale.x(c.Start)+1.1), p.rows.leg)
	}
	p.draw(nib{stroke: inkInk, width: 2.25}, &whole)
	p.draw(nib{stroke: inkInk, width: 2.5, dash: "0.01 4.5", round: true}, &dotted)
	p.draw(nib{stroke: inkSoft, width: 3, dash: "0.01 5.5", round: true}, &loose)
}

// follow adds the dog's line over a set of time.
func (p *stripPen) follow(g *route, set annotate.Set, dotted bool) {
	leg := p.rows.leg
	for _, c := range p.joined(set) {
		x0, x1 := p.scale.x(c.Start), max(p.scale.x(c.End), p.scale.x(c.Start)+0.5)
		if dotted && x1-x0 < 2 {
			continue // not even two dots: a gap
		}
		x, fresh := x0, true
		along := func(to, y float64) {
			if fresh {
				g.to(x, y)
			}
			g.WriteString("H" + decimal(to))
			x, fresh = to, false
		}
		for _, r := range p.runs(p.scene.steps, c) {
			narrow := r.x1-r.x0 < 4 // its sides would cover its filling, which is what counts
			if dotted && narrow {
				continue
			}
			y := leg + p.rows.depth
			if r.kind == "ahead" {
				y = leg - p.rows.depth
			}
			if r.x0 > x {
				along(r.x0, leg)
			}
			x = max(x, r.x0)
			switch {
			case r.opens && !narrow:
				if fresh {
					g.to(x, leg)
				}
				g.WriteString("V" + decimal(y))
				fresh = false
			default:
				fresh = true
			}
			along(max(r.x1, x), y)
			if r.closes && !narrow {
				g.WriteString("V" + decimal(leg))
			} else {
				fresh = true
			}
		}
		if x1 > x {
			along(x1, leg)
		}
	}
}

// joined returns the part of a set that is in view, gaps of less than a pixel
// closed.
func (p *stripPen) joined(set annotate.Set) annotate.Set {
	var out annotate.Set
	for _, c := range set.Cut(p.view()) {
		if n := len(out); n > 0 && float64(c.Start-out[n-1].End)*p.scale.perMicro < 1 {
			out[n-1].End = c.End
			continue
		}
		out = append(out, c)
	}
	return out
}

// lengths stand beside the bouts.
func (p *stripPen) lengths(list []bout) {
	last := -1e9
	var braces route
	for _, b := range list {
		if b.End < p.scale.from || b.Start > p.scale.to {
			continue
		}
		x0, x1 := p.scale.x(b.Start), p.scale.x(b.End)
		if x1-last < least {
			continue
		}
		last = x1
		seconds := secondsLabel(b.Len())
		whole := seconds + " s"
		if b.word != "" {
			whole = elide(b.word, 160, faceLabel.size) + " " + whole
		}
		y := p.rows.below
		if b.offTask || p.rows.labelledAbove(b.kind) {
			y = p.rows.above
		}
		if b.offTask {
			p.offerCentred(50, faceItalic, inkMuted, []string{whole}, x0, x1, y)
			continue
		}
		if b.kind == "" && x1-x0 > 12 { // what the length of several kinds is the length of
			at := sharp(p.rows.above + 2.5)
			braces.to(sharp(x0), at+3)
			braces.line(sharp(x0), at)
			braces.line(sharp(x1), at)
			braces.line(sharp(x1), at+3)
		}
		texts := []string{whole, seconds + " s"}
		if x1-x0 > 8 {
			texts = append(texts, seconds)
		}
		p.offerCentred(11, faceLabel, inkCorrection, texts, x0, x1, y)
	}
	p.draw(nib{stroke: inkCorrection, width: 1}, &braces)
}
