package annotate

import (
	"fmt"
	"maps"
	"slices"

	"pgregory.net/rapid"
)

// testBook is a small book with a lane of each sort.
func testBook() *Codebook {
	code := func(id string, role Role, shape Shape, d Details) Code {
		return Code{ID: id, Name: id, Role: role, Shape: shape, Details: d}
	}
	return &Codebook{
		Name: "Small book", HelpRank: 1,
		Ladder: []Rung{{Channel: "voice", Rank: 1}, {Channel: "stim", Rank: 2, LevelMax: new(100.0)}},
		Lanes: []Lane{
			{Name: "exercise", Exclusive: true, Codes: []Code{
				code("ex-heel", RoleExercise, ShapeSpan, Details{Kind: "heel", Command: "heel"}),
				code("ex-down", RoleExercise, ShapeSpan, Details{Kind: "stay", Command: "down"}),
			}},
			{Name: "position", Exclusive: true, Codes: []Code{
				code("ahead", RoleError, ShapeSpan, Details{Kind: "ahead"}),
				code("behind", RoleError, ShapeSpan, Details{Kind: "behind"}),
			}},
			{Name: "cue", Codes: []Code{code("down", RoleCue, ShapeMoment, Details{Command: "down"})}},
			{Name: "answer", Codes: []Code{code("did", RoleAnswer, ShapeMoment, Details{Result: "did"})}},
			{Name: "broken", Exclusive: true, Codes: []Code{code("broke", RoleBreak, ShapeEither, Details{})}},
			{Name: "pressure", Codes: []Code{
				code("stim", RolePressure, ShapeMoment, Details{Channel: "stim"}),
				code("held", RolePressure, ShapeSpan, Details{Channel: "stim"}),
			}},
			{Name: "remark", Codes: []Code{code("remark", RoleRemark, ShapeEither, Details{})}},
		},
	}
}

// otherBook is testBook with one code less and one more.
func otherBook() *Codebook {
	b := testBook()
	b.Version = 2
	b.Lanes[6].Codes[0].ID = "note"
	return b
}

func testReading() *Reading {
	return &Reading{
		ID: "r1", Clip: Clip{File: "alder-lane.mp4", Duration: 600}, Dog: Dog{Name: "Tansy"}, Reader: "I. Varga",
		Window: Span{0, 5}, Book: testBook(),
	}
}

// seldom is true one time in n.
func seldom(t *rapid.T, label string, n int) bool {
	return rapid.IntRange(1, n).Draw(t, label) == n
}

// drawEvent draws an event that mostly is valid by itself.
func drawEvent(t *rapid.T, b *Codebook, id string) Event {
	var codes []string
	for _, l := range b.Lanes {
		for _, c := range l.Codes {
			codes = append(codes, c.ID)
		}
	}
	e := Event{ID: id, Code: rapid.SampledFrom(codes).Draw(t, "code"), Start: Micros(rapid.IntRange(0, 590).Draw(t, "start"))}
	e.End = e.Start
	if c, _, _ := b.Code(e.Code); c.Shape == ShapeSpan || c.Shape == ShapeEither {
		e.End += Micros(rapid.IntRange(1, 12).Draw(t, "length"))
		e.Open = seldom(t, "open", 8)
	}
	if rapid.Bool().Draw(t, "more") {
		e.Details.Level = new(float64(rapid.IntRange(0, 100).Draw(t, "level")))
		e.Details.Extra = map[string]string{"who knows": "1"}
	}
	if seldom(t, "wrong", 25) {
		switch rapid.IntRange(0, 5).Draw(t, "how") {
		case 0:
			e.Code = "no such code"
		case 1:
			e.Start = -1
		case 2:
			e.End = 601
		case 3:
			e.End = e.Start - 1
		case 4:
			e.Details.Level = new(-1.0)
		case 5:
			e.Open = true
		}
	}
	return e
}

// drawEdit draws an edit of r: puts, removals and facts, mostly by the revisions
// that r has.
func drawEdit(t *rapid.T, r *Reading, id string) Edit {
	e := Edit{ID: id, Base: r.Revision}
	was := func(now *Event) int64 {
		if now == nil || seldom(t, "stale", 25) {
			return 0
		}
		return now.Rev
	}
	most := 3
	if seldom(t, "bulk", 6) {
		most = 15 // many at once are checked another way
	}
	touched := map[string]bool{}
	for range rapid.IntRange(0, 15).Draw(t, "events") {
		id := fmt.Sprintf("e%d", rapid.IntRange(0, 29).Draw(t, "id"))
		if touched[id] {
			continue // each once; "twice" below breaks that on purpose
		}
		touched[id] = true
		now := eventByID(r, id)
		switch {
		case now != nil && seldom(t, "remove", 3):
			e.Remove = append(e.Remove, Ref{ID: id, Was: was(now)})
		case now != nil && now.Open:
			p := Put{Event: *now, Was: was(now)}
			p.Event.Open, p.Event.End = false, p.Event.Start+Micros(rapid.IntRange(-2, 5).Draw(t, "length"))
			e.Put = append(e.Put, p)
		case len(e.Put) < most:
			e.Put = append(e.Put, Put{Event: drawEvent(t, r.Book, id), Was: was(now)})
		}
	}
	if seldom(t, "twice", 40) && len(e.Put) > 0 {
		e.Remove = append(e.Remove, Ref{ID: e.Put[0].Event.ID})
	}
	if seldom(t, "reach", 3) {
		e.Reach = new(Micros(rapid.IntRange(-5, 700).Draw(t, "to")))
	}
	if seldom(t, "set", 4) {
		e.Set = drawFacts(t)
	}
	return e
}

func drawFacts(t *rapid.T) *Facts {
	var f Facts
	switch rapid.IntRange(0, 6).Draw(t, "fact") {
	case 0, 1:
		f.Window = &Span{Micros(rapid.IntRange(-1, 40).Draw(t, "start")), Micros(rapid.IntRange(30, 620).Draw(t, "end"))}
	case 2:
		f.Chosen = new(rapid.SampledFrom([]string{"", "whole", "picked", "by lot"}).Draw(t, "how"))
	case 3:
		f.Coded = new(rapid.SampledFrom([][]string{nil, {}, {"cue"}, {"nowhere"}}).Draw(t, "lanes"))
	case 4:
		f.Finished = new(rapid.Bool().Draw(t, "is"))
	case 5:
		f.Finished, f.Window = new(true), &Span{0, 600}
	case 6:
		f.Book = rapid.SampledFrom([]*Codebook{testBook(), otherBook()}).Draw(t, "which")
	}
	return &f
}

// deepCopy copies a reading as far as an edit could possibly reach.
func deepCopy(r *Reading) *Reading {
	c := *r
	c.Coded = slices.Clone(r.Coded)
	c.Book = deepCopyBook(r.Book)
	c.Events = slices.Clone(r.Events)
	for i, e := range c.Events {
		if e.Details.Level != nil {
			c.Events[i].Details.Level = new(*e.Details.Level)
		}
		c.Events[i].Details.Extra = maps.Clone(e.Details.Extra)
	}
	c.History = NewHistory(r.History.Journal.Rows())
	c.History.Done = slices.Clone(r.History.Done)
	c.History.Undone = slices.Clone(r.History.Undone)
	return &c
}

func deepCopyBook(b *Codebook) *Codebook {
	c := *b
	c.Ladder = slices.Clone(b.Ladder)
	c.Lanes = slices.Clone(b.Lanes)
	for i, l := range c.Lanes {
		c.Lanes[i].Codes = slices.Clone(l.Codes)
	}
	return &c
}
