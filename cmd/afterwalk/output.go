package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"
)

// output collects what a command writes, so that a file is whole or not there.
type output struct{ bytes.Buffer }

// writeOut writes to standard output, or to a new file if path is not "". A file
// that is there already is left alone.
func writeOut(cmd *cobra.Command, path string, write func(*output) error) error {
	var buf output
	if err := write(&buf); err != nil {
		return err
	}
	if path == "" {
		_, err := cmd.OutOrStdout().Write(buf.Bytes())
		return err
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		if err != nil {
			return err
		}
		return fmt.Errorf("%s is there already and was left as it is; choose another name", path)
	}
	if err := maybe.WriteFile(path, buf.Bytes(), 0o644); err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "%s written.\n", path)
	return nil
}
