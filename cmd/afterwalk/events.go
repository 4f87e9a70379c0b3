package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"strings"

	"afterwalk/annotate"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"

	"github.com/spf13/cobra"
)

type eventFlags struct {
	*common
	session, dog, out string
	guarded           bool
}

func eventsCommand(flags *common) *cobra.Command {
	f := eventFlags{common: flags}
	cmd := &cobra.Command{
		Use:   "events [FILE|ID…]",
		Short: "Write coded events as a table (CSV)",
		Long: `events writes one row for each coded event: of the readings named (reading files,
or ids as ` + "`afterwalk reading list`" + ` shows them), of a session, of a dog, or, when
nothing is named, of the whole library. The first row names the columns. A clip
that several people read stands in it once for each; the column "counts" says
which reading the measures use.

Texts are kept as they were typed. A spreadsheet takes texts that begin with
= + - or @ for formulas: --guarded puts an apostrophe before them.`,
		RunE: func(cmd *cobra.Command, args []string) error { return runEvents(cmd, f, args) },
	}
	cmd.Flags().StringVar(&f.session, "session", "", "id of a session, as its page's address ends")
	cmd.Flags().StringVar(&f.dog, "dog", "", "name of a dog")
	cmd.Flags().BoolVar(&f.guarded, "guarded", false, "put an apostrophe before texts that a spreadsheet would take for formulas")
	cmd.Flags().StringVarP(&f.out, "out", "o", "", "file to write; an existing file is not overwritten")
	return cmd
}

func runEvents(cmd *cobra.Command, f eventFlags, args []string) (err error) {
	ways := 0
	for _, given := range []bool{len(args) > 0, f.session != "", f.dog != ""} {
		if given {
			ways++
		}
	}
	if ways > 1 {
		return wrong("name readings, or --session, or --dog: one of the three")
	}
	ctx := cmd.Context()
	var lib *library.Library
	if !allFiles(args) {
		if lib, err = f.open(ctx, readOnly, cmd.ErrOrStderr()); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, lib.Close()) }()
	}
	readings, err := f.readings(ctx, lib, args)
	if err != nil {
		return err
	}
	var options []exchange.CSVOption
	if f.guarded {
		options = append(options, exchange.Guarded())
	}
	return writeStream(cmd, f.out, func(w io.Writer) error { return exchange.WriteEventsCSV(w, readings, options...) })
}

// allFiles reports whether every argument is a file, and there is one.
func allFiles(args []string) bool {
	for _, a := range args {
		if _, err := os.Stat(a); err != nil {
			return false
		}
	}
	return len(args) > 0
}

// readings are the readings that the flags and arguments name.
func (f eventFlags) readings(ctx context.Context, lib *library.Library, args []string) (iter.Seq2[exchange.CodedClip, error], error) {
	if len(args) > 0 {
		return namedReadings(ctx, lib, args), nil
	}
	if f.session != "" {
		s, err := lib.Session(ctx, f.session)
		if errors.Is(err, annotate.ErrNotFound) {
			return nil, fmt.Errorf("there is no session %s; its id is the end of its page's address", f.session)
		}
		if err != nil {
			return nil, err
		}
		return coded(lib.CodedOf(ctx, s.DogID, s.ID)), nil
	}
	dogs, err := lib.Dogs(ctx)
	if err != nil {
		return nil, err
	}
	var ids, names []string
	for _, d := range dogs {
		names = append(names, d.Name)
		if f.dog == "" || strings.EqualFold(d.Name, strings.TrimSpace(f.dog)) {
			ids = append(ids, d.ID)
		}
	}
	if f.dog != "" && len(ids) == 0 {
		return nil, fmt.Errorf("there is no dog %q in the library; there are: %s", f.dog, strings.Join(names, ", "))
	}
	return func(yield func(exchange.CodedClip, error) bool) {
		for _, id := range ids {
			for n, err := range coded(lib.CodedOf(ctx, id, "")) {
				if !yield(n, err) {
					return
				}
			}
		}
	}, nil
}

// coded names each session by its date.
func coded(readings iter.Seq2[library.Coded, error]) iter.Seq2[exchange.CodedClip, error] {
	return func(yield func(exchange.CodedClip, error) bool) {
		for n, err := range readings {
			title := ""
			if n.Session.StartedAt != nil {
				title = n.Session.StartedAt.Format("2006-01-02 15:04")
			}
			if !yield(exchange.CodedClip{Reading: n.Reading, Session: title, Counts: n.Counts}, err) {
				return
			}
		}
	}
}

// namedReadings yields the readings of files and ids, as they are named; a file
// belongs to no session and counts for nothing.
func namedReadings(ctx context.Context, lib *library.Library, args []string) iter.Seq2[exchange.CodedClip, error] {
	return func(yield func(exchange.CodedClip, error) bool) {
		for _, a := range args {
			n, err := namedReading(ctx, lib, a)
			if !yield(n, err) || err != nil {
				return
			}
		}
	}
}

func namedReading(ctx context.Context, lib *library.Library, what string) (exchange.CodedClip, error) {
	if _, err := os.Stat(what); err == nil {
		r, err := readReading(what)
		if err != nil {
			err = fmt.Errorf("%s: %w", what, err)
		}
		return exchange.CodedClip{Reading: r}, err
	}
	clipID, err := lib.ReadingClip(ctx, what)
	if errors.Is(err, annotate.ErrNotFound) {
		return exchange.CodedClip{}, fmt.Errorf("%s is neither a file nor the id of a reading; `afterwalk reading list` shows the ids", what)
	}
	if err != nil {
		return exchange.CodedClip{}, err
	}
	clip, err := lib.Clip(ctx, clipID)
	if err != nil {
		return exchange.CodedClip{}, err
	}
	for n, err := range coded(lib.CodedOf(ctx, clip.DogID, clip.SessionID)) {
		if err != nil || n.Reading.ID == what {
			return n, err
		}
	}
	return exchange.CodedClip{}, fmt.Errorf("reading %s is not to be found in its session any more", what)
}

// writeStream writes to standard output as it comes, or to a new file, whole or not
// at all, if path is not "". A file that is there already is left alone.
func writeStream(cmd *cobra.Command, path string, write func(io.Writer) error) error {
	if path == "" {
		return write(cmd.OutOrStdout())
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		if err != nil {
			return err
		}
		return fmt.Errorf("%s is there already and was left as it is; choose another name", path)
	}
	part, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(part.Name()) // nothing is there once it has its name
	buffered := bufio.NewWriter(part)
	err = write(buffered)
	err = errors.Join(err, buffered.Flush(), part.Chmod(0o644), part.Sync(), part.Close())
	if err != nil {
		return err
	}
	if err := os.Rename(part.Name(), path); err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "%s written.\n", path)
	return nil
}
