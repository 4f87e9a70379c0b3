package library

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"

	"afterwalk/annotate"
)

// childVar tells this test program that it is to edit a library instead of
// testing: its value is the library's folder, then how often, then readings.
const childVar = "AFTERWALK_TEST_CHILD"

func TestMain(m *testing.M) {
	if what := os.Getenv(childVar); what != "" {
		if err := child(strings.Split(what, "|")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// childCommand is this test program as one that edits.
func childCommand(t *testing.T, dir string, edits int, readings ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), childVar+"="+strings.Join(append([]string{dir, fmt.Sprint(edits)}, readings...), "|"))
	cmd.Stderr = os.Stderr
	return cmd
}

// child edits readings of a library side by side, each so often, and writes a line
// for each edit when it has been acknowledged: "ack", edit, reading, revision.
func child(what []string) error {
	ctx := context.Background()
	l, err := Open(ctx, Config{Dir: what[0]})
	if err != nil {
		return err
	}
	var edits int
	if _, err := fmt.Sscan(what[1], &edits); err != nil {
		return err
	}
	var mu sync.Mutex
	var errs []error
	var group sync.WaitGroup
	for i, reading := range what[2:] {
		group.Go(func() {
			rng := rand.New(rand.NewPCG(uint64(i), uint64(os.Getpid())))
			for range edits {
				r, err := l.Reading(ctx, reading)
				if err != nil {
					errs = append(errs, err)
					return
				}
				out, err := l.Apply(ctx, reading, someEdit(rng, r), func(*annotate.Reading) {})
				mu.Lock()
				if err != nil {
					errs = append(errs, err)
				} else {
					fmt.Printf("ack %s %s %d\n", out.Applied.Edit, reading, out.Applied.Revision)
				}
				mu.Unlock()
				if err != nil {
					return
				}
			}
		})
	}
	group.Wait()
	return errors.Join(append(errs, l.Close())...)
}

// someEdit is an edit of any kind that fits a reading.
func someEdit(rng *rand.Rand, r *annotate.Reading) annotate.Edit {
	e := annotate.Edit{ID: newID()}
	some := func() *annotate.Event { return &r.Events[rng.IntN(len(r.Events))] }
	switch what := rng.IntN(10); {
	case what == 0 && len(r.History.Done) > 0:
		e.Undo = r.History.Done[len(r.History.Done)-1]
	case what == 1 && len(r.History.Undone) > 0:
		e.Redo = r.History.Undone[len(r.History.Undone)-1]
	case what == 2 && len(r.Events) > 0:
		e.Remove = []annotate.Ref{{ID: some().ID, Was: 0}}
		for _, event := range r.Events {
			if event.ID == e.Remove[0].ID {
				e.Remove[0].Was = event.Rev
			}
		}
	case what <= 5 && len(r.Events) > 0:
		event := *some()
		was := event.Rev
		event.Note += "."
		if event.Open {
			event.Open, event.End = false, event.Start+1+annotate.Micros(rng.IntN(1_000_000))
		}
		e.Put = []annotate.Put{{Event: event, Was: was}}
	case what == 6:
		e.Set = &annotate.Facts{Finished: new(!r.Finished), Chosen: new([]string{"whole", "picked"}[rng.IntN(2)])}
	default:
		at := annotate.Micros(rng.IntN(50_000_000))
		e.Put = []annotate.Put{{Event: annotate.Event{ID: newID(), Code: "remark", Start: at, End: at, Open: rng.IntN(2) == 0, Note: "é\"\n"}}}
		e.Reach = &at
	}
	return e
}
