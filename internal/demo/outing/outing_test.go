package outing

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
)

func TestSameSeedSameOuting(t *testing.T) {
	for _, o := range Clips() {
		if diff := cmp.Diff(Play(o), Play(o)); diff != "" {
			t.Errorf("%s differs from itself:\n%s", o.Name, diff)
		}
	}
}

// What the log says about the place at the leg is what the pictures show, by a
// second reckoning from the places of handler and dog alone.
func TestTruthIsWhatIsSeen(t *testing.T) {
	for _, o := range Clips() {
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
			brush := false // a turn not long ago: touching the leg is no error yet
			for _, e := range run.Truth {
				since := float64(k)/Rate - e.Start.Seconds()
				brush = brush || e.Code == "turn" && since >= 0 && since < 1.3
			}
			// A turn back to a handler who faces along X.
			sin, cos := math.Sincos(-f.Handler.Heading)
			dx, dz := f.Dog.At.X-f.Handler.At.X, f.Dog.At.Z-f.Handler.At.Z
			ahead, beside := dx*cos-dz*sin-0.05, dx*sin+dz*cos
			if o.Dog == Bramble {
				beside = -beside
			}
			beside -= 0.36
			for code, by := range map[string]float64{"ahead": ahead, "behind": -ahead, "wide": beside, "crowding": -beside} {
				begins, ends := 0.145, 0.03
				if code == "crowding" {
					begins, ends = 0.07, 0.01
				}
				if at(code, k) && by < ends {
					t.Errorf("%s, frame %d: %s by %.2f m only", o.Name, k, code, by)
				}
				if !at(code, k) && by > begins && (code != "crowding" || !brush) {
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
	for _, o := range Clips() {
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
