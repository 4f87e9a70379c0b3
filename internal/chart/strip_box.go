package chart

import (
	"html"
	"strings"

	"afterwalk/annotate"
)

// leastReach is the least width of what takes the pointer, pixels.
const leastReach = 10

// reach returns the box in which an item takes the pointer, which is where it is
// drawn.
func (p *stripPen) reach(m stripMark) (x0, y0, x1, y1 float64) {
	r := &p.rows
	at := func(y, half float64) (float64, float64, float64, float64) {
		if m.moment() {
			return m.x - 6, y - half, m.x + 6, y + half
		}
		if m.x1-m.x < leastReach {
			middle := (m.x + m.x1) / 2
			return middle - leastReach/2, y - half, middle + leastReach/2, y + half
		}
		return m.x, y - half, m.x1, y + half
	}
	switch trackOf(m.stripItem) {
	case trackHeel, trackOthers, trackOffTask:
		return at(r.leg, 6)
	case trackStays:
		return at(r.leg, r.half)
	case trackErrors:
		top, bottom := r.errorBand(m.kind)
		return at((top+bottom)/2, (bottom-top)/2)
	case trackBreaks:
		return at(r.leg-r.half*0.2, r.half*0.8)
	case trackCues, trackAnswers:
		return at(r.cue, 8)
	case trackMoves:
		return at(r.moves, 7)
	case trackRewards:
		return at(r.rewards, 6)
	case trackHelp:
		return at(r.ground, 5)
	case trackPressure:
		y := r.rung(m.rank)
		if m.moment() {
			return m.x - 5, r.ground, m.x + 5, y + 6
		}
		return at(y, 6)
	case trackDistractions, trackHidden:
		return at((r.top+r.bottom)/2, (r.bottom-r.top)/2)
	case trackContext:
		return at(r.contextAt(m.lane), 6)
	}
	return at(r.signs, 7)
}

// behind says in which order links lie on each other: what is behind others comes
// first, moments come last.
var behind = []track{trackHidden, trackDistractions, trackContext, trackOthers, trackHeel, trackStays, trackOffTask, trackErrors,
	trackBreaks, trackHelp, trackPressure, trackSigns, trackMoves, trackRewards, trackCues, trackAnswers}

// links lays a link over each event, to the desk at its start. They are for the
// pointer alone: out of the tab order and hidden from readers of the screen, for
// whom the list of events has them.
func (p *stripPen) links(href string, words func(*stripItem) string) {
	for _, t := range behind {
		_, groups := marksBy(p, t, func(i *stripItem) annotate.Role { return i.role })
		for _, role := range annotate.Roles() {
			for _, m := range groups[role] {
				x0, y0, x1, y1 := p.reach(m)
				x0, x1 = max(x0, 0), min(x1, p.rows.width)
				y0, y1 = max(y0, 0), min(y1, p.rows.height)
				if x1 <= x0 || y1 <= y0 {
					continue
				}
				p.body.WriteString(`<a href="` + html.EscapeString(deskAt(href, m.start)) + `" tabindex="-1"><title>` + escape(words(m.stripItem)) + `</title>`)
				p.body.WriteString(`<rect class="af-reach" fill="none" pointer-events="all" x="` + decimal(x0) + `" y="` + decimal(y0) +
					`" width="` + decimal(x1-x0) + `" height="` + decimal(y1-y0) + `"/></a>` + "\n")
			}
		}
	}
}

// deskAt returns the address of the desk at a time: BASE#t=35.604.
func deskAt(base string, t annotate.Micros) string {
	seconds := strings.TrimRight(strings.TrimRight(timeSeconds(t), "0"), ".")
	return base + "#t=" + seconds
}
