package main

import (
	"context"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"

	"afterwalk/internal/library"
	"afterwalk/server"
	"afterwalk/ui"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"
)

type serveFlags struct {
	*common
	addr      string
	noBrowser bool
	dev       bool
}

func (f *serveFlags) register(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.addr, "addr", "", "address on this computer, such as 127.0.0.1:7171 (default: the one used last)")
	cmd.Flags().BoolVar(&f.noBrowser, "no-browser", false, "print the address, open no browser")
	cmd.Flags().BoolVar(&f.dev, "dev", false, "read pages and scripts from ./ui instead of the program")
	cmd.Flag("dev").Hidden = true
}

func runServe(cmd *cobra.Command, f serveFlags) error {
	lib, err := f.open(cmd.Context(), write, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	return serve(cmd, f, lib)
}

// serve serves an open library until the command is interrupted, then closes it.
func serve(cmd *cobra.Command, f serveFlags, lib *library.Library) (err error) {
	ctx := cmd.Context()
	defer func() {
		if e := lib.Close(); err == nil {
			err = e
		}
	}()
	// Each edit leaves the reading before it to the garbage collector; collecting
	// less often takes a tenth off an edit, for some tens of MB.
	debug.SetGCPercent(400)
	token, err := server.LoadToken(lib.Dir())
	if err != nil {
		return err
	}
	files := ui.Files()
	if f.dev {
		files = os.DirFS("ui")
	}
	s, err := server.New(server.Config{
		Library: lib, UI: files, Log: f.log(cmd.ErrOrStderr()), Addr: f.addr, Token: token, Dev: f.dev,
	})
	if err != nil {
		return err
	}
	if err := s.Listen(ctx); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "Library: %s\nOpen:    %s\nIf no page opens, open the address yourself. Ctrl-C stops afterwalk; everything is saved as you go.\n", lib.Dir(), s.StartURL())
	if !f.noBrowser {
		if err := openBrowser(ctx, lib.Dir(), s.StartURL()); err != nil {
			f.log(cmd.ErrOrStderr()).Info("no browser could be opened", "error", err)
		}
	}
	return s.Serve(ctx)
}

// openBrowser opens url in the user's browser and doesn't wait for it. The
// address lets whoever knows it in, and other users of the computer can see the
// arguments of a program; so the browser is given a page in the library's
// folder, readable by its owner alone, that leads on to the address.
func openBrowser(ctx context.Context, dir, url string) error {
	page := filepath.Join(dir, "start.html")
	text := fmt.Sprintf(`<!doctype html><meta charset="utf-8"><title>afterwalk</title>`+
		`<meta http-equiv="refresh" content="0; url=%[1]s"><p><a href="%[1]s">Open afterwalk</a></p>`, html.EscapeString(url))
	if err := maybe.WriteFile(page, []byte(text), 0o600); err != nil {
		return err
	}
	args := []string{"xdg-open", page}
	switch runtime.GOOS {
	case "windows":
		args = []string{"rundll32", "url.dll,FileProtocolHandler", page}
	case "darwin":
		args = []string{"open", page}
	}
	cmd := exec.CommandContext(context.WithoutCancel(ctx), args[0], args[1:]...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }() // reaps it; how it ends is the browser's matter
	return nil
}
