package measure

import (
	"slices"
	"sort"

	"afterwalk/annotate"
)

// step is a pressure event with its place on the ladder, or a reminder with
// voice's.
type step struct {
	*event
	scale string
	rank  int
	level *float64 // nil: none given
}

// voiceChannel is the channel of spoken pressure and of reminders.
const voiceChannel = "voice"

// findPressed returns the pressure events that have a beginning, in order.
func findPressed(pressure []event, book *annotate.Codebook) []step {
	list := make([]step, 0, len(pressure))
	for i := range pressure {
		e := &pressure[i]
		if e.cutLeft {
			continue
		}
		rung, _ := book.Rung(e.channel(), e.device())
		list = append(list, step{e, annotate.Scale(e.channel(), e.device()), rung.Rank, e.level()})
	}
	return list
}

// grounds is which pressure belongs to no occasion, and why.
type grounds struct{ afterRight, steadying, noGround []*event }

// assign gives the pressure events and reminders of one reading to their
// occasions, as steps in order, and returns the pressure that belongs to none.
//
// A pressure event belongs to the occasion in which it starts (see finder). In
// none, it is early for the first one that starts at most early after it, or, of
// a span, before its end. Otherwise it is after_right if a resolved occasion
// ended at most late before it or at that instant; else steadying if it starts in
// a stay; else it has no ground.
func (c *clip) assign(reminders []reminder) grounds {
	var (
		g        grounds
		find     = newFinder(c.occasions)
		byStart  = slices.Clone(c.occasions)
		rightAt  []annotate.Micros               // ends of resolved occasions
		reminded = func(until annotate.Micros) { // a reminder goes before pressure of the same instant
			for ; len(reminders) > 0 && reminders[0].cue.start() <= until; reminders = reminders[1:] {
				r := reminders[0]
				r.occasion.steps = append(r.occasion.steps, c.reminderStep(r.cue))
			}
		}
	)
	sortByStart(byStart)
	for _, o := range byStart {
		if o.resolved {
			rightAt = append(rightAt, o.span.End)
		}
	}
	slices.Sort(rightAt)
	for _, p := range c.pressed {
		reminded(p.start())
		o := find.at(p.start())
		if o == nil {
			o = earlyFor(p.event, byStart, c.rules.Early)
		}
		switch {
		case o != nil:
			o.steps = append(o.steps, p)
		case endedWithin(rightAt, p.start(), c.rules.Late):
			g.afterRight = append(g.afterRight, p.event)
		case c.stayAt(p.start()):
			g.steadying = append(g.steadying, p.event)
		default:
			g.noGround = append(g.noGround, p.event)
		}
	}
	reminded(c.window.End)
	return g
}

// reminderStep is the step that a reminder makes: on scale voice, with the rank
// of voice or 1 without one, and no level.
func (c *clip) reminderStep(cue *event) step {
	rank := 1
	if rung, ok := c.r.Book.Rung(voiceChannel, ""); ok {
		rank = rung.Rank
	}
	return step{cue, voiceChannel, rank, nil}
}

// earlyFor returns the occasion that pressure in none is early for, nil if there
// is none. A span without an end is on to the end of the window and there too.
func earlyFor(p *event, byStart []*occasion, early annotate.Micros) *occasion {
	i := sort.Search(len(byStart), func(i int) bool { return byStart[i].span.Start > p.start() })
	if i == len(byStart) {
		return nil
	}
	o := byStart[i]
	if o.span.Start <= p.start()+early || p.isSpan() && (p.noEnd || o.span.Start < p.span.End) {
		return o
	}
	return nil
}

// endedWithin reports whether one of the ends, in order, lies in [t − late, t].
func endedWithin(ends []annotate.Micros, t, late annotate.Micros) bool {
	i := sort.Search(len(ends), func(i int) bool { return ends[i] > t })
	return i > 0 && ends[i-1] >= t-late
}

// moves returns how each step but the first compares with the one before.
func moves(steps []step) []string {
	list := []string{}
	for i := 1; i < len(steps); i++ {
		list = append(list, move(steps[i-1], steps[i]))
	}
	return list
}

// move is up for a higher rank, or a higher level on the same scale; down
// likewise; else same. A missing level equals any.
func move(from, to step) string {
	levels := from.scale == to.scale && from.level != nil && to.level != nil
	switch {
	case to.rank > from.rank, to.rank == from.rank && levels && *to.level > *from.level:
		return "up"
	case to.rank < from.rank, to.rank == from.rank && levels && *to.level < *from.level:
		return "down"
	}
	return "same"
}
