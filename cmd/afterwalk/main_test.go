package main

import (
	"database/sql"
	"errors"
	"flag"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
)

var update = flag.Bool("update", false, "write what is printed into the scripts")

// footage are the clips that scripts find in their folder, by name.
var footage = map[string]string{"walk.mp4": "cfr30", "new-phone.mp4": "hevc", "cut-off.mp4": "nomoov", "list.mp4": "playlist"}

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"afterwalk": main})
}

// The commands as they are typed, from scripts: each begins in an empty folder
// with an empty data place. Where there is no ffmpeg, scripts that need footage
// are skipped; if CI is set, that fails.
func TestScripts(t *testing.T) {
	clips := map[string]string{}
	t.Run("clips", func(t *testing.T) {
		for name, recipe := range footage {
			clips[name] = mediatest.Make(t, recipe).Path
		}
	})
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			env.Setenv("LocalAppData", filepath.Join(env.WorkDir, "data"))
			env.Setenv("GORACE", "halt_on_error=1 exitcode=66")
			if dir := os.Getenv(media.FolderVar); dir != "" {
				env.Setenv(media.FolderVar, dir)
			}
			for name, path := range clips {
				b, err := os.ReadFile(path)
				if err != nil {
					return err
				}
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), b, 0o600); err != nil {
					return err
				}
			}
			return nil
		},
		Condition: func(cond string) (bool, error) {
			if cond == "footage" {
				return len(clips) == len(footage), nil
			}
			return false, errors.New("unknown condition")
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "served": served, "taken": taken, "let": let, "sqlite": sqlite,
		},
	})
}

// exits runs a program that has to end with an exit code: exits CODE program args….
func exits(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	if neg || err != nil {
		ts.Fatalf("usage: exits CODE program args…")
	}
	got := 0
	err = ts.Exec(args[1], args[2:]...)
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("it ended with %d, want %d", got, want)
	}
}

// served waits until a library is served and keeps its address: served FOLDER NAME.
func served(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: served FOLDER NAME")
	}
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		b, err := os.ReadFile(filepath.Join(ts.MkAbs(args[0]), "lock"))
		if err != nil {
			continue
		}
		if lines := strings.Split(string(b), "\n"); len(lines) > 1 && lines[1] != "" {
			ts.Setenv(args[1], lines[1])
			return
		}
	}
	ts.Fatalf("%s isn't served", args[0])
}

// taken takes a port and keeps its address: taken NAME.
func taken(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: taken NAME")
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	ts.Check(err)
	ts.Defer(func() { l.Close() })
	ts.Setenv(args[0], l.Addr().String())
}

// let keeps what the first group of a pattern matches in what was printed last:
// let NAME PATTERN.
func let(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: let NAME PATTERN")
	}
	pattern, err := regexp.Compile("(?m)" + args[1])
	ts.Check(err)
	found := pattern.FindStringSubmatch(ts.ReadFile("stdout"))
	if len(found) < 2 {
		ts.Fatalf("%s isn't in\n%s", args[1], ts.ReadFile("stdout"))
	}
	ts.Setenv(args[0], found[1])
}

// sqlite runs a statement on a library's database: sqlite FOLDER STATEMENT.
func sqlite(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: sqlite FOLDER STATEMENT")
	}
	db, err := sql.Open("sqlite3", filepath.Join(ts.MkAbs(args[0]), "library.db"))
	ts.Check(err)
	_, err = db.Exec(args[1])
	ts.Check(errors.Join(err, db.Close()))
}
