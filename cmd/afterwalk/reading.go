package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"text/tabwriter"

	"afterwalk/annotate"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"

	"github.com/spf13/cobra"
)

func readingCommand(flags *common) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "reading",
		Short: "List readings, write them to files, take them in from files",
		Args:  noArgument,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return wrong("say what to do with readings: list, export or import")
		},
	}
	cmd.AddCommand(readingList(flags), readingExport(flags), readingImport(flags))
	return cmd
}

func readingList(flags *common) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "List the readings of the library with their ids",
		Args:  exactly(0, "no arguments"),
		RunE: func(cmd *cobra.Command, _ []string) (err error) {
			ctx := cmd.Context()
			lib, err := flags.open(ctx, readOnly, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, lib.Close()) }()
			table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 0, 2, ' ', 0)
			fmt.Fprintln(table, "id\tdog\tclip\treader\tevents\tfinished")
			dogs, err := lib.Dogs(ctx)
			if err != nil {
				return err
			}
			for _, dog := range dogs {
				if err := listDog(cmd, lib, table, dog.ID, dog.Name); err != nil {
					return err
				}
			}
			return table.Flush()
		},
	}
}

func listDog(cmd *cobra.Command, lib *library.Library, table *tabwriter.Writer, dogID, name string) error {
	ctx := cmd.Context()
	sessions, err := lib.Sessions(ctx, dogID)
	if err != nil {
		return err
	}
	for _, session := range sessions {
		clips, err := lib.Clips(ctx, session.ID)
		if err != nil {
			return err
		}
		for _, clip := range clips {
			readings, err := lib.Readings(ctx, clip.ID)
			if err != nil {
				return err
			}
			for _, r := range readings {
				fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%d\t%t\n", r.ID, name, clip.Footage.Path, r.Reader, r.Events, r.Finished)
			}
		}
	}
	return nil
}

func readingExport(flags *common) *cobra.Command {
	var to string
	cmd := &cobra.Command{
		Use:   "export ID",
		Short: "Write a reading to a file",
		Long: `export writes the reading with this id (see ` + "`afterwalk reading list`" + `) as a reading
file, whole, also while the library is in use. Without --out it goes to standard output.`,
		Args: exactly(1, "the id of a reading"),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			lib, err := flags.open(cmd.Context(), readOnly, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, lib.Close()) }()
			r, err := lib.Reading(cmd.Context(), args[0])
			if errors.Is(err, annotate.ErrNotFound) {
				return fmt.Errorf("there is no reading %s; `afterwalk reading list` shows them", args[0])
			}
			if err != nil {
				return err
			}
			return writeOut(cmd, to, func(w *output) error { return exchange.WriteReading(w, r) })
		},
	}
	cmd.Flags().StringVarP(&to, "out", "o", "", "file to write; an existing file is not overwritten")
	return cmd
}

func readingImport(flags *common) *cobra.Command {
	var clip string
	cmd := &cobra.Command{
		Use:   "import FILE…",
		Short: "Take readings in from files, each for the clip it was made of",
		Long: `import stores each reading file as a new reading of the clip that it was made of,
found by the clip's fingerprint, else by its file name. Nothing that is in the
library is replaced. A file that breaks a rule is refused whole, with every
reason, and the rest goes on (exit code 3).`,
		Args: atLeast(1, "one reading file at least"),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			lib, err := flags.open(cmd.Context(), write, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, lib.Close()) }()
			refused := 0
			for _, path := range args {
				id, err := importReading(cmd, lib, path, clip)
				if err != nil {
					if cmd.Context().Err() != nil {
						return err
					}
					refused++
					fmt.Fprintf(cmd.ErrOrStderr(), "%s: not taken in: %v\n", path, err)
					continue
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: reading %s\n", path, id)
			}
			if refused > 0 {
				return &exitError{exitPartly, fmt.Errorf("%d of %d files were refused; nothing of them was kept", refused, len(args))}
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&clip, "clip", "", "id of the clip to store it for (default: the clip it was made of)")
	return cmd
}

// importReading reads one file and stores it for its clip.
func importReading(cmd *cobra.Command, lib *library.Library, path, clipID string) (string, error) {
	r, err := readReading(path)
	if err != nil {
		return "", err
	}
	if clipID == "" {
		clips, err := lib.FindClips(cmd.Context(), r.Clip.Fingerprint, r.Clip.File)
		switch {
		case err != nil:
			return "", err
		case len(clips) == 0:
			return "", fmt.Errorf("its clip, %s, is not in the library; add it first", r.Clip.File)
		case len(clips) > 1:
			return "", fmt.Errorf("%d clips of the library fit %s; say which with --clip", len(clips), r.Clip.File)
		}
		clipID = clips[0].ID
	}
	return lib.ImportReading(cmd.Context(), clipID, r)
}

// readReading reads a reading file.
func readReading(path string) (*annotate.Reading, error) {
	f, err := os.Open(filepath.Clean(path))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return exchange.ReadReading(f)
}
