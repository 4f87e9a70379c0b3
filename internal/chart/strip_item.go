package chart

import (
	"cmp"
	"math"
	"regexp"
	"slices"

	"afterwalk/annotate"
)

// stripItem is an event made ready for drawing: its code looked up, its details
// filled in, its texts clean.
type stripItem struct {
	id, name, lane                                  string
	role                                            annotate.Role
	kind, command, result, posture, channel, device string
	called                                          string // pressure beside its level: "leash" of "leash, steady"
	level, distance                                 *float64
	taps                                            int
	rank                                            int // of pressure on the ladder, from 1; 0 otherwise
	helps                                           bool
	note                                            string
	start, end                                      annotate.Micros // an open one ends where the window does
	open                                            bool
}

func (i *stripItem) moment() bool           { return !i.open && i.end <= i.start }
func (i *stripItem) span() annotate.Span    { return annotate.Span{Start: i.start, End: i.end} }
func (i *stripItem) isStep() bool           { return isStep(i.kind) }
func (i *stripItem) release() bool          { return i.role == annotate.RoleRelease || i.command == "release" }
func (i *stripItem) in(s annotate.Set) bool { return s.Has(i.start) }

// isStep reports whether an error of that kind steps the dog's line off.
func isStep(kind string) bool { return kind == "ahead" || kind == "behind" }

// ladder is what drawing needs of a book beside its codes.
type ladder struct {
	book    *annotate.Codebook
	rankMax int
}

func newLadder(book *annotate.Codebook) ladder {
	l := ladder{book: book, rankMax: 1}
	for _, g := range book.Ladder {
		l.rankMax = max(l.rankMax, g.Rank)
	}
	return l
}

// rank returns the rank of a channel, or of one device of it if that has a rung of
// its own; 1 if the ladder has neither.
func (l ladder) rank(channel, device string) int {
	if g, ok := l.book.Rung(channel, device); ok && g.Rank > 0 {
		return g.Rank
	}
	return 1
}

// shortName is what of a code's name is left out where room is scarce.
var shortName = regexp.MustCompile(`\s*[,(].*$`)

// stripItems returns the events of a reading in order of start; those of codes
// that its book doesn't have are left out.
func stripItems(r *annotate.Reading) []*stripItem {
	l := newLadder(r.Book)
	type entry struct {
		code annotate.Code
		lane int
		ok   bool
	}
	known := map[string]entry{}
	items := make([]*stripItem, 0, len(r.Events))
	for _, e := range r.Events {
		c, seen := known[e.Code]
		if !seen {
			c.code, c.lane, c.ok = r.Book.Code(e.Code)
			known[e.Code] = c
		}
		if !c.ok {
			continue
		}
		d := e.Details.Over(c.code.Details)
		i := &stripItem{
			id: e.ID, name: clean(cmp.Or(c.code.Name, c.code.ID)), lane: r.Book.Lanes[c.lane].Name, role: c.code.Role,
			kind: clean(d.Kind), command: clean(d.Command), result: d.Result, posture: clean(d.Posture),
			level: finite(d.Level), distance: finite(d.DistanceM), note: clean(e.Note),
			start: e.Start, end: max(e.End, e.Start), open: e.Open,
		}
		if e.Open {
			i.end = max(r.Window.End, e.Start)
		}
		if d.Taps != nil {
			i.taps = *d.Taps
		}
		if c.code.Role == annotate.RolePressure {
			i.channel, i.device = clean(d.Channel), clean(d.Device)
			if i.called = i.channel; d.Channel == c.code.Details.Channel {
				i.called = shortName.ReplaceAllString(i.name, "")
			}
			i.rank = l.rank(d.Channel, d.Device)
			i.helps = i.rank <= r.Book.HelpRank
		}
		items = append(items, i)
	}
	slices.SortStableFunc(items, func(a, b *stripItem) int { return cmp.Compare(a.start, b.start) })
	return items
}

// finite returns x unless it is no finite number.
func finite(x *float64) *float64 {
	if x == nil || math.IsNaN(*x) || math.IsInf(*x, 0) {
		return nil
	}
	return x
}
