package main

import (
	"errors"
	"fmt"
	"os"

	"afterwalk/annotate"
	"afterwalk/annotate/caption"
	"afterwalk/internal/exchange"

	"github.com/spf13/cobra"
)

type captionFlags struct {
	*common
	format, out string
}

func captionsCommand(flags *common) *cobra.Command {
	f := captionFlags{common: flags}
	cmd := &cobra.Command{
		Use:   "captions FILE|ID",
		Short: "Write a reading as a caption track, WebVTT or SRT",
		Long: `captions writes the coder's track of a reading: everything that was coded, terse,
one caption for each event. The reading is a reading file or the id of one in
the library (see ` + "`afterwalk reading list`" + `). Texts that a format can't hold are replaced
visibly and named.`,
		Args: exactly(1, "a reading file or the id of a reading"),
		RunE: func(cmd *cobra.Command, args []string) error { return runCaptions(cmd, f, args[0]) },
	}
	cmd.Flags().StringVar(&f.format, "format", "vtt", "vtt (WebVTT) or srt")
	cmd.Flags().StringVarP(&f.out, "out", "o", "", "file to write; an existing file is not overwritten")
	return cmd
}

func runCaptions(cmd *cobra.Command, f captionFlags, what string) error {
	write := exchange.WriteVTT
	switch f.format {
	case "vtt":
	case "srt":
		write = exchange.WriteSRT
	default:
		return wrong("--format is vtt or srt, not %q", f.format)
	}
	r, err := f.findReading(cmd, what)
	if err != nil {
		return err
	}
	return writeOut(cmd, f.out, func(w *output) error {
		replaced, err := write(w, caption.Coder(r, caption.DefaultFit()))
		for _, p := range replaced {
			fmt.Fprintf(cmd.ErrOrStderr(), "event %v: %s\n", p.Events, p.What)
		}
		return err
	})
}

// findReading reads a reading file, or gets the reading with an id from the library.
func (c *common) findReading(cmd *cobra.Command, what string) (r *annotate.Reading, err error) {
	if _, statErr := os.Stat(what); statErr == nil {
		return readReading(what)
	}
	lib, err := c.open(cmd.Context(), readOnly, cmd.ErrOrStderr())
	if err != nil {
		return nil, fmt.Errorf("%s is no file, and no library could be asked for a reading of that id: %w", what, err)
	}
	defer func() { err = errors.Join(err, lib.Close()) }()
	r, err = lib.Reading(cmd.Context(), what)
	if errors.Is(err, annotate.ErrNotFound) {
		return nil, fmt.Errorf("%s is neither a file nor the id of a reading; `afterwalk reading list` shows the ids", what)
	}
	return r, err
}
