package main

import (
	"fmt"
	"time"

	"afterwalk/internal/demo"
	"afterwalk/internal/library"

	"github.com/spf13/cobra"
)

func demoCommand(flags *common) *cobra.Command {
	f := serveFlags{common: flags}
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Serve a small library with invented footage and coding",
		Long: `demo makes a library of eight rendered outings of two invented dogs over six weeks,
with sound and coding, and serves it. It needs no ffmpeg. What you change in it is kept for the
next time; remove its folder to begin anew.`,
		Args: exactly(0, "no arguments"),
		RunE: func(cmd *cobra.Command, _ []string) error {
			dir, err := flags.libraryDir("demo")
			if err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), "Making the demo library…")
			lib, err := demo.Build(cmd.Context(), library.Config{Dir: dir, Now: time.Now, Log: flags.log(cmd.ErrOrStderr())})
			if err != nil {
				return err
			}
			return serve(cmd, f, lib)
		},
	}
	f.register(cmd)
	return cmd
}
