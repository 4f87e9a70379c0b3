package chart

import (
	"bytes"
	"fmt"

	"afterwalk/annotate"
)

// LegendEntry is a shape of strips and what it means.
type LegendEntry struct {
	SVG   string // 30 × 18 pixels, hidden from readers of the screen
	Words string
}

// size of a legend's shapes, pixels.
const (
	legendWidth  = 30
	legendHeight = 18
)

// StripLegend explains the shapes that occur in the strips, in their order from top
// to bottom.
func StripLegend(strips ...Strip) []LegendEntry {
	var items []*stripItem
	for _, s := range strips {
		if s.Reading != nil && s.Reading.Book != nil {
			items = append(items, stripItems(s.Reading)...)
		}
	}
	has := func(ok func(*stripItem) bool) bool {
		for _, i := range items {
			if ok(i) {
				return true
			}
		}
		return false
	}
	var list []LegendEntry
	for _, e := range legend {
		if !has(e.occurs) {
			continue
		}
		p := &stripPen{rows: layRows(stripWidth, 1, "", false, nil)}
		fmt.Fprintf(&p.body, `<svg xmlns="http://www.w3.org/2000/svg" class="af-strip af-legend" aria-hidden="true" width="%d" height="%d" viewBox="0 0 %[1]d %[2]d">`, legendWidth, legendHeight)
		e.paint(p)
		p.body.WriteString("</svg>")
		list = append(list, LegendEntry{SVG: string(bytes.ReplaceAll(p.body.Bytes(), []byte("\n"), nil)), Words: e.words})
	}
	return list
}

func ofRole(role annotate.Role) func(*stripItem) bool {
	return func(i *stripItem) bool { return i.role == role }
}

func ofResult(result string) func(*stripItem) bool {
	return func(i *stripItem) bool {
		if i.role != annotate.RoleAnswer {
			return false
		}
		return i.result == result || result == "other" && i.result != "did" && i.result != "none"
	}
}

func ofError(kind string) func(*stripItem) bool {
	return func(i *stripItem) bool { return i.role == annotate.RoleError && i.kind == kind }
}

// shape paints one path in the middle of an entry.
func shape(n nib, add func(g *route, x, y float64)) func(*stripPen) {
	return func(p *stripPen) {
		var g route
		add(&g, legendWidth/2, legendHeight/2)
		p.draw(n, &g)
	}
}

// step paints the dog's line with an error of a kind, the leg at height y.
func step(kind string, leg float64) func(*stripPen) {
	return func(p *stripPen) {
		p.rows.leg, p.rows.depth = leg, 12
		top, bottom := p.rows.errorBand(kind)
		y := bottom
		if kind == "ahead" {
			y = top
		}
		var filled, line route
		filled.box(9, top, 21, bottom)
		p.draw(nib{fill: inkError}, &filled)
		line.to(1, leg)
		if isStep(kind) {
			line.WriteString("H9V" + decimal(y) + "H21V" + decimal(leg))
		}
		line.WriteString("H29")
		p.draw(nib{stroke: inkInk, width: 2}, &line)
		if !isStep(kind) {
			var band route
			p.outlineBand(&band, run{9, 21, kind, true, true})
			p.draw(nib{stroke: inkInk, width: 1}, &band)
		}
	}
}

// stem paints pressure that hangs from the ground.
func stem(helps bool) func(*stripPen) {
	return func(p *stripPen) {
		var ground, stem, foot route
		ground.along(3, 27, 1.5)
		p.draw(nib{stroke: inkStrong, width: 1}, &ground)
		stem.across(15, 1, 13)
		ink, width := inkCorrection, 2.25
		foot.square(15, 13, 4)
		if helps {
			ink, width, foot = inkHelp, 1.5, route{}
			foot.circle(15, 13, 4)
		}
		p.draw(nib{stroke: ink, width: width}, &stem)
		p.draw(nib{fill: ink}, &foot)
	}
}

// legend holds the entries from top to bottom of a strip.
var legend = []struct {
	words  string
	occurs func(*stripItem) bool
	paint  func(*stripPen)
}{
	{"did, the line as long as it took", ofResult("did"), func(p *stripPen) {
		var tick, line, did route
		tick.across(5, 2.5, 15.5)
		line.along(5, 22, 9)
		did.circle(23, 9, 4)
		p.draw(nib{stroke: inkInk, width: 2}, &tick)
		p.draw(nib{stroke: inkInk, width: 1.2}, &line)
		p.draw(nib{fill: inkAccent}, &did)
	}},
	{"no answer", ofResult("none"), shape(nib{fill: inkPaper, stroke: inkCorrection, width: 1.8}, func(g *route, x, y float64) { g.circle(x, y, 4) })},
	{"did something else", ofResult("other"), shape(nib{fill: inkSoft}, func(g *route, x, y float64) { g.diamond(x, y, 5) })},
	{"heard", ofRole(annotate.RoleHeard), shape(nib{stroke: inkSoft, width: 1.6}, func(g *route, x, y float64) { g.ear(x, y, 4.5) })},
	{"released", func(i *stripItem) bool { return i.release() }, shape(nib{stroke: inkInk, width: 1.4}, func(g *route, x, y float64) { g.freed(x-3, y, 5) })},
	{"ahead", ofError("ahead"), step("ahead", 15)},
	{"behind", ofError("behind"), step("behind", 3)},
	{"wide", ofError("wide"), step("wide", 15)},
	{"crowding", ofError("crowding"), step("crowding", 5)},
	{"off task", ofRole(annotate.RoleOffTask), shape(nib{stroke: inkInk, width: 2.5, dash: "0.01 4.5", round: true}, func(g *route, x, y float64) { g.along(3, 27, y) })},
	{"stay, a notch for a break", func(i *stripItem) bool { return trackOf(i) == trackStays }, func(p *stripPen) {
		var bar route
		bar.to(1.5, 15.5)
		bar.WriteString("V2.5H12.5V8.5H18.5V2.5H28.5V15.5Z")
		p.draw(nib{fill: inkStay, stroke: inkInk, width: 1.25}, &bar)
	}},
	{"reward", func(i *stripItem) bool { return i.role == annotate.RoleReward && i.kind != "marker" }, shape(nib{fill: inkAccent}, func(g *route, x, y float64) { g.triangle(x, y, 4.5) })},
	{"marker: a reward to come", func(i *stripItem) bool { return i.role == annotate.RoleReward && i.kind == "marker" },
		shape(nib{fill: inkPaper, stroke: inkAccent, width: 1.3}, func(g *route, x, y float64) { g.triangle(x, y, 4.5) })},
	{"help without pressure", ofRole(annotate.RoleHelp), shape(nib{fill: inkPaper, stroke: inkHelp, width: 1.5}, func(g *route, x, y float64) { g.dome(x, y+3, 5) })},
	{"pressure that counts as help", func(i *stripItem) bool { return i.role == annotate.RolePressure && i.helps }, stem(true)},
	{"pressure that counts as correction, the level beside it", func(i *stripItem) bool { return i.role == annotate.RolePressure && !i.helps }, stem(false)},
	{"stress sign", ofRole(annotate.RoleStress), shape(nib{stroke: inkCorrection, width: 1.6}, func(g *route, x, y float64) { g.zigzag(x-6, x+6, y, 5) })},
	{"at ease", ofRole(annotate.RoleOffered), shape(nib{stroke: inkAccent, width: 1.8}, func(g *route, x, y float64) { g.smile(x, y, 5) })},
	{"distraction", ofRole(annotate.RoleDistraction), func(p *stripPen) {
		var g route
		for x := 1.0; x < 46; x += 5 {
			g.to(min(x, 29), max(1, x-28))
			g.line(max(x-16, 1), min(17, x))
		}
		g.across(1.5, 1, 17)
		g.across(28.5, 1, 17)
		p.draw(nib{stroke: inkHatch, width: 1}, &g)
	}},
	{"blank: not in sight", ofRole(annotate.RoleHidden), shape(nib{fill: inkPaper, stroke: inkFaint, width: 1, dash: "2 3"}, func(g *route, x, y float64) { g.box(5.5, 1.5, 24.5, 16.5) })},
}
