package library

import (
	"fmt"
	"testing"
)

// Notices come in order, after the edit can be seen; a watcher who doesn't listen
// loses the oldest and holds up nobody.
func TestWatch(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	quick, cancel := l.Watch()
	defer cancel()
	slow, cancelSlow := l.Watch()
	const edits = watched + 20
	for i := range int64(edits) {
		if _, err := l.Apply(t.Context(), id, remark(fmt.Sprint(i), fmt.Sprint(i), 0), nil); err != nil {
			t.Fatal(err)
		}
		n := <-quick
		if n.Reading != id || n.Revision != i+1 || n.Job != nil {
			t.Fatalf("notice %d: %+v", i, n)
		}
		if r, err := l.Reading(t.Context(), id); err != nil || r.Revision < n.Revision {
			t.Fatalf("a notice of revision %d came while the reading was at %d (%v)", n.Revision, r.Revision, err)
		}
	}
	cancelSlow()
	cancelSlow() // twice is once
	var got []int64
	for n := range slow {
		got = append(got, n.Revision)
	}
	if len(got) != watched || got[0] != edits-watched+1 || got[len(got)-1] != edits {
		t.Errorf("the slow watcher got %d notices, %v…%v; want the last %d", len(got), got[0], got[len(got)-1], watched)
	}
	if _, err := l.Apply(t.Context(), id, remark("last", "last", 0), nil); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	count := 0
	for range quick {
		count++
	}
	if count != 1 {
		t.Errorf("%d notices before the end, want 1", count)
	}
	after, cancelAfter := l.Watch()
	if _, open := <-after; open {
		t.Error("watching a closed library gives notices")
	}
	cancelAfter()
}
