package chart

import (
	"fmt"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/exchange"
)

// coding is a reading with the default book: "code start end note", seconds, no
// end for a moment, "-" for an open one.
func coding(length float64, events ...annotate.Event) *annotate.Reading {
	r := &annotate.Reading{
		ID: "r1", Reader: "I. Varga", Dog: annotate.Dog{Name: "Tansy"}, Book: exchange.DefaultBook(),
		Clip:   annotate.Clip{File: "walk.mp4", Duration: annotate.FromSeconds(length)},
		Window: annotate.Span{End: annotate.FromSeconds(length)}, Finished: true, Events: events,
	}
	for i := range r.Events {
		r.Events[i].ID = fmt.Sprintf("e%02d", i)
	}
	annotate.SortEvents(r.Events)
	return r
}

func atTime(code string, s float64) annotate.Event { return during(code, s, s) }

func during(code string, from, to float64) annotate.Event {
	return annotate.Event{Code: code, Start: annotate.FromSeconds(from), End: annotate.FromSeconds(to)}
}

func since(code string, from float64) annotate.Event {
	return annotate.Event{Code: code, Start: annotate.FromSeconds(from), End: annotate.FromSeconds(from), Open: true}
}

func with(e annotate.Event, d annotate.Details, note string) annotate.Event {
	e.Details, e.Note = d, note
	return e
}

// walk has something of everything that a strip draws.
func walk() *annotate.Reading {
	return coding(90,
		during("long-line", 0, 60), during("hands-trainer", 0, 90),
		atTime("name", 1), atTime("heel", 2), atTime("heard", 2.4), atTime("did", 3.5), during("ex-heel", 3.5, 30),
		during("behind", 6, 9), atTime("voice", 7), during("ahead", 12, 13.5), during("wide", 15, 18), during("crowding", 20, 22), during("off-task", 16.5, 21),
		with(atTime("turn", 5), annotate.Details{Kind: "about"}, ""), with(atTime("turn", 11), annotate.Details{Kind: "left"}, ""),
		with(atTime("pace", 14), annotate.Details{Kind: "fast"}, ""), atTime("halt", 29), atTime("did", 30),
		with(atTime("stim", 17), annotate.Details{Level: new(9.0), Taps: new(2), Device: "Collar A"}, ""), during("leash-guide", 20.5, 22.4),
		during("ex-sit", 30, 42), during("broke", 34, 36), atTime("help", 34.5), atTime("praise", 42), atTime("release", 42.5),
		during("ex-free", 43, 50), during("behind", 44, 46),
		atTime("down", 51), atTime("no-answer", 55), atTime("down", 56), atTime("other", 57), atTime("did", 59), during("ex-down", 59, 75), atTime("broke", 70),
		with(during("distraction", 60, 68), annotate.Details{Kind: "bicycle", DistanceM: new(6.0)}, ""),
		with(atTime("stress", 62), annotate.Details{Kind: "lip lick"}, ""), with(during("stress", 64, 67), annotate.Details{Kind: "panting"}, ""),
		with(atTime("at-ease", 73), annotate.Details{Kind: "loose body"}, ""), atTime("marker", 74), atTime("paid", 75),
		with(atTime("remark", 10), annotate.Details{}, "wind from the lane"),
		atTime("come", 76), during("ex-recall", 76, 80), during("hidden", 80, 86), atTime("come", 87),
	)
}

var strips = map[string]func() Strip{
	"strip-walk":  func() Strip { return Strip{Reading: walk(), ID: "a", Title: "Clip 1", Href: "/desk/r1"} },
	"strip-small": func() Strip { return Strip{Reading: walk(), ID: "b", Width: 480} },
	"strip-part": func() Strip {
		return Strip{Reading: walk(), ID: "c", From: annotate.FromSeconds(7.5), To: annotate.FromSeconds(35)}
	},
	"strip-empty": func() Strip { return Strip{Reading: coding(10), ID: "d"} },
	"strip-open": func() Strip {
		r := coding(60, since("ex-heel", 2), since("behind", 20), since("distraction", 10), since("leash-guide", 22), since("on-leash", 0), since("hidden", 28))
		r.Side, r.Finished, r.Window = "right", false, annotate.Span{Start: annotate.Second, End: 30 * annotate.Second}
		return Strip{Reading: r, ID: "e", Width: 760}
	},
	"strip-hostile": func() Strip {
		r := walk()
		for i := range r.Events {
			r.Events[i].Note = hostile
			r.Events[i].Details.Kind = hostile
			r.Events[i].Details.Device = hostile
		}
		for i := range r.Book.Lanes {
			r.Book.Lanes[i].Name = hostile + fmt.Sprint(i)
			for k := range r.Book.Lanes[i].Codes {
				r.Book.Lanes[i].Codes[k].Name = hostile
			}
		}
		return Strip{Reading: r, ID: `"><script>`, Title: hostile, Href: `/desk/"><b>`}
	},
}

// measured adds the measures of a strip's reading.
func measured(t testing.TB, s Strip) Strip {
	t.Helper()
	m, err := measure.Of([]*annotate.Reading{s.Reading})
	if err != nil {
		t.Fatal(err)
	}
	s.Measures = m
	return s
}
