package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
)

func checkCommand(flags *common) *cobra.Command {
	return &cobra.Command{
		Use:   "check",
		Short: "Check the database, and each journal of edits against its events",
		Long: `check reads the whole library, also while it is in use, and changes nothing. It
exits with 1 if anything is wrong.`,
		Args: exactly(0, "no arguments"),
		RunE: func(cmd *cobra.Command, _ []string) (err error) {
			lib, err := flags.open(cmd.Context(), readOnly, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, lib.Close()) }()
			report, err := lib.Check(cmd.Context())
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%d readings, %d edits, %d events checked.\n", report.Readings, report.Edits, report.Events)
			for _, problem := range report.Problems {
				fmt.Fprintln(cmd.OutOrStdout(), "-", problem)
			}
			if n := len(report.Problems); n > 0 {
				problems := fmt.Sprintf("%d problems", n)
				if n == 1 {
					problems = "1 problem"
				}
				return fmt.Errorf("%s. Nothing was changed; keep the library's folder as it is and go back to a backup, or ask for help with this list", problems)
			}
			fmt.Fprintln(cmd.OutOrStdout(), "All is well.")
			return nil
		},
	}
}
