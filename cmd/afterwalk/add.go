package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"afterwalk/internal/library"
	"afterwalk/internal/media"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
)

type addFlags struct {
	*common
	dog string
	gap time.Duration
}

func addCommand(flags *common) *cobra.Command {
	f := addFlags{common: flags}
	cmd := &cobra.Command{
		Use:   "add --dog NAME FILE|FOLDER…",
		Short: "Add clips of a dog; the files stay where they are",
		Long: `add takes video files, and folders with all below them, into the library. Files
are never copied or changed. Clips are grouped into sessions by the time they
were recorded; files that are known already are found again, also after a move.
A file that can't be used is named with what is wrong, and the rest goes on
(exit code 3).`,
		Args: atLeast(1, "one file or folder at least"),
		RunE: func(cmd *cobra.Command, args []string) error { return runAdd(cmd, f, args) },
	}
	cmd.Flags().StringVar(&f.dog, "dog", "", "the dog's name; a new name makes a new dog")
	cmd.Flags().DurationVar(&f.gap, "gap", 30*time.Minute, "a longer pause between clips begins a new session")
	return cmd
}

func runAdd(cmd *cobra.Command, f addFlags, paths []string) (err error) {
	if f.dog == "" {
		return wrong("whose clips are these? Give --dog NAME")
	}
	if f.gap <= 0 {
		return wrong("--gap must be longer than 0")
	}
	if _, err := media.Find(); err != nil {
		return err
	}
	ctx := cmd.Context()
	lib, err := f.open(ctx, write, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, lib.Close()) }()
	bar := newBar(cmd.ErrOrStderr(), "reading")
	report, err := lib.Add(ctx, library.AddRequest{Dog: f.dog, Paths: paths, Gap: f.gap}, bar.step)
	bar.finish()
	if err != nil {
		return err
	}
	refused := printReport(cmd.OutOrStdout(), report)
	fmt.Fprintln(cmd.ErrOrStderr(), "Reading the time of every frame; the clips can be played before this is done.")
	if err := lib.WaitFrames(ctx); err != nil {
		return fmt.Errorf("the clips are added; reading their frames goes on when the library is opened next: %w", err)
	}
	if err := copies(ctx, lib, cmd.ErrOrStderr()); err != nil {
		return fmt.Errorf("the clips are added; making copies that play goes on when the library is opened next: %w", err)
	}
	if refused > 0 {
		return &exitError{exitPartly, fmt.Errorf("%d of %d files could not be added; the others were", refused, len(report.Files))}
	}
	return nil
}

// copies waits for the copies of films that browsers can't play, and shows how far
// they are.
func copies(ctx context.Context, lib *library.Library, out io.Writer) error {
	notices, cancel := lib.Watch()
	bar := newBar(out, "copy")
	drawn := make(chan struct{})
	go func() {
		defer close(drawn)
		for n := range notices {
			if n.Job != nil && n.Job.Kind == library.KindProxy && n.Job.State == "running" {
				bar.step(int(100*n.Job.Done), 100, n.Job.Title)
			}
		}
	}()
	err := lib.WaitProxies(ctx)
	cancel()
	<-drawn
	bar.finish()
	return err
}

// printReport prints a line for each file and returns how many were not added.
func printReport(out io.Writer, report library.AddReport) (refused int) {
	for _, file := range report.Files {
		what := "added"
		switch {
		case file.ClipID == "":
			what = "not added"
			refused++
		case file.Moved:
			what = "found again at a new place"
		case file.Again:
			what = "in the library already"
		}
		fmt.Fprintf(out, "%s: %s", file.Path, what)
		if file.Problem != "" {
			fmt.Fprintf(out, ". %s", file.Problem)
		}
		fmt.Fprintln(out)
	}
	if len(report.Files) == 0 {
		fmt.Fprintln(out, "No video files were found there.")
	}
	return refused
}

// bar shows progress on a terminal and nothing elsewhere.
type bar struct{ bar *progressbar.ProgressBar }

func newBar(w io.Writer, what string) *bar {
	return &bar{progressbar.NewOptions(-1, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription(what),
		progressbar.OptionSetVisibility(isTerminal(w)), progressbar.OptionClearOnFinish(), progressbar.OptionShowCount())}
}

func (b *bar) step(done, total int, name string) {
	b.bar.ChangeMax(total)
	b.bar.Describe(name)
	_ = b.bar.Set(done) // a bar that can't be drawn stops nothing
}

func (b *bar) finish() { _ = b.bar.Finish() }
