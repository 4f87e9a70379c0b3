package main

import (
	"context"
	"errors"

	"afterwalk/internal/library"
)

// subject is a page of the demo library to take a picture of.
type subject struct {
	name    string
	route   string // as the server knows it
	path    func(context.Context, *library.Library) (string, error)
	ready   string // as in browser.Shot
	prepare string
}

// toTheMiddle goes to 0:21.4 on the desk.
const toTheMiddle = `desk.player.goTo(21.4e6);
	await new Promise(done => { const look = () => desk.player.aim || desk.player.shown_us < 21e6 ? setTimeout(look, 20) : done(); look(); })`

const (
	loaded    = "document.readyState === 'complete'"
	workable  = `window.desk && desk.player.frames && desk.reading.events.length && desk.reading.measures && desk.player.media_us >= 0`
	drawn     = loaded + ` && document.querySelectorAll("svg").length >= 3`
	toTheEnd  = `document.querySelector("main").lastElementChild.scrollIntoView({ block: "end" })`
	anEdit    = `desk.select([desk.reading.events[4].id]); desk.openEditor("edit-code")`
	openHelp  = `document.querySelector("#help-button").click()`
	openFacts = `document.querySelector("#facts").scrollIntoView()`
)

// The pages that stand in the documents.
var (
	deskPage = subject{"desk", "/desk/:id", deskPath, workable, toTheMiddle}
	dogPage  = subject{"dog", "/dogs/:id", dogPath, drawn, ""}
)

// subjects are all pages, in the order of the site. A test compares them with the
// server's routes.
var subjects = []subject{
	{"home", "/", fixed("/"), loaded, ""},
	{"add", "/add", fixed("/add"), loaded, ""},
	dogPage,
	{"dog-facts", "/dogs/:id", dogPath, drawn, openFacts},
	{"merge", "/dogs/:id/merge", func(ctx context.Context, lib *library.Library) (string, error) {
		path, err := dogPath(ctx, lib)
		return path + "/merge", err
	}, loaded, ""},
	{"session", "/sessions/:id", sessionPath, loaded, ""},
	{"session-end", "/sessions/:id", sessionPath, loaded, toTheEnd},
	deskPage,
	{"desk-editor", "/desk/:id", deskPath, workable, anEdit},
	{"help", "/desk/:id", deskPath, workable, openHelp},
	{"book", "/book", fixed("/book"), loaded, ""},
	{"book-versions", "/book/versions", fixed("/book/versions"), loaded, ""},
	{"book-version", "/book/versions/:version", fixed("/book/versions/1"), loaded, ""},
	{"search", "/search", fixed("/search?q=stay"), loaded, ""},
	{"search-nothing", "/search", fixed("/search?q=nowhere"), loaded, ""},
	{"jobs", "/jobs", fixed("/jobs"), loaded, ""},
	{"settings", "/settings", fixed("/settings"), loaded, ""},
	{"bin", "/bin", fixed("/bin"), loaded, ""},
	{"nothing", "/*", fixed("/nowhere"), loaded, ""},
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
