package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"

	"afterwalk/internal/browser"
)

// need is a program that the checks use.
type need struct {
	name    string
	there   func() bool
	debian  string // package that brings it
	without string // what can't be checked without it
}

func onPath(name string) func() bool {
	return func() bool { _, err := exec.LookPath(name); return err == nil }
}

var needs = []need{
	{"a C compiler", func() bool { return onPath("cc")() || onPath("gcc")() }, "gcc libc6-dev", "SQLite can't be built"},
	{"ffmpeg", onPath("ffmpeg"), "ffmpeg", "footage can't be read or made"},
	{"ffprobe", onPath("ffprobe"), "ffmpeg", "footage can't be read"},
	{"Chromium", func() bool { return browser.Path() != "" }, "chromium fonts-dejavu-core", "pages can't be tried"},
	{"strace", onPath("strace"), "strace", "syncs to the disk can't be counted"},
}

// provide installs what is missing. It asks first unless CI is set.
func provide(ctx context.Context, in io.Reader, out io.Writer) error {
	var packages, missing []string
	for _, n := range needs {
		if !n.there() {
			missing = append(missing, n.name+" ("+n.without+")")
			packages = append(packages, strings.Fields(n.debian)...)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	fmt.Fprintln(out, "missing:", strings.Join(missing, ", "))
	if _, err := exec.LookPath("apt-get"); err != nil {
		return errors.New("install these with your system's package manager, then run this again")
	}
	var prefix []string
	if os.Geteuid() != 0 {
		prefix = []string{"sudo"}
	}
	install := append(append(prefix[:len(prefix):len(prefix)], "apt-get", "install", "-y", "--no-install-recommends"), packages...)
	if os.Getenv("CI") == "" {
		fmt.Fprintf(out, "run `%s`? [y/N] ", strings.Join(install, " "))
		answer, _ := bufio.NewReader(in).ReadString('\n')
		if strings.ToLower(strings.TrimSpace(answer)) != "y" {
			return errors.New("nothing was installed; the checks need these programs")
		}
	}
	os.Setenv("DEBIAN_FRONTEND", "noninteractive")
	if err := command(ctx, out, append(prefix[:len(prefix):len(prefix)], "apt-get", "update", "-qq")...); err != nil {
		return err
	}
	if err := command(ctx, out, install...); err != nil {
		return err
	}
	for _, n := range needs {
		if !n.there() {
			return fmt.Errorf("%s is still missing after the installation", n.name)
		}
	}
	return nil
}

// command runs a program with its output shown.
func command(ctx context.Context, out io.Writer, args ...string) error {
	cmd := exec.CommandContext(ctx, args[0], args[1:]...)
	cmd.Stdout, cmd.Stderr = out, out
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w", strings.Join(args, " "), err)
	}
	return nil
}
