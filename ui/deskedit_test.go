package ui_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"afterwalk/internal/media/mediatest"
)

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
	// The film goes along with a time that was given, and the list with its event.
	d.wait(`desk.player.frame === 45 && !desk.player.aim`)
	fill("edit-start", "1.2")
	d.wait(`desk.player.frame === 36 && !desk.player.aim && document.querySelector(".event[aria-selected=true] .at")?.textContent === "0:01.2"`)
	fill("edit-start", "#20")
	d.wait(`desk.player.frame === 20 && !desk.player.aim`)
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
	d.wait(`document.querySelector(".event[aria-selected=true] .name")?.textContent === "behind" && document.getElementById("edit-end")?.value === "0:01.000" && desk.strip.selection.has(` + id + `)`)
	d.press(kb.Delete)
	d.wantStored()
	d.wait(`document.getElementById("editor").hidden`)
}
