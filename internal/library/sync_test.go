package library

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// traced are the lines of a trace that say something here: a sync of a file that
// began, one that has ended, and an acknowledgement.
var (
	traceSync    = regexp.MustCompile(`^(\d+) +f(?:data)?sync\(\d+<([^>]*)>(\) += 0| <unfinished)`)
	traceResumed = regexp.MustCompile(`^(\d+) +<\.\.\. f(?:data)?sync resumed>\) += 0`)
	traceAck     = regexp.MustCompile(`^\d+ +write\(1<[^>]*>, "ack `)
)

// One edit is one sync of the write-ahead log, ended before the edit is
// acknowledged; only a checkpoint, which folds the log into the database now and
// then, takes more. The system's own calls are counted.
func TestOneSyncForEachEdit(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("strace is missing, so syncs can't be counted; the test command installs it")
		}
		t.Skip("strace is missing, so syncs can't be counted")
	}
	const edits = 400
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	reading := oneReading(t, l)
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	trace := filepath.Join(t.TempDir(), "trace")
	cmd := childCommand(t, dir, edits, reading)
	cmd.Args = append([]string{strace, "-f", "-y", "-qq", "-e", "trace=fsync,fdatasync,write", "-o", trace}, cmd.Args...)
	cmd.Path = strace
	if out, err := cmd.Output(); err != nil {
		t.Fatalf("strace: %v\n%s", err, out)
	}
	f, err := os.Open(trace)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()

	acks, logs, checkpoints, extra := 0, 0, 0, 0
	log, database := 0, 0 // syncs since the last acknowledgement
	under := map[string]string{}
	ended := func(path string) {
		switch {
		case strings.HasSuffix(path, "library.db-wal"):
			log++
		case strings.HasSuffix(path, "library.db"):
			database++
		}
	}
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		line := lines.Text()
		if m := traceSync.FindStringSubmatch(line); m != nil {
			if strings.HasSuffix(m[3], "unfinished") {
				under[m[1]] = m[2]
			} else {
				ended(m[2])
			}
		} else if m := traceResumed.FindStringSubmatch(line); m != nil {
			ended(under[m[1]])
		} else if traceAck.MatchString(line) {
			acks++
			logs += log
			switch {
			case log == 0:
				t.Errorf("edit %d was acknowledged without a sync of the log", acks)
			case database > 0:
				checkpoints++
				extra += log - 1
			case log > 1 && acks > 1: // the first line has the opening of the library before it
				// A log that begins anew after a checkpoint has its head synced too.
				extra += log - 1
				if checkpoints == 0 {
					t.Errorf("edit %d took %d syncs of the log, want 1", acks, log)
				}
			}
			log, database = 0, 0
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	if acks != edits {
		t.Errorf("%d edits were acknowledged in the trace, want %d", acks, edits)
	}
	if extra > 3*checkpoints {
		t.Errorf("%d syncs of the log beyond one for each edit, with %d checkpoints", extra, checkpoints)
	}
	t.Logf("%d acknowledged edits, %d syncs of the log, %d checkpoints", acks, logs, checkpoints)
}
