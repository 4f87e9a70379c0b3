package outing

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/exchange"
)

func TestSameSeedSameOuting(t *testing.T) {
	for _, o := range Outings() {
		if diff := cmp.Diff(Play(o), Play(o)); diff != "" {
			t.Errorf("%s differs from itself:\n%s", o.Name, diff)
		}
	}
}

// sum is what the story hangs on.
type sum struct {
	heel, wrong, recall float64 // seconds
	breaks              int
	rank                int // highest on the ladder
	codes               map[string]int
}

func summary(run *Run) sum {
	ranks := map[string]int{}
	for _, rung := range exchange.DefaultBook().Ladder {
		ranks[rung.Channel] = rung.Rank
	}
	s := sum{codes: map[string]int{}}
	book := exchange.DefaultBook()
	for _, e := range run.Truth {
		s.codes[e.Code]++
		length := (e.End - e.Start).Seconds()
		code, _, _ := book.Code(e.Code)
		switch code.Role {
		case annotate.RoleError:
			s.wrong += length
		case annotate.RoleBreak:
			s.breaks++
		case annotate.RolePressure:
			s.rank = max(s.rank, ranks[code.Details.Channel])
		}
		switch e.Code {
		case "ex-heel":
			s.heel += length
		case "ex-recall":
			s.recall += length
		}
	}
	return s
}

// The second outing is better at the leg, in the stays and on the ladder, and
// worse in the recall. Nothing goes beyond the ladder's rank of help.
func TestStory(t *testing.T) {
	var sums []sum
	for _, o := range Outings() {
		run := Play(o)
		if s := run.Length.Seconds(); s < 60 || s > 75 {
			t.Errorf("%s lasts %.1f s, want 60 to 75", o.Name, s)
		}
		sums = append(sums, summary(run))
	}
	first, second := sums[0], sums[1]
	if a, b := first.wrong/first.heel, second.wrong/second.heel; b > 0.8*a || b < 0.05 || a > 0.5 {
		t.Errorf("out of position for %.2f, then %.2f of the time", a, b)
	}
	if first.breaks <= second.breaks || second.breaks == 0 {
		t.Errorf("%d, then %d stays broken", first.breaks, second.breaks)
	}
	if first.rank <= second.rank || first.rank > exchange.DefaultBook().HelpRank {
		t.Errorf("highest rank %d, then %d", first.rank, second.rank)
	}
	if second.recall < 1.5*first.recall {
		t.Errorf("recalls take %.1f, then %.1f s", first.recall, second.recall)
	}
	for _, code := range []string{"behind", "ahead", "wide", "off-task", "halt", "turn", "heard", "no-answer", "help", "voice", "leash-guide", "tone",
		"marker", "praise", "paid", "release", "ex-sit", "ex-down", "ex-place", "ex-free", "broke", "distraction"} {
		if first.codes[code]+second.codes[code] == 0 {
			t.Errorf("nobody ever sees %q", code)
		}
	}
}

// What the log says about the place at the leg is what the pictures show, by a
// second reckoning from the places of handler and dog alone.
func TestTruthIsWhatIsSeen(t *testing.T) {
	for _, o := range Outings() {
		run := Play(o)
		at := func(code string, k int) bool {
			us := annotate.Micros(k) * annotate.Second / Rate
			for _, e := range run.Truth {
				if e.Code == code && e.Start <= us && us < e.End {
					return true
				}
			}
			return false
		}
		unnoticed := map[string]int{} // frames in a row
		for k, f := range run.Frames {
			if !at("ex-heel", k) {
				clear(unnoticed)
				continue
			}
			// A turn back to a handler who faces along X.
			sin, cos := math.Sincos(-f.Handler.Heading)
			dx, dz := f.Dog.At.X-f.Handler.At.X, f.Dog.At.Z-f.Handler.At.Z
			ahead, beside := dx*cos-dz*sin-0.05, dx*sin+dz*cos-0.36
			for code, by := range map[string]float64{"ahead": ahead, "behind": -ahead, "wide": beside} {
				if at(code, k) && by < 0.03 {
					t.Errorf("%s, frame %d: %s by %.2f m only", o.Name, k, code, by)
				}
				if !at(code, k) && by > 0.145 {
					unnoticed[code]++
				} else {
					unnoticed[code] = 0
				}
				if unnoticed[code] > 0.4*Rate {
					t.Errorf("%s, frame %d: %s by %.2f m, and nothing is logged", o.Name, k, code, by)
				}
			}
			if got, want := at("off-task", k), f.Dog.Nose > 0.5; got != want && math.Abs(f.Dog.Nose-0.5) > 0.3 {
				t.Errorf("%s, frame %d: off-task is %v with the nose at %.1f", o.Name, k, got, f.Dog.Nose)
			}
		}
	}
}

// A stay's posture is there from its first instant, until it is broken or ends.
func TestStaysAreSeen(t *testing.T) {
	for _, o := range Outings() {
		run := Play(o)
		for _, e := range run.Truth {
			if !stays[e.Code] {
				continue
			}
			for k := int(math.Ceil(e.Start.Seconds()*Rate)) + 1; float64(k) < e.End.Seconds()*Rate-1; k++ {
				broken := false
				for _, b := range run.Truth {
					now := float64(k) / Rate
					broken = broken || b.Code == "broke" && b.Start.Seconds()-0.1 <= now && now <= b.End.Seconds()+0.1
				}
				d := run.Frames[k].Dog
				there := map[string]bool{"ex-sit": d.Sit > 0.9, "ex-down": d.Down > 0.9, "ex-place": d.At.distance(run.Frames[k].Bed) < 0.3}[e.Code]
				if !there && !broken {
					t.Fatalf("%s, frame %d: %s, but the dog is at sit %.2f, down %.2f", o.Name, k, e.Code, d.Sit, d.Down)
				}
			}
		}
	}
}
