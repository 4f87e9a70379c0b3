package library

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"
)

// acknowledged is an edit whose outcome a program was told.
type acknowledged struct {
	edit, reading string
	revision      int64
}

// A program that edits is killed at random moments. Whatever it had been told was
// done is there afterwards, and events, facts and journal agree; the lock is free
// and the next program goes on.
func TestKilledProgramLosesNothing(t *testing.T) {
	const edits = 2000
	seed := uint64(time.Now().UnixNano())
	if s := os.Getenv("AFTERWALK_TEST_SEED"); s != "" {
		var err error
		if seed, err = strconv.ParseUint(s, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("AFTERWALK_TEST_SEED=%d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))

	dir := t.TempDir()
	l := start(t, dir, &prober{})
	first := oneReading(t, l)
	clip, err := l.ReadingClip(t.Context(), first)
	if err != nil {
		t.Fatal(err)
	}
	second, err := l.NewReading(t.Context(), clip, "P. Quill")
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}

	var acks []acknowledged
	rounds, unacknowledged := 0, 0
	for len(acks) < edits {
		rounds++
		acks = append(acks, killed(t, dir, first, second, 1+rng.IntN(200), time.Duration(rng.IntN(3000))*time.Microsecond)...)
		l := start(t, dir, &prober{})
		c := well(t, l)
		journals := map[string]map[string]int64{}
		for _, id := range []string{first, second} {
			r, err := l.Reading(t.Context(), id)
			if err != nil {
				t.Fatal(err)
			}
			journals[id] = map[string]int64{}
			for _, row := range r.History.Journal.Rows() {
				journals[id][row.Edit] = row.Revision
			}
		}
		for _, a := range acks {
			if got := journals[a.reading][a.edit]; got != a.revision {
				t.Fatalf("round %d: edit %s of reading %s was acknowledged at revision %d; the journal has it at %d", rounds, a.edit, a.reading, a.revision, got)
			}
		}
		unacknowledged = c.Edits - len(acks)
		if most := 2 * rounds; unacknowledged < 0 || unacknowledged > most {
			t.Fatalf("round %d: %d edits are in the journal, %d were acknowledged; more than %d are too many", rounds, c.Edits, len(acks), most)
		}
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d kills, %d edits acknowledged and there, %d more written but not acknowledged in time", rounds, len(acks), unacknowledged)
}

// killed runs a program that edits, kills it a moment after so many acknowledged
// edits, and returns all that it acknowledged.
func killed(t *testing.T, dir, first, second string, after int, moment time.Duration) []acknowledged {
	t.Helper()
	cmd := childCommand(t, dir, 1_000_000, first, second)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var acks []acknowledged
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			break // killed; half a line is no acknowledgement
		}
		var a acknowledged
		if _, err := fmt.Sscanf(line, "ack %s %s %d\n", &a.edit, &a.reading, &a.revision); err != nil {
			t.Fatalf("the program said %q", line)
		}
		acks = append(acks, a)
		if len(acks) == after {
			time.AfterFunc(moment, func() { _ = cmd.Process.Kill() })
		}
	}
	if err := cmd.Wait(); err == nil || cmd.ProcessState.ExitCode() != -1 {
		t.Fatalf("the program ended by itself: %v", err)
	}
	return acks
}
