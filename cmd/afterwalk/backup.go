package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"
)

func backupCommand(flags *common) *cobra.Command {
	return &cobra.Command{
		Use:   "backup FILE",
		Short: "Write a checked copy of the library's database, also while it is in use",
		Long: `backup copies the database as it is at this moment into a new FILE and checks the
copy; a copy that isn't whole is removed. Footage is not in it: back that up as
you do your other films. To go back to a copy, stop afterwalk and put the copy
in the library's folder under the name library.db; remove library.db-wal and
library.db-shm beside it.`,
		Args: exactly(1, "the name of the copy"),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			path, err := filepath.Abs(args[0])
			if err != nil {
				return err
			}
			lib, err := flags.open(cmd.Context(), readOnly, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, lib.Close()) }()
			if err := lib.Backup(cmd.Context(), path); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s holds a checked copy of %s. Footage is not in it.\n", path, lib.Dir())
			return nil
		},
	}
}
