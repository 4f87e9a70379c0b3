package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"time"
)

// step is one part of the checks.
type step struct {
	name string
	run  func(ctx context.Context, out io.Writer) error
}

var steps = []step{
	{"gofmt", gofmt},
	{"go mod tidy", program("go", "mod", "tidy", "-diff")},
	{"go vet", program("go", "vet", "./...")},
	{"staticcheck", program("go", "tool", "staticcheck", "./...")},
	// Rules of the house, units, properties, golden files, commands and pages in
	// a real browser are all Go tests. Those of the whole program come last and
	// alone: a film that plays and a page that answers need a core each.
	{"go test -race", func(ctx context.Context, out io.Writer) error {
		packages, err := exec.CommandContext(ctx, "go", "list", "./...").Output()
		if err != nil {
			return err
		}
		rest := slices.DeleteFunc(strings.Fields(string(packages)), func(p string) bool { return p == wholeProgram })
		return program(append([]string{"go", "test", "-race", "-timeout", "10m"}, rest...)...)(ctx, out)
	}},
	{"go test -race " + wholeProgram, program("go", "test", "-race", "-timeout", "10m", wholeProgram)},
}

// wholeProgram is the package with the tests of the whole program.
const wholeProgram = "afterwalk/internal/proof"

// test runs every check and says how long each took. It goes on after a failure,
// so that one run shows all.
func test(ctx context.Context, in io.Reader, out io.Writer) error {
	if _, err := os.Stat("go.mod"); err != nil {
		return errors.New("run this from the project's root")
	}
	if err := provide(ctx, in, out); err != nil {
		return err
	}
	var failed []string
	begin := time.Now()
	for _, s := range steps {
		fmt.Fprintln(out, "==", s.name)
		start := time.Now()
		if err := s.run(ctx, out); err != nil {
			if ctx.Err() != nil {
				return errors.New("stopped")
			}
			fmt.Fprintln(out, "FAILED:", s.name+":", err)
			failed = append(failed, s.name)
		}
		fmt.Fprintf(out, "-- %s: %.1f s\n", s.name, time.Since(start).Seconds())
	}
	fmt.Fprintf(out, "all checks: %.0f s\n", time.Since(begin).Seconds())
	if len(failed) > 0 {
		return errors.New("failed: " + strings.Join(failed, ", "))
	}
	return nil
}

// program returns a step that runs one program. The tests are told to fail, not
// to skip, where a program that they need is missing: it was installed above.
func program(args ...string) func(context.Context, io.Writer) error {
	return func(ctx context.Context, out io.Writer) error {
		cmd := exec.CommandContext(ctx, args[0], args[1:]...)
		cmd.Stdout, cmd.Stderr = out, out
		cmd.Env = append(os.Environ(), "CI=true")
		return cmd.Run()
	}
}

// gofmt fails with the names of files that are not in gofmt's form.
func gofmt(ctx context.Context, out io.Writer) error {
	var names bytes.Buffer
	cmd := exec.CommandContext(ctx, "gofmt", "-l", ".")
	cmd.Stdout, cmd.Stderr = &names, out
	if err := cmd.Run(); err != nil {
		return err
	}
	if names.Len() > 0 {
		return fmt.Errorf("not in gofmt's form: %s", strings.Join(strings.Fields(names.String()), " "))
	}
	return nil
}
