package ui_test

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
)

// frame30 is the start of frame k at 30 frames a second, µs.
func frame30(k int) int { return (2*k*1e6 + 30) / 60 }

func (d *deskPage) wantStored(want ...string) {
	d.t.Helper()
	d.saved()
	if diff := cmp.Diff(want, d.stored()); diff != "" {
		d.t.Errorf("stored (-want +got):\n%s", diff)
	}
}

// A clip coded by keys alone: each press acts on the frame that is shown.
func TestDeskCodesByKeys(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	for _, step := range []struct{ frame, keys string }{
		{"3", "v"}, {"6", "u"}, // heel, answered: heel work
		{"15", "s"}, {"20", "t"}, {"24", "t"}, {"30", "g12"}, {"36", "e"}, {"37", "p2"}, // behind, tone twice, stim 12, right, praise by touch
		{"45", "w"}, {"50", "s"}, // ahead, its opposite
		{"60", "x"}, {"66", "e"}, {"70", "u"}, // down: right ends behind first, did starts the stay
		{"90", "b2"}, {"95", "e"}, {"120", "n"},
	} {
		d.goTo(step.frame)
		d.press(step.keys)
	}
	at := func(code string, k int, more string) string { return fmt.Sprintf("%s %d%s", code, frame30(k), more) }
	span := func(code string, from, to int, more string) string {
		return fmt.Sprintf("%s %d-%d%s", code, frame30(from), frame30(to), more)
	}
	d.wantStored(
		at("heel", 3, ""), at("did", 6, ""), span("ex-heel", 6, 70, ""),
		span("behind", 15, 36, ""), at("tone", 20, " ×2"), at("stim", 30, " level 12 ×1"), at("praise", 37, " touch"),
		span("ahead", 45, 50, ""), span("behind", 50, 66, ""),
		at("down", 60, ""), at("did", 70, ""), span("ex-down", 70, 120, ""), span("broke", 90, 95, " got up"),
		at("release", 120, ""), fmt.Sprintf("ex-free %d-", frame30(120)),
	)
	// By hand from measures.md: out of position 21 + 5 + 16 of 64 frames. The gaps
	// of at most 0.5 s join that to one bout, which had help; the break had none,
	// so one of two went by itself.
	got := eval[string](d, `document.getElementById("numbers").textContent`)
	for _, want := range []string{"out of position 1.4 s of 2.1", "right by itself 1 of 2", "stays held 0 of 1", "breaks 1", "highest stim 12"} {
		if !strings.Contains(got, want) {
			t.Errorf("the numbers are %q, want %q among them", got, want)
		}
	}
	if got := eval[string](d, `document.getElementById("saving").textContent`); got != "✓ saved to 0:04.0" {
		t.Errorf("saving says %q, want ✓ saved to 0:04.0: frame 120", got)
	}
}

// The desk names the frame whose number is read from its pixels, after jumps,
// steps, and play and pause, whatever the film is like.
func TestDeskNamesTheFrameShown(t *testing.T) {
	for _, name := range mediatest.Playable() {
		t.Run(name, func(t *testing.T) {
			clip := mediatest.Make(t, name)
			d := openDesk(t, clip.Path)
			eval[any](d, `window.readIndex = `+mediatest.ReadIndexJS+`; window.canvas = document.createElement("canvas"); null`)
			check := func(after string) {
				t.Helper()
				got := eval[[]int](d, `[readIndex(canvas, document.getElementById("video")), Number(document.querySelector(".frame").textContent.replace("frame ", "")), desk.player.frame]`)
				if got[1] != got[2] || got[0] != clip.First+got[1] {
					t.Errorf("after %s the screen shows number %d, the desk says frame %d (player %d); the first frame has number %d", after, got[0], got[1], got[2], clip.First)
				}
			}
			rest := `!desk.player.seeking && !desk.player.playing && !desk.asked.time && !desk.asked.all`
			r := rand.New(rand.NewPCG(1, 2))
			for range 6 {
				k := r.IntN(clip.Frames)
				d.goTo(fmt.Sprint(k))
				d.wait(rest)
				check(fmt.Sprintf("going to %d", k))
				for _, step := range []struct {
					key string
					by  int
				}{{".", 1}, {",", -1}, {",", -1}} {
					want := min(max(eval[int](d, "desk.player.frame")+step.by, 0), clip.Frames-1)
					d.press(step.key)
					d.wait(fmt.Sprintf("desk.player.frame === %d && ", want) + rest)
					check("step " + step.key)
				}
			}
			for i := range 5 {
				d.goTo(fmt.Sprint(10 * i))
				seen := eval[int](d, "desk.player.framesSeen")
				d.press(" ")
				d.wait(fmt.Sprintf("desk.player.framesSeen > %d", seen+5))
				d.press(" ")
				d.wait(rest)
				check("play and pause")
			}
			if last := clip.Frames - 1; last > 0 {
				d.press(kb.End)
				d.wait(fmt.Sprintf("desk.player.frame === %d && ", last) + rest)
				check("the end")
				d.press(".")
				d.wait(rest)
				check("a step at the end")
			}
		})
	}
}

// What is coded while the server is away waits in the browser and goes out when
// it is back, without a hand laid on.
func TestDeskWhileTheServerIsAway(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("v")
	d.saved()
	addr := strings.TrimPrefix(d.base, "http://")
	d.stop()
	d.press("..u..s")
	d.wait(`desk.queue.state === "away" && document.getElementById("saving").textContent === "2 edits waiting: server not reachable; kept in this browser"`)
	if got := eval[int](d, "localStorage.length"); got != 2 {
		t.Errorf("%d edits are kept, want 2", got)
	}
	d.serve(addr)
	d.saved()
	d.wait(`document.getElementById("saving").textContent.startsWith("✓ saved")`)
	got := d.stored()
	if len(got) != 4 || !strings.HasPrefix(got[0], "heel 0") || !strings.HasPrefix(got[len(got)-1], "behind ") {
		t.Errorf("stored %q, want heel, did, heel work, behind", got)
	}
	if got := eval[int](d, "localStorage.length"); got != 0 {
		t.Errorf("%d edits are still kept", got)
	}
}

// A page that ends with edits waiting leaves them to the next one.
func TestDeskReloadLosesNothing(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	// The server is there for pages, and away for edits.
	eval[any](d, `desk.queue.send = () => Promise.reject(new TypeError("away")); null`)
	d.press("v")
	d.press("u")
	d.wait("desk.reading.waiting.length === 2 && localStorage.length === 2")
	d.open()
	d.wantStored("heel 0", "did 0", "ex-heel 0-")
}

// Two pages change the same event: both outcomes.
func TestDeskConflict(t *testing.T) {
	for _, tt := range []struct{ choice, want string }{{"mine", "behind 0-1000000"}, {"theirs", "behind 0-2000000"}} {
		t.Run(tt.choice, func(t *testing.T) {
			d := openDesk(t, mediatest.Make(t, "cfr30").Path)
			d.press("s")
			d.saved()
			r, err := d.lib.Reading(t.Context(), d.reading)
			if err != nil {
				t.Fatal(err)
			}
			// The page does not hear of it before it sends its own.
			eval[any](d, `desk.keepUp.hear = () => {}; null`)
			e := r.Events[0]
			was := e.Rev
			e.Open, e.End = false, 2*annotate.Second
			if _, err := d.lib.Apply(t.Context(), d.reading, annotate.Edit{ID: "elsewhere", Put: []annotate.Put{{Event: e, Was: was}}}, nil); err != nil {
				t.Fatal(err)
			}
			d.goTo("30")
			d.press("s")
			d.wait(`document.getElementById("clash").open`)
			text := eval[string](d, `document.getElementById("clash").textContent`)
			for _, want := range []string{"keep mine: 0:00.000 behind, 1.000 s", "keep theirs: 0:00.000 behind, 2.000 s"} {
				if !strings.Contains(text, want) {
					t.Errorf("the dialog says %q, want %q in it", text, want)
				}
			}
			d.press(kb.Escape)
			if !eval[bool](d, `document.getElementById("clash").open`) {
				t.Error("the dialog went away unanswered")
			}
			eval[any](d, `document.querySelector("#clash input[value=`+tt.choice+`]").click(); document.querySelector("#clash button").click(); null`)
			d.wantStored(tt.want)
			d.wait(`desk.reading.events.length === 1 && desk.reading.events[0].end_us === ` + strings.Split(tt.want, "-")[1])
		})
	}
}

// A second page sees what the first one codes, and undoes it.
func TestDeskTwoPages(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	tab, end := chromedp.NewContext(d.ctx)
	defer end()
	other := *d
	other.ctx = tab
	other.open()
	d.press("s")
	d.saved()
	other.wait(`desk.reading.events.length === 1 && document.querySelectorAll(".event").length === 1`)
	eval[any](&other, `document.getElementById("undo").click(); null`)
	d.wait(`desk.reading.events.length === 0 && !document.querySelector(".event")`)
	other.wantStored()
	if got := eval[bool](d, `document.getElementById("redo").disabled`); got {
		t.Error("the first page offers no redo of what the second one undid")
	}
}

// Eight pages at work on one reading: each hears of the others, every edit is
// stored, and one connection carries the event stream of all.
func TestDeskEightPages(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	pages := []*deskPage{d}
	for range 7 {
		p := *d
		p.ctx = tab(t)
		p.open()
		pages = append(pages, &p)
	}
	for i, p := range pages {
		p.press(strings.Repeat(".", i))
		p.wait(fmt.Sprintf("desk.player.frame === %d && !desk.player.seeking", i))
	}
	for _, key := range []string{"m", "p", "y"} {
		for _, p := range pages {
			p.press(key)
		}
	}
	for i, p := range pages {
		p.wait("desk.reading.waiting.length === 0 && desk.reading.events.length === 24")
		if got := eval[int](p, "performance.getEntriesByType('resource').filter((r) => r.name.endsWith('/api/stream')).length"); i > 0 && got > 0 {
			t.Errorf("page %d opened an event stream of its own", i)
		}
	}
	if got := len(d.stored()); got != 24 {
		t.Errorf("%d events stored, want 24", got)
	}
}

// Undo, redo and removing by keys.
func TestDeskUndo(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("g9")
	d.press(kb.Delete)
	d.wantStored()
	undo := func(shift bool) {
		mods := []chromedp.Modifier{kb.ModifierCtrl}
		if shift {
			mods = append(mods, kb.ModifierShift)
		}
		d.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(mods...)))
	}
	undo(false)
	d.wantStored("stim 0 level 9 ×1")
	undo(false)
	d.wantStored("stim 0 ×1")
	undo(true)
	d.wantStored("stim 0 level 9 ×1")
	if got := eval[string](d, `document.getElementById("undo").title`); got != "undo: stim, tap 9 (ctrl z)" {
		t.Errorf("undo is called %q", got)
	}
}

// Everything about an event can be changed, by the keyboard alone.
func TestDeskEditor(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.goTo("30")
	d.press("G")
	d.goTo("60")
	d.press("G")
	d.press(kb.Enter)
	d.wait(`document.activeElement.id === "edit-code"`)
	fill := func(id, text string) {
		t.Helper()
		eval[any](d, `document.getElementById("`+id+`").focus(); document.getElementById("`+id+`").select(); null`)
		d.do(chromedp.KeyEvent(text + kb.Tab))
	}
	fill("edit-start", "#20")
	d.wantStored(fmt.Sprintf("stim-held %d-2000000", frame30(20)))
	fill("edit-end", "1.5")
	d.wantStored(fmt.Sprintf("stim-held %d-1500000", frame30(20)))
	fill("edit-level", "14")
	fill("edit-note", "let go late <b>&")
	d.wantStored(fmt.Sprintf("stim-held %d-1500000 level 14 (let go late <b>&)", frame30(20)))
	fill("edit-end", "0:00.1")
	d.wait(`document.getElementById("said").textContent === "The end has to be after the start." && document.getElementById("edit-end").value === "0:01.500"`)
	// Drawn anew, the fields leave the focus where Tab took it.
	if got := eval[string](d, `document.activeElement.id`); got != "edit-end-here" {
		t.Errorf("%q is in focus after a time was refused, want the button beside it", got)
	}
	d.press(kb.Escape)
	d.wait(`document.getElementById("editor").hidden && document.activeElement === document.body`)
	// Letters typed into a field are no coding keys.
	if got := len(d.stored()); got != 1 {
		t.Errorf("%d events, want 1: what was typed was coded too", got)
	}
	// Its edges by frames: the start one later, the end two earlier.
	d.press("'::")
	d.wantStored(fmt.Sprintf("stim-held %d-%d level 14 (let go late <b>&)", frame30(21), frame30(43)))
	d.press("g")
	d.wantStored(fmt.Sprintf("stim-held %d-%d level 14 (let go late <b>&)", frame30(21), frame30(43)), fmt.Sprintf("stim %d level 14 ×1", frame30(43)))
}

// What the strip asks for: the picture goes along with an edge that is drawn, and
// one edit is made when it is let go.
func TestDeskStrip(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("s")
	d.goTo("60")
	d.press("s")
	d.saved()
	ask := func(name, detail string) {
		eval[any](d, fmt.Sprintf(`document.getElementById("strip").dispatchEvent(new CustomEvent("strip-%s", { detail: %s })); null`, name, detail))
	}
	const id = `desk.reading.events[0].id`
	ask("edge", `{ id: `+id+`, edge: "end", start_us: 0, end_us: 1500000, done: false }`)
	d.wait("desk.player.frame === 45 && !desk.player.seeking")
	d.wantStored("behind 0-2000000")
	ask("edge", `{ id: `+id+`, edge: "end", start_us: 0, end_us: 1000000, done: true }`)
	d.wantStored("behind 0-1000000")
	ask("edge", `{ id: `+id+`, edge: "end", start_us: 0, end_us: 3000000, done: true, cancelled: true }`)
	d.wantStored("behind 0-1000000")
	ask("seek", `{ us: 100000 }`)
	d.wait("desk.player.frame === 3 && !desk.player.seeking")
	ask("select", `{ ids: [`+id+`], add: false }`)
	d.wait(`document.querySelector(".event[aria-selected=true] .what")?.textContent === "behind" && document.getElementById("edit-end")?.value === "0:01.000" && desk.strip.selection.has(` + id + `)`)
	d.press(kb.Delete)
	d.wantStored()
	d.wait(`document.getElementById("editor").hidden`)
}

// Every code has a button; a press counts from when it goes down.
func TestDeskButtons(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	if got := eval[int](d, `[...desk.book.codes.keys()].filter((id) => !document.querySelector("[data-code='" + id + "']")).length`); got > 0 {
		t.Errorf("%d codes have no button", got)
	}
	d.do(chromedp.Click(chromedp.CSS("[data-code=behind]")))
	d.wait(`document.querySelector("[data-code=behind]").getAttribute("aria-pressed") === "true" && document.activeElement === document.body`)
	d.goTo("30")
	d.do(chromedp.Click(chromedp.CSS(".cell.right")))
	d.wantStored("behind 0-1000000")
	// By the Tab key: one stop for all, the arrows go on from there.
	eval[any](d, `document.querySelector("[data-code=heel]").focus(); null`)
	d.press(kb.ArrowRight)
	d.wait(`document.activeElement.textContent.includes("stand")`)
	d.do(chromedp.KeyEvent(" "))
	d.wantStored("behind 0-1000000", "stand 1000000")
	if got := eval[int](d, `document.querySelectorAll("#keys [tabindex='0']").length`); got != 1 {
		t.Errorf("the keys are %d stops of the Tab key, want 1", got)
	}
}

// A key held while the film runs makes a span of what it makes.
func TestDeskHeldKey(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press(" ")
	d.wait("desk.player.frame > 5")
	d.hold('f', "desk.coder.held.size === 1 && desk.player.shown_us > desk.reading.events[0].start_us + 800000")
	d.press(" ")
	d.saved()
	r, err := d.lib.Reading(t.Context(), d.reading)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Events) != 1 || r.Events[0].Code != "leash-guide" || r.Events[0].End-r.Events[0].Start < 800_000 {
		t.Errorf("events are %+v, want steady leash for at least 0.8 s", r.Events)
	}
	// Played on from the start without a jump: it is coded to where it stopped.
	d.wait("desk.reading.window.end_us === desk.player.shown_us")
}

// Finishing takes the window to the clip's end; it can be taken up again.
func TestDeskFinish(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	facts := func() string {
		d.saved()
		r, err := d.lib.Reading(t.Context(), d.reading)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(r.Finished, r.Window.End)
	}
	d.press("v")
	eval[any](d, `document.getElementById("finish").click(); null`)
	if got := facts(); got != "true 5000000" {
		t.Errorf("finished and window's end are %s, want true 5000000", got)
	}
	d.wait(`document.getElementById("saving").textContent === "✓ saved to 0:05.0, finished"`)
	eval[any](d, `document.getElementById("finish").click(); null`)
	if got := facts(); got != "false 5000000" {
		t.Errorf("finished and window's end are %s, want false 5000000", got)
	}
}

// The coder's track over the film.
func TestDeskCaptions(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("g9`")
	d.wait(`[...document.getElementById("video").textTracks].some((t) => t.mode === "showing" && t.cues?.length === 1 && t.activeCues.length === 1 && t.activeCues[0].text === "Stim 9 ×1")`)
	d.goTo("90")
	d.press("m")
	d.wait(`[...document.getElementById("video").textTracks].some((t) => t.mode === "showing" && t.cues?.length === 2)`)
	d.press("`")
	d.wait(`[...document.getElementById("video").textTracks].every((t) => t.mode !== "showing")`)
}

// gated reads footage as ffprobe does, and frame tables when it is let.
type gated struct {
	*media.Tools
	gate chan struct{}
}

func (g gated) Frames(ctx context.Context, path string, progress func(float64)) (media.FrameTable, error) {
	select {
	case <-g.gate:
	case <-ctx.Done():
		return media.FrameTable{}, ctx.Err()
	}
	return g.Tools.Frames(ctx, path, progress)
}

// A clip can be coded before its frame table is there, and the page says so.
func TestDeskBeforeTheFrameTable(t *testing.T) {
	gate := make(chan struct{})
	clip := mediatest.Make(t, "start15")
	d := newDesk(t, clip.Path, gated{mediatest.Tools(t), gate})
	d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
	d.wait(`window.desk && desk.clip && desk.player.media_us >= 0 && !desk.player.seeking && document.getElementById("notices").textContent.includes("still being read")`)
	if got := eval[string](d, `document.querySelector(".time").textContent + " " + document.querySelector(".frame").textContent`); got != "0:01.500 frame –" {
		t.Errorf("the desk shows %q, want 0:01.500 frame –: the film starts at 1.5 s", got)
	}
	for _, us := range []int{1_533_333, 1_566_667, 1_600_000} { // one at a time: a slow machine may still be drawing the one before
		d.press(".")
		d.wait(fmt.Sprintf(`!desk.player.seeking && desk.player.shown_us === %d`, us))
	}
	d.press("s")
	d.wantStored("behind 1600000-")
	close(gate)
	d.wait(`desk.player.frame === 3 && document.querySelector(".frame").textContent === "frame 3" && !document.querySelector("[data-about=frames]")`)
}

// A film of which a browser plays the sound alone is not passed off as black.
func TestDeskNeedsProxy(t *testing.T) {
	for _, tt := range []struct{ clip, want string }{
		{"hevc", "This film needs a proxy: the browser plays only its sound. Nothing is lost. Proxies are not made here yet: turn the film into H.264 with any converter and add that copy."},
		{"hevc-silent", "This film needs a proxy: the browser can't play it. Nothing is lost. Proxies are not made here yet: turn the film into H.264 with any converter and add that copy."},
	} {
		t.Run(tt.clip, func(t *testing.T) {
			d := newDesk(t, mediatest.Make(t, tt.clip).Path, mediatest.Tools(t))
			d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
			d.wait(`document.querySelector("[data-about=film]")?.textContent === ` + fmt.Sprintf("%q", tt.want))
		})
	}
}

// A film that is gone is said to be gone, and shown when it is back.
func TestDeskFilmIsGone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "heel.mp4")
	mediatest.Make(t, "cfr30").CopyTo(t, path)
	d := newDesk(t, path, mediatest.Tools(t))
	if err := d.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	away := filepath.Join(t.TempDir(), "heel.mp4") // not a folder that the library looks in
	if err := os.Rename(path, away); err != nil {
		t.Fatal(err)
	}
	d.do(chromedp.Navigate(d.base + "/desk/" + d.reading))
	d.wait(`!!document.querySelector("[data-about=film]")`)
	got := eval[string](d, `document.querySelector("[data-about=film]").textContent`)
	if !strings.Contains(got, "heel.mp4") || strings.Contains(got, "proxy") {
		t.Errorf("the page says %q, want that heel.mp4 is not there", got)
	}
	if err := os.Rename(away, path); err != nil {
		t.Fatal(err)
	}
	addr := strings.TrimPrefix(d.base, "http://")
	d.stop()
	d.serve(addr) // its event stream tells the page that it is back
	d.wait(`!document.querySelector("[data-about=film]") && desk.player.frame === 0`)
}

// Nothing on the page breaks the security policy, and no console has a complaint.
func TestDeskIsQuiet(t *testing.T) {
	d := newDesk(t, mediatest.Make(t, "cfr30").Path, mediatest.Tools(t))
	if err := d.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	said := listen(d)
	d.open()
	for _, key := range []string{"v", "u", "q", "1", "e", "?", kb.Escape, kb.PageDown, kb.Enter, kb.Escape, "`", "=", "-", "\\", kb.ArrowUp, kb.ArrowDown, kb.Home, kb.End} {
		d.press(key)
	}
	d.saved()
	if all := said(); len(all) > 0 {
		t.Errorf("the console says:\n%s", strings.Join(all, "\n"))
	}
}

// The help lists every key that acts, from the same table.
func TestDeskHelp(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("?")
	d.wait(`document.getElementById("help").open`)
	eval[any](d, `import("/assets/js/desk/keytable.js").then((m) => window.table = m.FIXED); null`)
	d.wait(`!!window.table`)
	if got, want := eval[int](d, `document.querySelectorAll("#help dt").length`), eval[int](d, `desk.book.codes.size + table.length`); got != want {
		t.Errorf("the help has %d entries, want %d: one for each code and each key of the table", got, want)
	}
	text := eval[string](d, `document.getElementById("help").textContent`)
	for _, want := range []string{
		"Law where you are first, then the device's manual. If either says no, it is no.",
		"Levels record one dog, one collar, one day. They are not settings to copy.",
		"Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
		"starts: dog first level with the leg after the heel cue.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the help lacks %q", want)
		}
	}
	d.press("w") // is no coding key while the help is open
	d.press("?")
	d.wait(`!document.getElementById("help").open && document.querySelector(".keys .caution summary").textContent.startsWith("Law where you are first")`)
	if got := d.stored(); len(got) > 0 {
		t.Errorf("stored %q behind the help", got)
	}
}

// The links give the captions and the reading as files.
func TestDeskDownloads(t *testing.T) {
	d := openDesk(t, mediatest.Make(t, "cfr30").Path)
	d.press("g9")
	d.saved()
	for _, href := range eval[[]string](d, `[...document.querySelectorAll(".take a")].map((a) => a.href)`) {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, href, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.AddCookie(&http.Cookie{Name: "afterwalk", Value: startToken})
		reply, err := (&http.Client{Timeout: 10 * time.Second}).Do(req)
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(reply.Body)
		reply.Body.Close()
		if err != nil || reply.StatusCode != 200 || !strings.HasPrefix(reply.Header.Get("Content-Disposition"), "attachment") || !strings.Contains(strings.ToLower(string(body)), "stim") {
			t.Errorf("%s answers %d %q (%v), want a file with what was coded", href, reply.StatusCode, body, err)
		}
	}
}
