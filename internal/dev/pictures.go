package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"afterwalk/internal/browser"
	"afterwalk/internal/library"
)

// pictureDir is where the documents' pictures lie.
const pictureDir = "internal/dev/pictures"

// size is a window to look at pages in.
type size struct{ width, height int }

// pictures takes every picture of the documents anew.
func pictures(ctx context.Context, out io.Writer) error {
	return onDemo(ctx, out, func(show func(subject, size, bool) ([]byte, error)) error {
		if err := os.MkdirAll(pictureDir, 0o755); err != nil {
			return err
		}
		for _, p := range []struct {
			file string
			subject
			dark bool
		}{{"desk.png", deskPage, false}, {"desk-dark.png", deskPage, true}, {"dog.png", dogPage, false}} {
			png, err := show(p.subject, size{1280, 720}, p.dark)
			if err != nil {
				return err
			}
			if err := os.WriteFile(filepath.Join(pictureDir, p.file), png, 0o644); err != nil {
				return err
			}
			fmt.Fprintln(out, pictureDir+"/"+p.file)
		}
		return nil
	})
}

// look takes every page at both sizes, light and dark, into a folder.
func look(ctx context.Context, out io.Writer, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	return onDemo(ctx, out, func(show func(subject, size, bool) ([]byte, error)) error {
		for _, s := range subjects {
			for _, window := range []size{{1280, 720}, {820, 1180}} {
				for _, dark := range []bool{false, true} {
					png, err := show(s, window, dark)
					if err != nil {
						return err
					}
					name := fmt.Sprintf("%s-%d%s.png", s.name, window.width, map[bool]string{true: "-dark"}[dark])
					if err := os.WriteFile(filepath.Join(folder, name), png, 0o644); err != nil {
						return err
					}
					fmt.Fprintln(out, name)
				}
			}
		}
		return nil
	})
}

// take returns the picture of a subject on a server at base.
func take(ctx context.Context, tab context.Context, lib *library.Library, base string, s subject, window size, dark bool) ([]byte, error) {
	path, err := s.path(ctx, lib)
	if err != nil {
		return nil, err
	}
	return browser.Take(tab, browser.Shot{
		URL: base + path, Width: window.width, Height: window.height, Dark: dark, Ready: s.ready, Prepare: s.prepare,
	})
}
