package ui_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/internal/media/mediatest"
)

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
	d.wait(`document.getElementById("said").textContent === "Done again: stim, tap 9"`)
	d.wantStored("stim 0 level 9 ×1")
	if got := eval[string](d, `document.getElementById("undo").title`); got != "undo: stim, tap 9 (ctrl z)" {
		t.Errorf("undo is called %q", got)
	}
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
