package chart

import (
	"math"

	"afterwalk/annotate"
)

// stripRows is where each row of a strip lies, top to bottom, in pixels. The
// numbers are those of the strip on the desk (ui/static/js/strip/rows.js), which a
// test holds them to.
type stripRows struct {
	width, height float64
	left, right   float64 // first and last pixel of the plot
	named         bool    // whether there is room for the names of the rows

	axis        float64 // baseline of the times
	ticks       float64 // top of the ticks
	top         float64 // where hatching and blanks begin
	behindLabel float64 // baseline of distraction labels
	cueLabel    float64 // baseline of cue names
	cue         float64 // centre of whiskers and answers
	above       float64 // baseline of labels above the leg
	moves       float64 // centre of the handler's own movements
	leg         float64 // the middle line
	depth       float64 // how far an error steps the dog's line off: depth isn't coded, one for all
	half        float64 // half the height of a stay's bar
	below       float64 // baseline of labels under the leg
	rewards     float64
	ground      float64   // where pressure hangs from
	rungs       []float64 // centre of each rank's rung; the first is the ground
	bottom      float64   // where hatching and blanks end
	signs       float64   // centre of stress signs, ease and remarks; 0 if not drawn
	context     []contextRow
	outside     float64 // 1 if the outside of the dog lies below the leg, -1 above
}

// contextRow is the row of a lane for line or handler.
type contextRow struct {
	lane string
	y    float64
}

// stripDepth is how far ahead and behind step off the leg, pixels.
const stripDepth = 18

// layRows lays the rows out. Ranks above maxRungs share the lowest rung.
func layRows(width float64, rankMax int, side string, signs bool, context []string) stripRows {
	r := stripRows{
		width: width, named: width >= 600,
		axis: 19, ticks: 23, top: 30, behindLabel: 41, cueLabel: 56, cue: 67, above: 87, moves: 83,
		leg: 110, depth: stripDepth, half: 11, below: 141, rewards: 137, ground: 150, outside: -1,
	}
	r.left = 14
	if r.named {
		r.left = 84
		if width >= 960 {
			r.left = 108
		}
	}
	r.right = max(width-14, r.left+1)
	space := 10.0
	if rankMax > 8 {
		space = 8
	}
	r.rungs = []float64{r.ground}
	for k := range min(max(rankMax, 1), maxRungs) {
		r.rungs = append(r.rungs, r.ground+12+space*float64(k))
	}
	r.bottom = r.rungs[len(r.rungs)-1] + 8
	y := r.bottom
	if signs {
		r.signs = y + 13
		y += 23
	}
	for _, lane := range context {
		y += 15
		r.context = append(r.context, contextRow{lane, y - 5})
	}
	r.height = y + 5
	if side == "right" {
		r.outside = 1
	}
	return r
}

// maxRungs bounds the height of a strip.
const maxRungs = 40

// rung returns the centre of a rank's rung.
func (r *stripRows) rung(rank int) float64 { return r.rungs[min(max(rank, 0), len(r.rungs)-1)] }

// contextAt returns the centre of a lane's row, 0 if it has none.
func (r *stripRows) contextAt(lane string) float64 {
	for _, c := range r.context {
		if c.lane == lane {
			return c.y
		}
	}
	return 0
}

// errorBand returns top and bottom of an error's shape: a step by the full depth
// for ahead and behind, a bar clear of the leg for wide, one against it for
// crowding, one across it for a kind of the user's own.
func (r *stripRows) errorBand(kind string) (top, bottom float64) {
	at := func(side, near, far float64) (float64, float64) {
		a, b := r.leg+side*near, r.leg+side*far
		return min(a, b), max(a, b)
	}
	switch kind {
	case "ahead":
		return r.leg - r.depth, r.leg
	case "behind":
		return r.leg, r.leg + r.depth
	case "wide":
		return at(r.outside, 7, 13)
	case "crowding":
		return at(-r.outside, 0, 7)
	}
	return r.leg - 4, r.leg + 4
}

// labelledAbove reports whether the length of an error stands above the leg.
func (r *stripRows) labelledAbove(kind string) bool {
	switch kind {
	case "wide":
		return r.outside < 0
	case "crowding":
		return r.outside > 0
	}
	return kind != "behind"
}

// stripScale is the straight line between the times that are drawn and the
// pixels of the plot.
type stripScale struct {
	from, to    annotate.Micros
	left, right float64
	perMicro    float64
}

func newStripScale(from, to annotate.Micros, left, right float64) stripScale {
	to = max(to, from+1)
	return stripScale{from: from, to: to, left: left, right: right, perMicro: (right - left) / float64(to-from)}
}

// x returns the pixel of a time, kept within the plot.
func (s stripScale) x(t annotate.Micros) float64 {
	return min(max(s.left+float64(t-s.from)*s.perMicro, s.left), s.right)
}

// has reports whether a moment is to be seen.
func (s stripScale) has(t annotate.Micros) bool { return t >= s.from && t <= s.to }

// sharp returns v moved to the middle of a pixel, where hairlines stay sharp.
func sharp(v float64) float64 { return math.Floor(v) + 0.5 }
