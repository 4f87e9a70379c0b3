package main

import (
	"github.com/spf13/cobra"
)

// common are the flags that every command has.
type common struct {
	library string // folder; "" is the one in the system's data place
	verbose bool
}

func rootCommand() *cobra.Command {
	flags := &common{}
	serve := serveFlags{common: flags}
	cmd := &cobra.Command{
		Use:   "afterwalk",
		Short: "Turn filmed dog training into a record",
		Long: `afterwalk serves your library of filmed training sessions to the browser on this
computer: clips are coded beside their film, and become numbers, charts and
captions. Footage stays where it is and never leaves the machine.

Without a command it serves the library. Exit codes: 0 done, 1 failed, 2 called
wrongly, 3 some of the files could not be used, the rest was done.`,
		Args:          noArgument,
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE:          func(cmd *cobra.Command, _ []string) error { return runServe(cmd, serve) },
	}
	cmd.PersistentFlags().StringVar(&flags.library, "library", "", "folder of the library (default: in the system's data place)")
	cmd.PersistentFlags().BoolVarP(&flags.verbose, "verbose", "v", false, "log every request")
	serve.register(cmd)
	cmd.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return wrong("%w", err) })
	cmd.AddCommand(demoCommand(flags), addCommand(flags), readingCommand(flags), measureCommand(),
		captionsCommand(flags), eventsCommand(flags), backupCommand(flags), checkCommand(flags))
	return cmd
}

// noArgument refuses an argument where only the name of a command can stand.
func noArgument(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return wrong("there is no command %q in `%s`; see `%s --help`", args[0], cmd.CommandPath(), cmd.CommandPath())
	}
	return nil
}

// exactly and atLeast check the number of arguments and say what is missing.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return wrong("%s takes %s; see `%s --help`", cmd.CommandPath(), what, cmd.CommandPath())
		}
		return nil
	}
}

func atLeast(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < n {
			return wrong("%s takes %s; see `%s --help`", cmd.CommandPath(), what, cmd.CommandPath())
		}
		return nil
	}
}
