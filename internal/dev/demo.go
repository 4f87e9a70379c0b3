package main

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"afterwalk/internal/browser"
	"afterwalk/internal/demo"
	"afterwalk/internal/library"
	"afterwalk/server"
	"afterwalk/ui"
)

// onDemo builds the demo library in a folder of its own, serves it, lets a
// browser in, and calls use with a way to take pictures of its pages.
func onDemo(ctx context.Context, out io.Writer, use func(show func(subject, size, bool) ([]byte, error)) error) (err error) {
	path := browser.Path()
	if path == "" {
		return errors.New("no Chromium found; `go run ./internal/dev test` offers to install it")
	}
	dir, err := os.MkdirTemp("", "afterwalk-demo")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	log := slog.New(slog.NewTextHandler(out, &slog.HandlerOptions{Level: slog.LevelWarn}))
	lib, err := demo.Build(ctx, library.Config{Dir: filepath.Join(dir, "library"), Now: time.Now, Log: log})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, lib.Close()) }()
	token, err := server.LoadToken(lib.Dir())
	if err != nil {
		return err
	}
	s, err := server.New(server.Config{Library: lib, UI: ui.Files(), Log: log, Addr: "127.0.0.1:0", Token: token})
	if err != nil {
		return err
	}
	if err := s.Listen(ctx); err != nil {
		return err
	}
	served := make(chan error, 1)
	go func() { served <- s.Serve(ctx) }()
	defer func() { cancel(); err = errors.Join(err, <-served) }()

	tab, end, err := browser.Start(ctx, path, filepath.Join(dir, "profile"), 1280, 720)
	if err != nil {
		return err
	}
	defer end()
	if _, err := browser.Take(tab, browser.Shot{URL: s.StartURL(), Width: 1280, Height: 720, Ready: loaded}); err != nil {
		return err
	}
	return use(func(what subject, window size, dark bool) ([]byte, error) {
		return take(ctx, tab, lib, "http://"+s.Addr(), what, window, dark)
	})
}
