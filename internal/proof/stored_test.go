package proof

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/library"
	"afterwalk/internal/wire"
)

// stored is a reading as another process finds it in the library.
type stored struct {
	events  []coded
	journal map[string]int64 // edit to its revision
}

// stored reads a reading from the library's folder.
func (p *process) stored(reading string) (s stored) {
	p.t.Helper()
	p.look(func(ctx context.Context, l *library.Library) {
		r, err := l.Reading(ctx, reading)
		if err != nil {
			p.t.Fatal(err)
		}
		s.journal = map[string]int64{}
		for _, row := range r.History.Journal.Rows() {
			if was, twice := s.journal[row.Edit]; twice {
				p.t.Errorf("edit %s stands in the journal at revisions %d and %d", row.Edit, was, row.Revision)
			}
			s.journal[row.Edit] = row.Revision
		}
		if int64(len(s.journal)) != r.Revision {
			p.t.Errorf("the journal has %d rows at revision %d", len(s.journal), r.Revision)
		}
		s.events = codedOf(p.t, r.Events)
	})
	return s
}

// codedOf returns events in the form in which pages have them.
func codedOf(t testing.TB, events []annotate.Event) []coded {
	t.Helper()
	list := make([]coded, 0, len(events))
	for _, e := range events {
		text, err := json.Marshal(wire.FromEvent(e))
		if err != nil {
			t.Fatal(err)
		}
		var c coded
		if err := json.Unmarshal(text, &c); err != nil {
			t.Fatal(err)
		}
		list = append(list, c)
	}
	return list
}

// holds fails the test for an acknowledged edit that isn't in the journal, or not
// where it was said to be.
func (s stored) holds(t testing.TB, acks []ack) {
	t.Helper()
	lost := 0
	for _, a := range acks {
		at, ok := s.journal[a.ID]
		if !ok {
			lost++
		} else if at != a.Revision && !a.Repeated {
			t.Errorf("edit %s was acknowledged as revision %d, the journal has it at %d", a.ID, a.Revision, at)
		}
	}
	if lost > 0 {
		t.Errorf("%d of %d acknowledged edits are lost", lost, len(acks))
	}
}

// linesOf returns events as lines without ids, sorted.
func linesOf(events []coded) []string {
	list := make([]string, 0, len(events))
	for _, e := range events {
		list = append(list, e.String())
	}
	slices.Sort(list)
	return list
}

var checkedEdits = regexp.MustCompile(`(\d+) readings, (\d+) edits, (\d+) events checked`)

// checks runs `afterwalk check`, which has to find everything well and at least so
// many edits.
func (p *process) checks(edits int) {
	p.t.Helper()
	out := p.must("check")
	var readings, found, events int
	if _, err := fmt.Sscanf(checkedEdits.FindString(out), "%d readings, %d edits, %d events checked", &readings, &found, &events); err != nil || !strings.Contains(out, "All is well.") {
		p.t.Errorf("check says %q", out)
	}
	if found < edits {
		p.t.Errorf("check has looked at %d edits, %d were acknowledged", found, edits)
	}
}
