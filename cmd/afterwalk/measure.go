package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"

	"github.com/spf13/cobra"
)

func measureCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "measure FILE…",
		Short: "Print the numbers of reading files; several are one session of one dog",
		Long: `measure computes the numbers of one or more reading files. Several files are taken
as one session of one dog, in the order given. --json prints every number with
full precision; the same files give the same bytes. Numbers that would need
something that was not coded are left absent.`,
		Args: atLeast(1, "one reading file at least"),
		RunE: func(cmd *cobra.Command, args []string) error {
			readings := make([]*annotate.Reading, len(args))
			for i, path := range args {
				var err error
				if readings[i], err = readReading(path); err != nil {
					return fmt.Errorf("%s: %w", path, err)
				}
			}
			m, err := measure.Of(readings)
			if errors.Is(err, annotate.ErrInvalid) {
				return fmt.Errorf("these readings can't be measured together:\n%w", err)
			}
			if err != nil {
				return err
			}
			if !asJSON {
				return printMeasures(cmd.OutOrStdout(), readings, m)
			}
			enc := json.NewEncoder(cmd.OutOrStdout())
			enc.SetIndent("", " ")
			enc.SetEscapeHTML(false)
			return enc.Encode(m)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print everything as JSON")
	return cmd
}
