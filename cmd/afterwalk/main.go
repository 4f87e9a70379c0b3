// Command afterwalk turns filmed training sessions into a record, on the
// trainer's own machine: it serves the pages on which clips are coded, and does
// from the command line what pages do too.
//
// Flags come in here, packages are called, an exit code goes out; nothing else
// is decided in this package.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
)

// Exit codes.
const (
	exitDone   = 0
	exitFailed = 1 // something could not be done; the message says what
	exitWrong  = 2 // the command was called wrongly
	exitPartly = 3 // some of the files could not be used; the rest was done
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run runs one command. The first interrupt stops it in order, a second one kills it.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	defer stop()
	cmd := rootCommand()
	cmd.SetArgs(args)
	cmd.SetIn(in)
	cmd.SetOut(out)
	cmd.SetErr(errs)
	err := cmd.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	var code *exitError
	if !errors.As(err, &code) {
		code = &exitError{exitFailed, err}
	}
	if code.err != nil {
		fmt.Fprintln(errs, "afterwalk:", code.err)
	}
	return code.code
}

// exitError is an error with its exit code; err is nil where all was said already.
type exitError struct {
	code int
	err  error
}

func (e *exitError) Error() string { return fmt.Sprint(e.err) }
func (e *exitError) Unwrap() error { return e.err }

// wrong marks an error as one in how the command was called.
func wrong(format string, args ...any) error {
	return &exitError{exitWrong, fmt.Errorf(format, args...)}
}
