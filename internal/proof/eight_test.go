package proof

import (
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"afterwalk/internal/media/mediatest"
)

// heavyClip makes 40 s of 20 Mbit/s: far more than a browser reads ahead, so that
// what it doesn't want yet stays in the connections.
func heavyClip(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "heavy.mp4")
	out, err := exec.Command(mediatest.Tools(t).FFmpeg, "-v", "error", "-f", "lavfi", "-i", "testsrc2=s=320x180:r=30:d=40",
		"-c:v", "libx264", "-preset", "ultrafast", "-g", "30", "-b:v", "20M", "-minrate", "20M", "-maxrate", "20M", "-bufsize", "10M",
		"-x264-params", "nal-hrd=cbr:filler=1", "-movflags", "+faststart", path).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return path
}

// A browser opens six connections to one host. Eight desks at work, each with a
// film that it is reading, still save every key and hear of
// what is changed elsewhere.
func TestEightPages(t *testing.T) {
	const pages = 8
	p := start(t)
	first := p.add(heavyClip(t))
	clip, err := p.lib.ReadingClip(t.Context(), first)
	if err != nil {
		t.Fatal(err)
	}
	browser := newBrowser(t)
	readings, tabs := []string{first}, []*page{p.desk(browser, first)}
	for range pages - 1 {
		id, err := p.lib.NewReading(t.Context(), clip, "I. Varga")
		if err != nil {
			t.Fatal(err)
		}
		readings = append(readings, id)
		tabs = append(tabs, p.desk(newTab(t, browser), id))
	}
	for _, tab := range tabs {
		tab.watchEdits()
		tab.press(" ")
		tab.until("desk.player.media_us > 500000")
		tab.press(" ")
	}
	// Everybody presses at once, first with all films at rest, read ahead as far as
	// the browser likes; then with half of them playing.
	together := func(keys string) {
		for _, key := range keys {
			var pressing sync.WaitGroup
			for _, tab := range tabs {
				pressing.Go(func() { tab.press(string(key)) })
			}
			pressing.Wait()
		}
		for _, tab := range tabs {
			tab.rest()
		}
	}
	together("mp")
	for i := range pages / 2 {
		tabs[2*i].press(" ")
	}
	together("yhz")
	var took []float64
	for i, tab := range tabs {
		acks := eval[[]ack](tab, "acked")
		for _, a := range acks {
			took = append(took, a.MS)
		}
		r := p.reading(readings[i])
		codes := map[string]int{}
		for _, e := range r.Events {
			codes[e.Code]++
		}
		for _, code := range []string{"marker", "praise", "turn", "halt", "sit"} {
			if codes[code] != 1 {
				t.Errorf("page %d: %d events %s, want 1", i, codes[code], code)
			}
		}
		tab.shows(codedOf(t, r.Events))
	}
	slices.Sort(took)
	t.Logf("%d edits from %d pages: median %.0f ms, longest %.0f ms from asking to the reply", len(took), pages, took[len(took)/2], took[len(took)-1])
	if longest := took[len(took)-1]; longest > 7000 {
		t.Errorf("an edit has waited %.0f ms: films hold all connections", longest)
	}

	// One of them holds the stream and tells the others.
	locks := eval[[2]int](tabs[0], `navigator.locks.query().then((q) => [q.held, q.pending].map((l) => l.filter((x) => x.name === "afterwalk-pages-stream").length))`)
	if locks != [2]int{1, pages - 1} {
		t.Errorf("pages that hold the stream and that would: %v, want 1 and %d", locks, pages-1)
	}
	c := newClient(t, p.server.StartURL())
	for i, tab := range tabs {
		status, reply, err := c.ask(t.Context(), "POST", "/api/readings/"+readings[i]+"/edits", edit{ID: newID(), Put: []put{{momentAt("paid", 0), 0}}})
		if err != nil || status != 200 {
			t.Fatalf("an edit from elsewhere: %d %v %s", status, err, reply)
		}
		tab.shows(codedOf(t, p.reading(readings[i]).Events))
	}
}
