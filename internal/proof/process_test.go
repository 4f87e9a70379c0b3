package proof

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"afterwalk/internal/library"
	"afterwalk/internal/media/mediatest"
)

// built is the folder that the program was built into, "" as long as it wasn't.
var built string

func TestMain(m *testing.M) {
	code := m.Run()
	if built != "" {
		os.RemoveAll(built)
	}
	for _, do := range slices.Backward(atEnd) {
		do()
	}
	os.Exit(code)
}

// build builds the program once, with the race detector where these tests have it,
// and returns its path.
var build = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "afterwalk-proof-")
	if err != nil {
		return "", err
	}
	built = dir
	path := filepath.Join(dir, "afterwalk.exe")
	args := []string{"build", "-o", path}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "-race" {
				args = append(args, "-race="+s.Value)
			}
		}
	}
	out, err := exec.Command("go", append(args, "afterwalk/cmd/afterwalk")...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the program: %w\n%s", err, out)
	}
	return path, nil
})

// process is the real program, as a process of its own, on a library of its own.
type process struct {
	t         testing.TB
	path      string // of the program
	dir, home string // of the library; the user's own folder
	cmd       *exec.Cmd
	out       *lines // of the running process, or of the one that ran last
	ended     chan struct{}
	startURL  string
	base      string // http://127.0.0.1:PORT
}

// newProcess builds the program and gives it folders; nothing runs yet.
func newProcess(t testing.TB) *process {
	t.Helper()
	mediatest.Tools(t) // the program looks for them itself
	path, err := build()
	if err != nil {
		t.Fatal(err)
	}
	p := &process{t: t, path: path, dir: filepath.Join(t.TempDir(), "library"), home: t.TempDir()}
	t.Cleanup(func() {
		if p.cmd != nil {
			p.kill()
		}
	})
	return p
}

// command returns the program with arguments, --library coming first.
func (p *process) command(args ...string) *exec.Cmd {
	cmd := exec.Command(p.path, append([]string{"--library", p.dir}, args...)...)
	cmd.Env = append(os.Environ(), "HOME="+p.home, "USERPROFILE="+p.home, "GORACE=halt_on_error=1")
	return cmd
}

// call runs a command of the program to its end.
func (p *process) call(args ...string) (stdout, stderr string, code int) {
	p.t.Helper()
	var out, errs bytes.Buffer
	cmd := p.command(args...)
	cmd.Stdout, cmd.Stderr = &out, &errs
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		p.t.Fatal(err)
	}
	p.well(errs.String())
	return out.String(), errs.String(), cmd.ProcessState.ExitCode()
}

// must is call for a command that has to succeed.
func (p *process) must(args ...string) (stdout string) {
	p.t.Helper()
	out, errs, code := p.call(args...)
	if code != 0 {
		p.t.Fatalf("afterwalk %s ended with %d\n%s%s", strings.Join(args, " "), code, out, errs)
	}
	return out
}

// serve starts the program as a server and waits until it says where it is. It
// has to be where it was before.
func (p *process) serve() {
	p.t.Helper()
	p.cmd = p.command("--no-browser")
	p.out = &lines{}
	p.cmd.Stdout, p.cmd.Stderr = p.out, p.out
	if err := p.cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	p.ended = make(chan struct{})
	go func(cmd *exec.Cmd, ended chan struct{}) {
		_ = cmd.Wait() // how it ended stands in its state
		close(ended)
	}(p.cmd, p.ended)
	url := p.out.wait(p.t, p.ended, "http://")
	base, _, ok := strings.Cut(url, "/?start=")
	if !ok {
		p.t.Fatalf("no start address in %q", url)
	}
	if p.base != "" && p.base != base {
		p.t.Fatalf("started again at %s, was at %s: what waits in the browser stays with the old address", base, p.base)
	}
	p.base, p.startURL = base, url
}

// kill ends the server as a power cut would: without a chance to do anything.
func (p *process) kill() {
	p.t.Helper()
	_ = p.cmd.Process.Kill() // it may have ended by itself
	<-p.ended
	p.well(p.out.String())
	p.cmd = nil
}

// stop asks the server to end and waits for it.
func (p *process) stop() {
	p.t.Helper()
	if err := p.cmd.Process.Signal(os.Interrupt); err != nil {
		p.t.Fatal(err)
	}
	<-p.ended
	if code := p.cmd.ProcessState.ExitCode(); code != 0 {
		p.t.Errorf("interrupted, the server ended with %d\n%s", code, p.out)
	}
	p.well(p.out.String())
	p.cmd = nil
}

// well fails the test where a program's output tells of a fault inside it.
func (p *process) well(output string) {
	p.t.Helper()
	for _, fault := range []string{"DATA RACE", "panic", "level=ERROR"} {
		if strings.Contains(output, fault) {
			p.t.Errorf("the program tells of a fault (%s):\n%s", fault, output)
		}
	}
}

// look opens the library for reading, beside whoever writes to it.
func (p *process) look(see func(context.Context, *library.Library)) {
	p.t.Helper()
	ctx := context.Background()
	l, err := library.Open(ctx, library.Config{Dir: p.dir, ReadOnly: true})
	if err != nil {
		p.t.Fatal(err)
	}
	see(ctx, l)
	if err := l.Close(); err != nil {
		p.t.Error(err)
	}
}

// clips returns the ids of all clips.
func (p *process) clips() (ids []string) {
	p.t.Helper()
	p.look(func(ctx context.Context, l *library.Library) {
		dogs, err := l.Dogs(ctx)
		if err != nil {
			p.t.Fatal(err)
		}
		for _, d := range dogs {
			sessions, err := l.Sessions(ctx, d.ID)
			if err != nil {
				p.t.Fatal(err)
			}
			for _, s := range sessions {
				clips, err := l.Clips(ctx, s.ID)
				if err != nil {
					p.t.Fatal(err)
				}
				for _, c := range clips {
					ids = append(ids, c.ID)
				}
			}
		}
	})
	return ids
}

// desk opens the desk of a reading in a tab and waits until it can be worked.
func (p *process) desk(ctx context.Context, reading string) *page {
	p.t.Helper()
	return openDesk(p.t, ctx, p.startURL, p.base+"/desk/"+reading)
}

// lines collects what a process prints.
type lines struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *lines) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(b)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// wait waits for a line with a word that begins with prefix, and returns that word.
func (l *lines) wait(t testing.TB, ended <-chan struct{}, prefix string) string {
	t.Helper()
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	for over := time.After(time.Minute); ; {
		text := l.String()
		for line := range strings.Lines(text) {
			if !strings.HasSuffix(line, "\n") {
				break
			}
			for _, word := range strings.Fields(line) {
				if strings.HasPrefix(word, prefix) {
					return word
				}
			}
		}
		select {
		case <-tick.C:
		case <-ended:
			t.Fatalf("the program ended by itself:\n%s", l)
		case <-over:
			t.Fatalf("the program says nothing of %s:\n%s", prefix, l)
		}
	}
}
