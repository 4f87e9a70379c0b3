package proof

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/media/mediatest"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// mostKeys is the bar for coding keys to an event with its details.
const mostKeys = 2.0

// tally counts keys that were pressed, by what they were for.
type tally struct{ coding, moving, letters int }

// A clip coded by keys alone: what is stored, measured, shown, charted and
// captioned is what a known script says, by figures worked out apart from the
// program.
func TestCodingByKeys(t *testing.T) {
	clip := mediatest.Make(t, "session")
	if clip.Frames != scriptFrames {
		t.Fatalf("the clip has %d frames, the script is for %d", clip.Frames, scriptFrames)
	}
	us := make([]int64, 0, clip.Frames+1)
	for _, at := range clip.PTS {
		us = append(us, int64(at))
	}
	us = append(us, int64(clip.Frames)*1e6/30) // the last frame is as long as the others

	p := start(t)
	id := p.add(clip.Path)
	tab := p.desk(newBrowser(t), id)
	var keys tally
	for _, row := range script {
		tab.perform(row, &keys)
	}
	eval[bool](tab, "saved()")
	events := wantedOf(script)
	perEvent := float64(keys.coding) / float64(len(events))
	t.Logf("%d events with their details: %d coding keys, %.2f for each (bar %.1f); apart from that %d keys to move through time and %d letters of notes",
		len(events), keys.coding, perEvent, mostKeys, keys.moving, keys.letters)
	if perEvent > mostKeys {
		t.Errorf("%.2f coding keys for each event, want at most %.1f", perEvent, mostKeys)
	}

	stored := p.reading(id)
	t.Run("stored", func(t *testing.T) { compareStored(t, stored, events, us) })
	if t.Failed() {
		return // all that follows would differ too
	}
	reckoned := newReckoner(t, us, events, func(w wanted) string {
		for _, e := range stored.Events {
			if e.Code == w.code && e.Start == annotate.Micros(us[w.from]) {
				return e.ID
			}
		}
		return ""
	})
	want := reckoned.measures()
	t.Run("measured", func(t *testing.T) { compareMeasured(t, tab, id, want) })
	t.Run("shown", func(t *testing.T) {
		got := eval[[]string](tab, "[...document.querySelectorAll('#numbers > span')].map((s) => s.innerText)")
		if got := strings.Join(got, "|"); got != numbers(want) {
			t.Errorf("the row of numbers says\n  %s\nwant\n  %s", got, numbers(want))
		}
	})
	t.Run("captioned", func(t *testing.T) { compareCaptions(t, tab, id, reckoned.captions()) })
	t.Run("charted", func(t *testing.T) { compareCharts(t, p, tab, id, want) })
}

// perform does what a row of the script says, by the keyboard.
func (p *page) perform(row press, keys *tally) {
	p.t.Helper()
	p.moveTo(row.at, keys)
	if row.chosen != "" {
		p.press(row.chosen)
		keys.moving += len([]rune(row.chosen))
		p.moveTo(row.then, keys)
	}
	pressed := []rune(row.keys)
	keys.coding += len(pressed)
	if row.note != "" {
		p.do(run(keepReply))
	}
	if row.until > 0 {
		p.holdDown(pressed[0], func() {
			p.press(string(pressed[1:]))
			p.press(strings.Repeat(".", row.until-row.at))
			keys.moving += row.until - row.at
			if got := eval[int](p, "settled().then(() => desk.player.frame)"); got != row.until {
				p.t.Fatalf("frame %d is shown, want %d", got, row.until)
			}
			// A tap is what takes less than 0.6 s; a coder holds the key longer.
			eval[any](p, "new Promise((done) => { const look = () => performance.now() - heldSince > 700 ? done() : setTimeout(look, 20); look(); })")
		})
	} else {
		for _, r := range pressed {
			switch string(r) {
			case undoKey:
				p.undo()
			case redoKey:
				p.redo()
			case finishKey:
				p.do(stroke([]rune(kb.End)[0], chromedp.ModifierShift))
			default:
				p.press(string(r))
			}
		}
	}
	if row.note != "" {
		p.do(stroke([]rune(kb.Enter)[0], chromedp.ModifierShift))
		p.until("document.activeElement.id === 'edit-note'")
		half := len(row.note) / 2
		p.press(row.note[:half])
		eval[bool](p, "giveReply(), saved()") // what is being typed isn't disturbed by it
		p.press(row.note[half:], kb.Escape)
		keys.coding, keys.letters = keys.coding+2, keys.letters+len(row.note)
	}
}

// keepReply keeps the server's replies to edits from the page until giveReply.
const keepReply = `(() => {
	const send = desk.queue.send;
	const kept = new Promise((give) => (window.giveReply = give));
	desk.queue.send = async (...request) => {
		const reply = await send(...request);
		await kept;
		return reply;
	};
})()`

// moveTo goes to a frame by the desk's own field, if it isn't shown already.
func (p *page) moveTo(frame int, keys *tally) {
	p.t.Helper()
	if frame == eval[int](p, "settled().then(() => desk.player.frame)") {
		return
	}
	p.goTo(frame)
	keys.moving += len(fmt.Sprintf("/#%d", frame)) + 1
	if got := eval[int](p, "settled().then(() => desk.player.frame)"); got != frame {
		p.t.Fatalf("frame %d is shown, want %d", got, frame)
	}
}

// holdDown does something while a key is held down.
func (p *page) holdDown(r rune, meanwhile func()) {
	p.t.Helper()
	down, up := halves(r, 0)
	half := func(half input.DispatchKeyEventParams) {
		p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, half)
			return err
		}))
	}
	half(down)
	p.do(run("window.heldSince = performance.now()"))
	meanwhile()
	half(up)
}

// compareStored compares what the library has with the script.
func compareStored(t *testing.T, stored *annotate.Reading, events []wanted, us []int64) {
	at := func(frame int) annotate.Micros { return annotate.Micros(us[frame]) }
	var want []annotate.Event
	for _, w := range events {
		e := annotate.Event{Code: w.code, Start: at(w.from), Details: w.details, Note: w.note, Open: w.to == still}
		if e.End = e.Start; !e.Open {
			e.End = at(w.to)
		}
		want = append(want, e)
	}
	got := slices.Clone(stored.Events)
	for i := range got {
		got[i].ID, got[i].Rev = "", 0
	}
	for _, list := range [][]annotate.Event{got, want} {
		slices.SortFunc(list, func(a, b annotate.Event) int {
			return strings.Compare(fmt.Sprintf("%12d %12d %s", a.Start, a.End, a.Code), fmt.Sprintf("%12d %12d %s", b.Start, b.End, b.Code))
		})
	}
	if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("events (-script +stored):\n%s", diff)
	}
	if window := (annotate.Span{Start: at(0), End: at(len(us) - 1)}); stored.Window != window || !stored.Finished {
		t.Errorf("the window is %v, finished %v; want %v and finished", stored.Window, stored.Finished, window)
	}
}

// compareMeasured compares the measures in the server's last reply to an edit, and
// those that it gives when asked, with what was worked out.
func compareMeasured(t *testing.T, tab *page, id string, want m) {
	tab = &page{t, tab.ctx}
	b, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var plain any
	if err := json.Unmarshal(b, &plain); err != nil {
		t.Fatal(err)
	}
	for what, js := range map[string]string{
		"in the reply to the last edit": "desk.reading.measures",
		"asked for":                     fmt.Sprintf("fetch('/api/readings/%s').then((r) => r.json()).then((r) => r.measures)", id),
	} {
		for _, d := range differences("measures", eval[any](tab, js), plain) {
			t.Errorf("%s: %s", what, d)
		}
	}
}

// compareCaptions turns the captions on by their key, and compares the cues that
// the browser made of the track, and the track itself.
func compareCaptions(t *testing.T, tab *page, id string, want []shownCue) {
	tab = &page{t, tab.ctx}
	tab.press("`")
	tab.until("document.querySelector('#video track')?.readyState === 2")
	got := eval[[]shownCue](tab, `[...document.querySelector("#video track").track.cues].map((c) => ({
		start: Math.round(c.startTime * 1000), end: Math.round(c.endTime * 1000), text: c.getCueAsHTML().textContent }))`)
	inOrder(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("cues on the desk (-worked out +shown):\n%s", diff)
	}
	if mode := eval[string](tab, "document.querySelector('#video track').track.mode"); mode != "showing" {
		t.Errorf("the track is %s", mode)
	}
	served, err := readTrack(eval[string](tab, fmt.Sprintf("fetch('/api/readings/%s/captions.vtt?track=coder').then((r) => r.text())", id)))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, served); diff != "" {
		t.Errorf("cues of the track (-worked out +served):\n%s", diff)
	}
	tab.press("`")
}
