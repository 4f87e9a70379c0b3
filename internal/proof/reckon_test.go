package proof

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"testing"
)

// The measures of a script, worked out apart from the program: frame by frame
// over marks of what is to be seen on each, by plain loops. It knows the rules of
// the measures and the book's file, and none of the program's code.

// m is a JSON object.
type m = map[string]any

// fact is an event with what the book says of its code. Times are frames.
type fact struct {
	id                                                string
	code, role, kind, command, result, channel, texts string
	level                                             *float64
	taps                                              *int
	from, to                                          int // equal for a moment
	open                                              bool
	note                                              string
	given                                             bool // the event, not its code, tells the kind
}

// reckoner works out measures.
type reckoner struct {
	us       []int64 // start of each frame, and the end of the last
	facts    []fact  // by start
	ranks    map[string]int
	helpRank int
	hidden   []bool // for each frame, whether the dog can't be seen
	seen     []bool
}

// newReckoner reads the book's file and lays the events of a script over the
// frames of a clip. idOf gives each the id that it is stored under.
func newReckoner(t *testing.T, us []int64, events []wanted, idOf func(wanted) string) *reckoner {
	t.Helper()
	var book struct {
		HelpRank int `json:"help_rank"`
		Ladder   []struct {
			Channel string
			Rank    int
		}
		Lanes []struct {
			Codes []struct {
				ID, Role, Kind, Command, Result, Channel string
				Texts                                    struct{ Coder string }
			}
		}
	}
	text, err := os.ReadFile("../exchange/codebook.json")
	if err == nil {
		err = json.Unmarshal(text, &book)
	}
	if err != nil {
		t.Fatal(err)
	}
	r := &reckoner{us: us, ranks: map[string]int{}, helpRank: book.HelpRank}
	for _, rung := range book.Ladder {
		r.ranks[rung.Channel] = rung.Rank
	}
	for _, w := range events {
		f := fact{id: idOf(w), code: w.code, from: w.from, to: w.to, level: w.details.Level, taps: w.details.Taps, note: w.note}
		if w.to == still {
			f.open, f.to = true, r.frames()
		}
		for _, lane := range book.Lanes {
			for _, c := range lane.Codes {
				if c.ID == w.code {
					f.role, f.kind, f.command, f.result, f.channel, f.texts = c.Role, c.Kind, c.Command, c.Result, c.Channel, c.Texts.Coder
				}
			}
		}
		if f.role == "" {
			t.Fatalf("the book has no code %s", w.code)
		}
		if w.details.Kind != "" {
			f.kind, f.given = w.details.Kind, true
		}
		r.facts = append(r.facts, f)
	}
	slices.SortStableFunc(r.facts, func(a, b fact) int { return a.from - b.from })
	r.hidden = r.paint(func(f fact) bool { return f.role == "hidden" })
	r.seen = not(r.hidden)
	return r
}

func (r *reckoner) frames() int { return len(r.us) - 1 }

// paint marks the frames in which a wanted fact is on.
func (r *reckoner) paint(want func(fact) bool) []bool {
	on := make([]bool, r.frames())
	for _, f := range r.facts {
		if want(f) {
			for k := f.from; k < f.to; k++ {
				on[k] = true
			}
		}
	}
	return on
}

// seconds is how long all the marks are on at once.
func (r *reckoner) seconds(marks ...[]bool) float64 {
	sum := int64(0)
	for k := range r.frames() {
		all := true
		for _, on := range marks {
			all = all && on[k]
		}
		if all {
			sum += r.us[k+1] - r.us[k]
		}
	}
	return float64(sum) / 1e6
}

// between is the time from the start of one frame to that of another, seconds.
func (r *reckoner) between(from, to int) float64 { return float64(r.us[to]-r.us[from]) / 1e6 }

func not(on []bool) []bool {
	out := make([]bool, len(on))
	for k := range on {
		out[k] = !on[k]
	}
	return out
}

func both(a, b []bool) []bool {
	out := make([]bool, len(a))
	for k := range a {
		out[k] = a[k] && b[k]
	}
	return out
}

// interval is a stretch of marked frames [a, b).
type interval struct{ a, b int }

func runs(on []bool) []interval {
	var out []interval
	for k := range on {
		switch {
		case on[k] && (k == 0 || !on[k-1]):
			out = append(out, interval{k, k + 1})
		case on[k]:
			out[len(out)-1].b = k + 1
		}
	}
	return out
}

// sum counts the marked frames of [a, b).
func sum(on []bool, a, b int) int {
	n := 0
	for k := a; k < b; k++ {
		if on[k] {
			n++
		}
	}
	return n
}

// at tells whether a moment at the start of frame k lies in the marks; near also
// takes one where they end.
func at(on []bool, k int) bool   { return k < len(on) && on[k] }
func near(on []bool, k int) bool { return at(on, k) || k > 0 && on[k-1] }

// bout is one time out of position, or off-task.
type bout struct {
	interval
	open, unbegun bool // its end, or its beginning, isn't known
}

// bouts follow section 2 of the measures: gaps of at most half a second close.
func (r *reckoner) bouts(role string) []bout {
	heel := r.paint(func(f fact) bool { return f.role == "exercise" && f.kind == "heel" })
	wrong := both(heel, r.paint(func(f fact) bool { return f.role == role }))
	for _, gap := range runs(not(wrong)) {
		if gap.a == 0 || gap.b == r.frames() || sum(heel, gap.a, gap.b) < gap.b-gap.a {
			continue
		}
		if r.between(gap.a, gap.b) <= 0.5 || sum(r.hidden, gap.a, gap.b) == gap.b-gap.a {
			for k := gap.a; k < gap.b; k++ {
				wrong[k] = true
			}
		}
	}
	var out []bout
	for _, b := range runs(wrong) {
		if sum(r.seen, b.a, b.b) > 0 {
			out = append(out, bout{interval: b, open: !at(heel, b.b) || near(r.hidden, b.b), unbegun: near(r.hidden, b.a)})
		}
	}
	return out
}

func (r *reckoner) heel() m {
	heel := both(r.seen, r.paint(func(f fact) bool { return f.role == "exercise" && f.kind == "heel" }))
	wrong := r.paint(func(f fact) bool { return f.role == "error" })
	off := r.paint(func(f fact) bool { return f.role == "off_task" })
	kinds := m{}
	for _, k := range []string{"ahead", "behind", "wide", "crowding"} {
		if s := r.seconds(heel, r.paint(func(f fact) bool { return f.role == "error" && f.kind == k })); s > 0 {
			kinds[k] = s
		}
	}
	bouts := r.bouts("error")
	var lengths []life
	longest := 0.0
	for _, b := range bouts {
		longest = max(longest, r.between(b.a, b.b))
		if !b.unbegun {
			lengths = append(lengths, life{exit: r.us[b.b] - r.us[b.a], ends: !b.open})
		}
	}
	kept, lost, out, unknown := map[string]int{}, map[string]int{}, 0, 0
	var recoveries []life
	for _, f := range r.facts {
		if f.role != "turn" || !at(heel, f.from) {
			continue
		}
		inside, after := false, []bout{} // in the three seconds after it
		for _, b := range bouts {
			inside = inside || b.a <= f.from && f.from < b.b
			if b.a >= f.from && r.us[b.a] < r.us[f.from]+3e6 {
				after = append(after, b)
			}
		}
		whole := true // they lie in seen heel work
		for k := f.from; k < r.frames() && r.us[k] < r.us[f.from]+3e6; k++ {
			whole = whole && heel[k]
		}
		switch {
		case inside:
			out++
		case len(after) > 0 && !after[0].unbegun:
			lost[f.kind]++
			recoveries = append(recoveries, life{exit: r.us[after[0].b] - r.us[f.from], ends: !after[0].open})
		case len(after) == 0 && whole:
			kept[f.kind]++
		default:
			unknown++
		}
	}
	byKind, all, n := m{}, 0, 0
	for _, k := range []string{"left", "right", "about"} {
		if kept[k]+lost[k] > 0 {
			byKind[k] = share(kept[k], kept[k]+lost[k])
		}
		all, n = all+kept[k], n+kept[k]+lost[k]
	}
	return m{
		"heel_s": r.seconds(heel), "error_s": r.seconds(heel, wrong), "error_share": r.seconds(heel, wrong) / r.seconds(heel), "by_kind_s": kinds,
		"bouts": len(bouts), "bouts_per_min": rate(len(bouts), r.seconds(heel)/60), "bout_median_s": medianOf(lengths), "bout_max_s": longest,
		"off_task_s": r.seconds(heel, off), "off_task_share": r.seconds(heel, off) / r.seconds(heel), "off_task_bouts": len(r.bouts("off_task")),
		"turns_kept": share(all, n), "turns_by_kind": byKind, "turns_out": out, "turns_unknown": unknown, "recovery_median_s": medianOf(recoveries),
	}
}

func (r *reckoner) stays() m {
	distraction := r.paint(func(f fact) bool { return f.role == "distraction" })
	reminders := r.reminders()
	var stays, held, unaided, unknown, breaks, hiddenBreaks, with, without, broken, n int
	kinds := m{}
	unbroken := make([]bool, r.frames()) // in a stretch
	var ages []life
	for _, s := range r.facts {
		if s.role != "exercise" || s.kind != "stay" && s.kind != "place" {
			continue
		}
		stays++
		aided, own := false, 0
		from := s.from
		stretch := func(to int, ends bool) {
			some := false
			for k := from; k < to; k++ {
				unbroken[k] = true
			}
			for _, part := range runs(r.seen) {
				a, b := max(part.a, from), min(part.b, to)
				if a < b {
					some = true
					ages = append(ages, life{entry: r.us[a] - r.us[from], exit: r.us[b] - r.us[from], ends: ends && b == to})
				}
			}
			if some {
				n++
				if ends && at(r.seen, to-1) {
					broken++
				}
			}
		}
		for _, f := range r.facts {
			if f.from < s.from || f.from >= s.to {
				continue
			}
			switch f.role {
			case "break":
				own++
				breaks++
				count, _ := kinds[f.kind].(int)
				kinds[f.kind] = count + 1
				switch {
				case at(r.hidden, f.from):
					hiddenBreaks++
				case near(distraction, f.from):
					with++
				default:
					without++
				}
				stretch(f.from, true)
				from = min(f.to, s.to)
			case "pressure", "help":
				aided = true
			}
			aided = aided || slices.Contains(reminders, f.id)
		}
		stretch(s.to, false)
		switch {
		case own > 0:
		case sum(r.seen, s.from, s.to) < s.to-s.from:
			unknown++
		default:
			held++
			if !aided {
				unaided++
			}
		}
	}
	points := m{}
	for _, age := range []int64{10, 30, 60, 120, 180} {
		points[fmt.Sprint(age)] = pointAt(ages, age*1e6)
	}
	staying, distracted := r.seconds(unbroken, r.seen), r.seconds(unbroken, r.seen, distraction)
	return m{
		"stays": stays, "stays_held": share(held, stays-unknown), "stays_unaided": share(unaided, stays-unknown), "stays_unknown": unknown,
		"breaks": breaks, "breaks_by_kind": kinds, "breaks_hidden": hiddenBreaks, "stay_s": staying, "breaks_per_min": rate(breaks-hiddenBreaks, staying/60),
		"hold":              m{"n": n, "broken": broken, "median_s": medianOf(ages), "at": points},
		"under_distraction": twoRates(with, distracted/60, without, (staying-distracted)/60),
	}
}
