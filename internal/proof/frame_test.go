package proof

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"afterwalk/internal/media/mediatest"
)

// shown is what the page tells of the frame on the screen, and what its pixels say.
type shown struct {
	Pixels      int
	Frame, Time string
}

// The desk names the frame that is shown: by its own keys, forward and back,
// after jumps and after play and pause, in every kind of file. Each frame
// carries its number in its pixels, put there when the file was made.
func TestDeskNamesTheFrameShown(t *testing.T) {
	const jumps = 100
	p := start(t)
	browser := newBrowser(t)
	for _, name := range mediatest.Playable() {
		clip := mediatest.Make(t, name)
		reading := p.add(clip.Path)
		t.Run(name, func(t *testing.T) {
			t.Parallel() // most of the time is waiting for the screen
			tab := openDesk(t, newTab(t, browser), p.server.StartURL(), p.url("/desk/"+reading))
			random := rand.New(rand.NewPCG(20260509, uint64(len(name))))
			looks := 0
			// check compares the pixels with what the page says; want < 0 takes any frame.
			check := func(what string, want int) {
				t.Helper()
				looks++
				got := eval[shown](tab, "seen()")
				named := -1
				if _, err := fmt.Sscanf(got.Frame, "frame %d", &named); err != nil {
					t.Errorf("%s: the page says %q", what, got.Frame)
				}
				if got.Pixels-clip.First != named {
					t.Errorf("%s: the page says frame %d, on the screen is %d", what, named, got.Pixels-clip.First)
				}
				if want >= 0 && named != want {
					t.Errorf("%s: frame %d, want %d", what, named, want)
				}
				if named >= 0 && clip.PTS != nil {
					us := int64(clip.PTS[named])
					if label := fmt.Sprintf("%d:%02d.%03d", us/60_000_000, us/1_000_000%60, us/1000%1000); got.Time != label && got.Time != roundedUp(us) {
						t.Errorf("%s: the page says %s, frame %d is shown from %s", what, got.Time, named, label)
					}
				}
			}
			for i := range jumps {
				k := random.IntN(clip.Frames)
				tab.goTo(k)
				check(fmt.Sprintf("jump to %d", k), k)
				tab.press(".")
				check(fmt.Sprintf("a frame on from %d", k), min(k+1, clip.Frames-1))
				tab.press(",")
				check("and back", max(min(k+1, clip.Frames-1)-1, 0))
				if i%10 == 9 {
					tab.press(" ")
					eval[any](tab, fmt.Sprintf("new Promise(r => setTimeout(r, %d))", 100+random.IntN(200)))
					tab.press(" ")
					check("after play and pause", -1)
				}
			}
			t.Logf("%s: %d looks", name, looks)
		})
	}
}

// roundedUp is the label of a time rounded to the nearest millisecond.
func roundedUp(us int64) string {
	us += 500
	return fmt.Sprintf("%d:%02d.%03d", us/60_000_000, us/1_000_000%60, us/1000%1000)
}
