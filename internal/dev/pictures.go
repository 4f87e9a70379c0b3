package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"afterwalk/internal/browser"
	"afterwalk/internal/demo"
	"afterwalk/internal/library"
	"afterwalk/server"
	"afterwalk/ui"
)

// pictureDir is where the documents' pictures lie.
const pictureDir = "internal/dev/pictures"

// picture is one picture of the demo library; path leads to the page.
type picture struct {
	name string
	path func(context.Context, *library.Library) (string, error)
	shot browser.Shot
}

// deskReady is true once the desk can be worked; toTheMiddle then goes to 0:35.6.
const deskReady = `window.desk && desk.player.frames && desk.reading.events.length && desk.reading.measures && desk.player.media_us >= 0`

const toTheMiddle = `desk.player.goTo(35.6e6);
	await new Promise(done => { const look = () => desk.player.seeking || desk.player.shown_us < 35e6 ? setTimeout(look, 20) : done(); look(); })`

var allPictures = []picture{
	{"desk.png", deskPath, browser.Shot{Width: 1280, Height: 720, Ready: deskReady, Prepare: toTheMiddle}},
	{"desk-dark.png", deskPath, browser.Shot{Width: 1280, Height: 720, Dark: true, Ready: deskReady, Prepare: toTheMiddle}},
	{"dog.png", dogPath, browser.Shot{Width: 1280, Height: 720, Ready: `document.querySelectorAll("svg").length >= 3`}},
}

// pictures builds the demo library in a folder of its own, serves it, and takes
// every picture of the documents anew.
func pictures(ctx context.Context, out io.Writer) (err error) {
	path := browser.Path()
	if path == "" {
		return errors.New("no Chromium found; `go run ./internal/dev test` offers to install it")
	}
	dir, err := os.MkdirTemp("", "afterwalk-pictures")
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
	// The start address lets the browser in.
	if _, err := browser.Take(tab, browser.Shot{URL: s.StartURL(), Width: 1280, Height: 720, Ready: "document.readyState === 'complete'"}); err != nil {
		return err
	}
	if err := os.MkdirAll(pictureDir, 0o755); err != nil {
		return err
	}
	for _, p := range allPictures {
		at, err := p.path(ctx, lib)
		if err != nil {
			return err
		}
		p.shot.URL = (&url.URL{Scheme: "http", Host: s.Addr(), Path: at}).String()
		png, err := browser.Take(tab, p.shot)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(pictureDir, p.name), png, 0o644); err != nil {
			return err
		}
		fmt.Fprintln(out, strings.Join([]string{pictureDir, p.name}, "/"))
	}
	return nil
}

// dogPath leads to the first dog's page.
func dogPath(ctx context.Context, lib *library.Library) (string, error) {
	dogs, err := lib.Dogs(ctx)
	if err != nil {
		return "", err
	}
	if len(dogs) == 0 {
		return "", errors.New("the demo library has no dog")
	}
	return "/dogs/" + dogs[0].ID, nil
}

// deskPath leads to the desk of the latest reading that counts.
func deskPath(ctx context.Context, lib *library.Library) (string, error) {
	dogs, err := lib.Dogs(ctx)
	if err != nil {
		return "", err
	}
	for _, dog := range dogs {
		counted, err := lib.Counting(ctx, dog.ID)
		if err != nil {
			return "", err
		}
		for i := len(counted) - 1; i >= 0; i-- {
			for _, r := range counted[i].Readings {
				if r != nil {
					return "/desk/" + r.ID, nil
				}
			}
		}
	}
	return "", errors.New("the demo library has no finished reading")
}
