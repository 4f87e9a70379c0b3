package proof

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/library"
	"afterwalk/internal/media/mediatest"
)

// Undo and redo go on, in both pages, after the server was killed and started.
func TestUndoAfterRestart(t *testing.T) {
	p := newProcess(t)
	p.must("add", "--dog", "Tansy", mediatest.Make(t, "cfr30").Path)
	p.serve()
	clip := p.clips()[0]
	reading := newClient(t, p.startURL).reading(clip, "I. Varga")
	browser := newBrowser(t)
	a, b := p.desk(browser, reading), p.desk(newTab(t, browser), reading)
	wants := func(revision int, want ...string) {
		t.Helper()
		a.rest()
		b.rest()
		got := p.stored(reading)
		if diff := cmp.Diff(append([]string{}, want...), linesOf(got.events)); diff != "" || len(got.journal) != revision {
			t.Errorf("at revision %d, want %d (-want +got):\n%s", len(got.journal), revision, diff)
		}
		a.shows(got.events)
		b.shows(got.events)
	}
	again := func(end func()) {
		t.Helper()
		end()
		p.serve()
	}
	a.at(10, "q")
	wants(1, openLine("off-task", 10))
	b.at(20, "m")
	wants(2, line("marker", 20, 20), openLine("off-task", 10))
	a.undo()
	wants(3, openLine("off-task", 10))
	again(p.kill)
	b.redo()
	wants(4, line("marker", 20, 20), openLine("off-task", 10))
	again(p.stop)
	a.undo()
	wants(5, openLine("off-task", 10))
	b.undo()
	wants(6)
	again(p.kill)
	a.undo() // there is nothing left
	a.redo()
	wants(7, openLine("off-task", 10))
	b.openDesk(p.base + "/desk/" + reading) // a page that has seen nothing of it
	b.redo()
	wants(8, line("marker", 20, 20), openLine("off-task", 10))
	b.undo()
	wants(9, openLine("off-task", 10))
	b.undo()
	wants(10)
	p.checks(10)
	p.look(func(ctx context.Context, l *library.Library) {
		r, err := l.Reading(ctx, reading)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.History.Done) != 0 || len(r.History.Undone) != 2 {
			t.Errorf("history: %d done, %d undone, want 0 and 2", len(r.History.Done), len(r.History.Undone))
		}
	})
}
