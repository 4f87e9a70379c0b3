package measure

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"afterwalk/annotate"
)

// The commands that the rules of trials know by name.
const (
	nameCommand    = "name"
	stayCommand    = "stay"
	releaseCommand = "release"
	haltPrefix     = "halt:"
)

// closing says what closed a trial.
type closing int

const (
	byDid closing = iota
	byWindow
	byCue // another command, or another halt's
	byRelease
	byHidden
	byEnd // of the reading's window
)

// trial is a cue or a halt and what came of it.
type trial struct {
	event   *event // the cue or halt
	asked   string // its command
	span    annotate.Span
	closed  closing
	first   string // result of the first answer, "" if there was none
	heard   *annotate.Micros
	repeats int

	limit   annotate.Micros // where it closes if nothing does before
	limitBy closing         // byWindow or byHidden

	pressure []step // belonging to its occasion, or starting while it was open
	grade    Grade  // as if everything had been coded
}

// command returns the trial's name in lists: its command, with "halt:" before it
// for a halt.
func (t *trial) command() string {
	if t.event.code.Role == annotate.RoleHalt {
		return haltPrefix + t.asked
	}
	return t.asked
}

// did reports whether the dog did what was asked; the latency is then the length
// of the trial's span.
func (t *trial) did() bool { return t.closed == byDid }

// reminder is a cue for the running exercise's own command in an occasion of it.
type reminder struct {
	cue      *event
	occasion *occasion
}

// hearing runs through the cues of one reading and what closes their trials.
type hearing struct {
	c         *clip
	open      []*trial // in order of opening; one, unless the house lets name or stay open trials
	trials    []*trial // in order of opening
	reminders []reminder
	occasions *finder // of error, off_task and break
}

// hear finds the trials and reminders of c.
//
// At one instant the end of an answer window comes first, then answers, releases,
// cues, halts, the start of hidden time, what was heard, and the window's end:
// so an answer at the answer window's end is too late, one at the window's end
// counts, and one at the instant of its own cue answers the cue before.
func (c *clip) hear(occasions []*occasion) ([]*trial, []reminder) {
	h := hearing{c: c, occasions: newFinder(occasions)}
	for _, e := range c.inOrder(annotate.RoleAnswer, annotate.RoleRelease, annotate.RoleCue, annotate.RoleHalt, annotate.RoleHeard) {
		h.expire(e.start(), e.code.Role)
		switch e.code.Role {
		case annotate.RoleAnswer:
			h.answer(e)
		case annotate.RoleRelease:
			h.closeAll(e.start(), byRelease)
		case annotate.RoleCue:
			h.cue(e)
		case annotate.RoleHalt:
			h.halt(e)
		case annotate.RoleHeard:
			for _, t := range h.open {
				if t.heard == nil {
					t.heard = new(e.start() - t.span.Start)
				}
			}
		}
	}
	h.expire(c.window.End, annotate.RoleRemark)
	h.closeAll(c.window.End, byEnd)
	return h.trials, h.reminders
}

// inOrder returns the moments of some roles, in the order of roles at one
// instant, then of ids.
func (c *clip) inOrder(roles ...annotate.Role) []*event {
	type placed struct {
		*event
		place int
	}
	var all []placed
	for place, role := range roles {
		list := c.events[role]
		for i := range list {
			all = append(all, placed{&list[i], place})
		}
	}
	slices.SortFunc(all, func(a, b placed) int {
		return cmp.Or(cmp.Compare(a.start(), b.start()), cmp.Compare(a.place, b.place), strings.Compare(a.id(), b.id()))
	})
	out := make([]*event, len(all))
	for i, p := range all {
		out[i] = p.event
	}
	return out
}

// expire closes the trials whose limit lies before an event of a role at t.
func (h *hearing) expire(t annotate.Micros, role annotate.Role) {
	afterSpanStart := role == annotate.RoleHeard || role == annotate.RoleRemark
	h.closeIf(func(tr *trial) (annotate.Micros, closing, bool) {
		before := tr.limit < t || tr.limit == t && (tr.limitBy == byWindow || afterSpanStart)
		return tr.limit, tr.limitBy, before
	})
}

// closeIf closes the open trials that when says yes to, at the time and for the
// reason it gives.
func (h *hearing) closeIf(when func(*trial) (annotate.Micros, closing, bool)) {
	h.open = slices.DeleteFunc(h.open, func(t *trial) bool {
		at, why, yes := when(t)
		if yes {
			t.span.End, t.closed = at, why
		}
		return yes
	})
}

func (h *hearing) closeAll(at annotate.Micros, why closing) {
	h.closeIf(func(*trial) (annotate.Micros, closing, bool) { return at, why, true })
}

// closeOthers closes the trials of other commands than c.
func (h *hearing) closeOthers(c string, at annotate.Micros, why closing) {
	h.closeIf(func(t *trial) (annotate.Micros, closing, bool) { return at, why, t.asked != c })
}

func (h *hearing) answer(e *event) {
	result := e.result()
	for _, t := range h.open {
		if t.first == "" {
			t.first = result
		}
	}
	if result == "did" {
		h.closeAll(e.start(), byDid)
	}
}

// cue opens a trial, repeats one, or reminds.
func (h *hearing) cue(e *event) {
	command, at := e.command(), e.start()
	if o := h.reminds(command, at); o != nil {
		h.reminders = append(h.reminders, reminder{e, o})
		h.cueCloses(command, at)
		return
	}
	if command == nameCommand && len(h.open) > 0 {
		h.open[len(h.open)-1].repeats++
		return
	}
	h.cueCloses(command, at)
	if h.c.rules.NoTrial[command] {
		return
	}
	if t := h.openOf(command); t != nil {
		t.repeats++
		return
	}
	h.start(e, command)
}

// cueCloses closes what a cue of a command closes.
func (h *hearing) cueCloses(command string, at annotate.Micros) {
	switch command {
	case nameCommand, stayCommand:
	case releaseCommand:
		h.closeOthers(command, at, byRelease)
	default:
		h.closeOthers(command, at, byCue)
	}
}

// halt opens a trial unless one of its command is open. It repeats none: it is no
// cue.
func (h *hearing) halt(e *event) {
	command := e.command()
	if command == "" || h.c.rules.NoTrial[command] || h.openOf(command) != nil {
		return
	}
	h.closeAll(e.start(), byCue)
	h.start(e, command)
}

// openOf returns the open trial of a command, a cue's or a halt's.
func (h *hearing) openOf(command string) *trial {
	for _, t := range h.open {
		if t.asked == command {
			return t
		}
	}
	return nil
}

// start opens a trial. One that opens in hidden time, its first instant
// included, is closed at once.
func (h *hearing) start(e *event, command string) {
	at := e.start()
	t := &trial{event: e, asked: command, span: annotate.Span{Start: at, End: at}}
	h.trials = append(h.trials, t)
	if h.c.hidden.Has(at) {
		t.closed = byHidden
		return
	}
	t.limit, t.limitBy = at+h.c.rules.AnswerWindow(command), byWindow
	hidden := h.c.hidden
	if i := sort.Search(len(hidden), func(i int) bool { return hidden[i].Start > at }); i < len(hidden) && hidden[i].Start < t.limit {
		t.limit, t.limitBy = hidden[i].Start, byHidden
	}
	h.open = append(h.open, t)
}

// reminds returns the occasion in which a cue of a command at a time is a
// reminder, nil if it is none.
func (h *hearing) reminds(command string, at annotate.Micros) *occasion {
	ex := h.c.exerciseAt(at)
	if ex == nil || ex.command() != command {
		return nil
	}
	return h.occasions.at(at)
}
