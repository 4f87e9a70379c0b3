package outing

import (
	"math"
	"slices"

	"afterwalk/annotate"
)

// Trial is something that was asked for, and what came of it.
type Trial struct {
	Command string // a halt's has "halt:" before it
	At      annotate.Micros
	First   string // did, none, or nothing
	Did     bool
	Latency float64 // seconds, where the dog did
	Repeats int
	Grade   string
	Close   float64 // seconds by which the latency misses the limit of a prompt answer; +Inf where that doesn't decide

	asked            string
	worst            int  // rank of the worst pressure, 0 for none
	helped, answered bool // by something else than pressure; in any way
}

// How long a dog may take, in seconds: to count as prompt, and to count at all.
// They are the default book's: common practice, no source.
var (
	prompt  = map[string]float64{"come": 8, "place": 8, "heel": 4, "sit": 3, "down": 3}
	patient = map[string]float64{"come": 30, "place": 20, "heel": 10, "sit": 10, "down": 10}
	ranks   = map[string]int{"body": 1, "voice": 2, "leash-guide": 2, "tone": 3, "leash-pop": 5, "stim": 6}
)

// helpful is the highest rank that still is help.
const helpful = 3

// trials goes through a log in order. The field never sees two things asked for
// at once.
func trials(log []annotate.Event) []Trial {
	var list []*Trial
	var open *Trial
	shut := func(at annotate.Micros, interrupted bool) {
		if open != nil && !open.Did {
			waited := (at - open.At).Seconds()
			switch {
			case waited >= patient[open.asked]:
				open.Grade = "no-answer"
			case !interrupted:
				open.Grade = "unknown"
			case waited < prompt[open.asked] && !open.answered && open.worst == 0:
				open.Grade = "withdrawn"
			default:
				open.Grade = "no-answer"
			}
		}
		open = nil
	}
	ask := func(e annotate.Event, command, asked string) {
		shut(e.Start, true)
		open = &Trial{Command: command, At: e.Start, First: "nothing", asked: asked, Close: math.Inf(1)}
		list = append(list, open)
	}
	for _, e := range log {
		if open != nil && (e.Start-open.At).Seconds() >= patient[open.asked] {
			shut(e.Start, false)
		}
		switch {
		case prompt[e.Code] > 0 && open != nil && open.asked == e.Code:
			open.Repeats++
		case prompt[e.Code] > 0:
			ask(e, e.Code, e.Code)
		case e.Code == "halt":
			ask(e, "halt:sit", "sit")
		case open == nil:
		case e.Code == "name":
			open.Repeats++
		case e.Code == "no-answer":
			open.answered = true
			if open.First == "nothing" {
				open.First = "none"
			}
		case e.Code == "help":
			open.helped = true
		case ranks[e.Code] > 0:
			open.worst = max(open.worst, ranks[e.Code])
		case e.Code == "did":
			open.done(e.Start)
			open = nil
		case e.Code == "release":
			shut(e.Start, true)
		}
	}
	if open != nil {
		shut(open.At, false)
	}
	out := make([]Trial, len(list))
	for i, t := range list {
		out[i] = *t
	}
	return slices.Clip(out)
}

// done closes a trial in which the dog did as asked.
func (t *Trial) done(at annotate.Micros) {
	t.Did, t.Latency = true, (at - t.At).Seconds()
	if t.First == "nothing" {
		t.First = "did"
	}
	switch {
	case t.worst > helpful:
		t.Grade = "corrected"
	case t.worst > 0 || t.Repeats > 0 || t.helped:
		t.Grade = "helped"
	case t.First != "did":
		t.Grade = "slow"
	default:
		t.Close = math.Abs(t.Latency - prompt[t.asked])
		t.Grade = "clean"
		if t.Latency > prompt[t.asked] {
			t.Grade = "slow"
		}
	}
}
