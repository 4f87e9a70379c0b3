// Command render makes the demo's footage again, with what is known of it: the
// film and sound of each clip, the truth, the readers' coding, and what
// ffprobe says of the files. Its results are kept in internal/demo/footage and
// built into the program. It is for developers, needs ffmpeg, and takes some
// minutes.
//
//	go run ./internal/demo/render           film, truth, coding
//	go run ./internal/demo/render -coding   truth and coding alone; the films stay
//	go run ./internal/demo/render -try DIR  films alone, into another folder; with
//	                                        names of clips after it, only those
//
// It is run from the project's root. Encoders of other versions make other
// files, so all that it writes is committed together.
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"

	"github.com/google/renameio/v2/maybe"

	"afterwalk/internal/demo"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/media"
)

// folder is where the results are kept, from the project's root.
const folder = "internal/demo/footage"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run returns the exit code: 0 all well, 1 something failed, 2 wrong call.
func run(args []string, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	flags := flag.NewFlagSet("render", flag.ContinueOnError)
	flags.SetOutput(errs)
	codingOnly := flags.Bool("coding", false, "make truth and coding again, not the film")
	try := flags.String("try", "", "make films alone, into this folder")
	if flags.Parse(args) != nil || flags.NArg() > 0 && *try == "" {
		return 2
	}
	tools, err := media.Find()
	switch {
	case err != nil:
	case *try != "":
		err = some(ctx, tools, *try, flags.Args(), out)
	default:
		err = all(ctx, tools, !*codingOnly, out)
	}
	if err != nil {
		fmt.Fprintln(errs, "render:", err)
		return 1
	}
	return 0
}

// all makes everything.
func all(ctx context.Context, tools *media.Tools, film bool, out io.Writer) error {
	if _, err := os.Stat(folder); err != nil {
		return fmt.Errorf("run this from the project's root: %w", err)
	}
	var facts []demo.Fact
	for _, o := range outing.Clips() {
		played := outing.Play(o)
		path := filepath.Join(folder, o.File())
		if film {
			fmt.Fprintf(out, "%s: %.1f s\n", o.Name, played.Length.Seconds())
			if err := encode(ctx, tools, o, played, path); err != nil {
				return err
			}
		}
		fact, err := demo.Examine(ctx, tools, path)
		if err != nil {
			return err
		}
		facts = append(facts, fact)
		if err := write(o.Name+".json", demo.Tell(o, played, fact)); err != nil {
			return err
		}
		fmt.Fprintf(out, "%s: %d bytes, %d frames\n", o.Name, fact.Probe.Size, len(fact.Frames.PTS))
	}
	return write("facts.json", facts)
}

// some makes the films of the clips that are named, all if none is.
func some(ctx context.Context, tools *media.Tools, folder string, names []string, out io.Writer) error {
	for _, o := range outing.Clips() {
		if len(names) > 0 && !slices.Contains(names, o.Name) {
			continue
		}
		path := filepath.Join(folder, o.File())
		if err := encode(ctx, tools, o, outing.Play(o), path); err != nil {
			return err
		}
		fmt.Fprintln(out, path)
	}
	return nil
}

// write writes a value as JSON into the folder.
func write(name string, value any) error {
	text, err := json.MarshalIndent(value, "", " ")
	if err != nil {
		return err
	}
	return maybe.WriteFile(filepath.Join(folder, name), append(text, '\n'), 0o644)
}
