package outing

import (
	"slices"
	"testing"
	"time"

	"afterwalk/annotate"
)

// told is what the story hangs on: one outing's numbers.
type told struct {
	out, recall float64 // share of heel work; seconds of the slowest recall
	broken      int
	levels      []float64
	codes       map[string]bool
}

func tell(o Outing) told {
	all := Tally{}
	s := told{codes: map[string]bool{}}
	for _, c := range o.Clips {
		run := Play(c)
		all.Add(Count(run.Truth, run.Length))
		for _, e := range run.Truth {
			s.codes[e.Code] = true
			if e.Details.Level != nil {
				s.levels = append(s.levels, *e.Details.Level)
			}
		}
	}
	s.out = all.Out / max(all.Heel, 1e-9)
	for _, stay := range all.Stays {
		s.broken += len(stay.Breaks)
	}
	for _, trial := range all.Trials {
		if trial.Command == "come" {
			s.recall = max(s.recall, trial.Latency)
		}
	}
	return s
}

func outingsOf(dog string) (list []told) {
	for _, o := range Outings() {
		if o.Dog == dog {
			list = append(list, tell(o))
		}
	}
	return list
}

// The clips are as many and as long as a demo wants: eight outings in six weeks,
// three of them with two clips, two dogs, two handlers, three venues.
func TestCalendar(t *testing.T) {
	outings := Outings()
	seen := map[string]int{}
	two := 0
	for _, o := range outings {
		for _, what := range []string{o.Dog, o.Handler, o.Venue} {
			seen[what]++
		}
		if len(o.Clips) == 2 {
			two++
		}
		if o.Plan == "" || o.Notes == "" || o.Line == "" {
			t.Errorf("%s lacks a plan, notes or the line", o.Clips[0].Name)
		}
	}
	if len(outings) != 8 || two != 3 || len(seen) != 7 {
		t.Errorf("%d outings, %d with two clips, %v", len(outings), two, seen)
	}
	if span := outings[7].Clips[0].At.Sub(outings[0].Clips[0].At); span < 41*24*time.Hour || span > 43*24*time.Hour {
		t.Errorf("the outings span %v, want six weeks", span)
	}
	for i, c := range Clips() {
		length := Play(c).Length
		if long := i == 0 || c.Name == "mill-meadow"; length < 30*annotate.Second || length > 46*annotate.Second && !long || length > 75*annotate.Second {
			t.Errorf("%s lasts %.1f s", c.Name, length.Seconds())
		}
	}
}

// Tansy gets better at the leg and in her stays, but for a bad day, and her recall
// stands still.
func TestTansy(t *testing.T) {
	s := outingsOf(Tansy)
	if !(s[1].out < 0.8*s[0].out && s[2].out > s[1].out && s[3].out < 0.6*s[1].out) {
		t.Errorf("out of position for %.2f, %.2f, %.2f, %.2f of the time", s[0].out, s[1].out, s[2].out, s[3].out)
	}
	if !(s[0].broken > s[1].broken && s[2].broken > s[1].broken && s[3].broken == 0) {
		t.Errorf("%d, %d, %d, %d breaks", s[0].broken, s[1].broken, s[2].broken, s[3].broken)
	}
	for i, o := range s[1:] {
		if o.recall < 1.5*s[0].recall {
			t.Errorf("her recall on outing %d took %.1f s, the first %.1f s", i+2, o.recall, s[0].recall)
		}
	}
	for _, o := range s {
		if len(o.levels) > 0 {
			t.Errorf("levels %v", o.levels)
		}
	}
}

// Bramble comes sooner, with ever lower levels and at last with none; at the leg
// she stays uneven.
func TestBramble(t *testing.T) {
	s := outingsOf(Bramble)
	highest := 21.0
	for i, o := range s[:3] {
		if len(o.levels) == 0 || slices.Max(o.levels) >= highest || slices.Max(o.levels) > 4 {
			t.Errorf("levels %v on outing %d, after %v", o.levels, i+1, highest)
		}
		highest = slices.Max(o.levels)
	}
	if len(s[3].levels) > 0 || s[3].codes["tone"] {
		t.Errorf("the collar was used on the last outing: %v", s[3].levels)
	}
	if s[3].recall > 0.5*s[0].recall {
		t.Errorf("recalls take %.1f, at last %.1f s", s[0].recall, s[3].recall)
	}
	if s[2].out < s[1].out {
		t.Errorf("out of position for %.2f, then %.2f of the time", s[1].out, s[2].out)
	}
}

// Whatever the desk can show happens somewhere, the handlers' own slips too.
func TestAllIsSeen(t *testing.T) {
	codes := map[string]bool{}
	for _, o := range Outings() {
		for code := range tell(o).codes {
			codes[code] = true
		}
	}
	for _, code := range []string{"behind", "ahead", "wide", "crowding", "off-task", "halt", "turn", "heard", "no-answer", "help", "voice", "leash-guide",
		"leash-pop", "body", "tone", "stim", "marker", "praise", "paid", "release", "ex-sit", "ex-down", "ex-place", "ex-free", "ex-recall", "broke",
		"distraction", "stress", "at-ease", "long-line", "dragging"} {
		if !codes[code] {
			t.Errorf("nobody ever sees %q", code)
		}
	}
	held, soon := false, false
	for _, c := range Clips() {
		log := Play(c).Truth
		for i, e := range log {
			switch e.Code {
			case "sit": // again less than two seconds after it was said
				for _, b := range log[:i] {
					soon = soon || b.Code == "sit" && e.Start-b.Start < 2*annotate.Second
				}
			case "leash-guide": // for more than a second after the dog was right
				right := annotate.Micros(0)
				for _, x := range log {
					if slices.Contains(lapses, x.Code) && x.Start < e.End {
						right = max(right, x.End)
					}
				}
				held = held || e.End-right > annotate.Second
			}
		}
	}
	if !held || !soon {
		t.Errorf("a line held on after the dog was right: %v; a cue repeated too soon: %v", held, soon)
	}
}

// Pressure always has a ground: an error, a broken stay, or a cue that is open.
// What is held may go on after it.
func TestPressureHasGrounds(t *testing.T) {
	for _, c := range Clips() {
		run := Play(c)
		trials := Count(run.Truth, run.Length).Trials
		for _, e := range run.Truth {
			if channels[e.Code] == "" {
				continue
			}
			on := during(run.Truth, e.Start.Seconds()+tick/2)
			ground := on["broke"] || slices.ContainsFunc(lapses, func(l string) bool { return on[l] })
			for _, trial := range trials {
				ground = ground || trial.At <= e.Start && (!trial.Did || (e.Start-trial.At).Seconds() < trial.Latency)
			}
			if !ground {
				t.Errorf("%s: %s at %.2f s has no ground", c.Name, e.Code, e.Start.Seconds())
			}
		}
	}
}
