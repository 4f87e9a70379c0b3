// Command dev is what developers run: the one test command, and the pictures in
// the documents.
//
//	go run ./internal/dev test       all checks, as CI runs them
//	go run ./internal/dev pictures   makes the pictures in the documents again
//	go run ./internal/dev look DIR   every page at both sizes, light and dark, into DIR
//
// It is run from the project's root. test installs ffmpeg, Chromium and strace if they
// are missing, and asks first unless CI is set.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
)

const usage = `usage: go run ./internal/dev test | pictures | look DIR
  test      gofmt, go mod tidy -diff, vet, staticcheck, then every test with the race detector
  pictures  makes the pictures in README.md and DEVELOPERS.md again
  look      takes every page of the demo at both sizes, light and dark, into DIR
`

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run returns the exit code: 0 all well, 1 a check failed, 2 wrong call.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	var err error
	switch {
	case len(args) == 1 && args[0] == "test":
		err = test(ctx, in, out)
	case len(args) == 1 && args[0] == "pictures":
		err = pictures(ctx, out)
	case len(args) == 2 && args[0] == "look":
		err = look(ctx, out, args[1])
	default:
		fmt.Fprint(errs, usage)
		return 2
	}
	if err != nil {
		fmt.Fprintln(errs, "dev:", err)
		return 1
	}
	return 0
}
