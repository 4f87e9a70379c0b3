package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"afterwalk/internal/browser"
	"afterwalk/internal/library"
)

// pictureDir is where the documents' pictures lie.
const pictureDir = "internal/dev/pictures"

// subject is a page of the demo library to take a picture of.
type subject struct {
	name    string
	path    func(context.Context, *library.Library) (string, error)
	ready   string // as in browser.Shot
	prepare string
}

// toTheMiddle goes to 0:35.6 on the desk.
const toTheMiddle = `desk.player.goTo(35.6e6);
	await new Promise(done => { const look = () => desk.player.seeking || desk.player.shown_us < 35e6 ? setTimeout(look, 20) : done(); look(); })`

var (
	deskPage = subject{"desk", deskPath,
		`window.desk && desk.player.frames && desk.reading.events.length && desk.reading.measures && desk.player.media_us >= 0`, toTheMiddle}
	helpPage    = subject{"help", deskPath, deskPage.ready, `document.querySelector("#help-button").click()`}
	dogPage     = subject{"dog", dogPath, `document.querySelectorAll("svg").length >= 3`, ""}
	homePage    = subject{"home", fixed("/"), loaded, ""}
	addPage     = subject{"add", fixed("/add"), loaded, ""}
	sessionPage = subject{"session", sessionPath, loaded, ""}
	// The frame's pages, which need nothing but an address.
	framePages = []subject{
		{"jobs", fixed("/jobs"), loaded, ""}, {"settings", fixed("/settings"), loaded, ""}, {"bin", fixed("/bin"), loaded, ""},
		{"search", fixed("/search?q=stay"), loaded, ""}, {"search-nothing", fixed("/search?q=nowhere"), loaded, ""}, {"error", fixed("/nowhere"), loaded, ""},
	}
)

const loaded = "document.readyState === 'complete'"

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
		for _, s := range append([]subject{homePage, addPage, dogPage, sessionPage, deskPage, helpPage}, framePages...) {
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

// fixed leads to a path that is always the same.
func fixed(path string) func(context.Context, *library.Library) (string, error) {
	return func(context.Context, *library.Library) (string, error) { return path, nil }
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

// latest returns the latest session of the demo with a reading that counts.
func latest(ctx context.Context, lib *library.Library) (sessionID, readingID string, err error) {
	dogs, err := lib.Dogs(ctx)
	if err != nil {
		return "", "", err
	}
	for _, dog := range dogs {
		counted, err := lib.Counting(ctx, dog.ID)
		if err != nil {
			return "", "", err
		}
		for i := len(counted) - 1; i >= 0; i-- {
			for _, r := range counted[i].Readings {
				if r != nil {
					return counted[i].Session.ID, r.ID, nil
				}
			}
		}
	}
	return "", "", errors.New("the demo library has no finished reading")
}

func deskPath(ctx context.Context, lib *library.Library) (string, error) {
	_, reading, err := latest(ctx, lib)
	return "/desk/" + reading, err
}

func sessionPath(ctx context.Context, lib *library.Library) (string, error) {
	session, _, err := latest(ctx, lib)
	return "/sessions/" + session, err
}
