package media

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"time"
)

// errSilent is the cause of a run that was ended because it had said nothing for
// too long.
var errSilent = errors.New("no output for too long")

// stderrKept is how much of a program's messages is kept from the beginning, and
// again from the end.
const stderrKept = 4 << 10

// run runs a program and hands its output to read while it comes. It ends the
// program when ctx ends, when read fails, or when nothing came for idle. read
// gets io.EOF where the output ends, whatever the reason.
//
// messages is what the program wrote to stderr, its middle left out if it was
// long; it is for the log and for telling faults apart. The error is ctx's own
// where ctx ended, since a killed program says only that it was killed.
func run(ctx context.Context, idle time.Duration, program string, args []string, read func(io.Reader) error) (messages string, err error) {
	return runAs(ctx, idle, program, args, read, func(pid int) {})
}

// runLow is run for long work, which gives way to everything else.
func runLow(ctx context.Context, idle time.Duration, program string, args []string, read func(io.Reader) error) (messages string, err error) {
	return runAs(ctx, idle, program, args, read, lower)
}

func runAs(ctx context.Context, idle time.Duration, program string, args []string, read func(io.Reader) error, started func(pid int)) (messages string, err error) {
	inner, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	cmd := exec.CommandContext(inner, program, args...)
	cmd.Env = environment(os.Environ())
	cmd.WaitDelay = 2 * time.Second
	var said bounded
	cmd.Stderr = &said
	out, err := cmd.StdoutPipe()
	if err != nil {
		return "", err
	}
	if err := cmd.Start(); err != nil {
		return "", err
	}
	started(cmd.Process.Pid)
	silence := time.AfterFunc(idle, func() { stop(errSilent) })
	defer silence.Stop()
	readErr := read(&alive{out, silence, idle})
	if readErr != nil {
		stop(readErr)
	}
	waitErr := cmd.Wait()
	messages = said.String()
	switch {
	case ctx.Err() != nil:
		return messages, ctx.Err()
	case readErr != nil:
		return messages, readErr
	case context.Cause(inner) != nil:
		return messages, context.Cause(inner)
	case waitErr != nil:
		return messages, fmt.Errorf("%w: %s", waitErr, messages)
	}
	return messages, nil
}

// environment drops the variables by which ffmpeg would write log files or
// colour its messages.
func environment(env []string) []string {
	var kept []string
	for _, e := range env {
		if !strings.HasPrefix(e, "FFREPORT=") && !strings.HasPrefix(e, "AV_LOG_FORCE_") {
			kept = append(kept, e)
		}
	}
	return kept
}

// alive is a reader that pushes the end of silence away with every read.
type alive struct {
	r       io.Reader
	silence *time.Timer
	idle    time.Duration
}

func (a *alive) Read(p []byte) (int, error) {
	n, err := a.r.Read(p)
	if n > 0 {
		a.silence.Reset(a.idle)
	}
	return n, err
}

// bounded keeps the beginning and the end of what is written to it.
type bounded struct {
	head, tail []byte
	left       bool // something between them was left out
}

func (b *bounded) Write(p []byte) (int, error) {
	n := len(p)
	if room := stderrKept - len(b.head); room > 0 {
		take := min(room, len(p))
		b.head = append(b.head, p[:take]...)
		p = p[take:]
	}
	b.tail = append(b.tail, p...)
	if over := len(b.tail) - stderrKept; over > 0 {
		b.tail = append(b.tail[:0], b.tail[over:]...)
		b.left = true
	}
	return n, nil
}

func (b *bounded) String() string {
	middle := ""
	if b.left {
		middle = "\n…\n"
	}
	return strings.ToValidUTF8(string(b.head)+middle+string(b.tail), "�")
}
