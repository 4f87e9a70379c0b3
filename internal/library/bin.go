package library

import (
	"context"
	"errors"
	"fmt"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Binned is something that lies in the bin.
type Binned struct {
	Kind, ID string    // Kind: "dog", "session", "clip" or "reading"
	Title    string    // what it is, for the person
	Where    string    // what it belongs to, "" for a dog
	At       time.Time // when it was put there
	Until    time.Time // when it is removed for good, at the first start after that
}

// binKept is how long things stay in the bin, and acts can be taken back.
const binKept = 30 * 24 * time.Hour

// Bin puts a dog, session, clip or reading (kind "dog", "session", "clip",
// "reading") into the bin, with all that is below it, and returns the id of the
// act that takes it back. Footage files are never touched. It fails with
// annotate.ErrNotFound for what isn't there or lies in the bin already.
//
// Nothing can be read or coded in there: a desk that is still open on such a
// reading is refused with store.ErrBinned and keeps what it couldn't send. An edit
// that is being written at that very moment is kept with its reading.
func (l *Library) Bin(ctx context.Context, kind, id string) (actID string, err error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	l.facts.Lock()
	defer l.facts.Unlock()
	title, err := l.titleOf(ctx, kind, id)
	if err != nil {
		return "", err
	}
	a := store.Act{ID: newID(), Kind: ActBin, Title: title + " is in the bin."}
	if err := l.store.Bin(ctx, a, kind, id); err != nil {
		return "", err
	}
	ids, err := l.store.ReadingsBelow(ctx, kind, id)
	if err != nil {
		return "", err
	}
	l.forget(ids)
	return a.ID, nil
}

// titleOf returns what something outside the bin is called where it stands alone.
func (l *Library) titleOf(ctx context.Context, kind, id string) (string, error) {
	b := store.Binned{Kind: kind}
	switch kind {
	case "dog":
		d, err := l.store.Dog(ctx, id)
		if err != nil {
			return "", err
		}
		b.Dog = d.Name
	case "session":
		s, err := l.store.Session(ctx, id)
		if err != nil {
			return "", err
		}
		b.Venue, b.StartedAt = s.Venue, s.StartedAt
	case "clip":
		c, err := l.store.Clip(ctx, id)
		if err != nil {
			return "", err
		}
		b.File = nameOf(c.Footage)
	case "reading":
		clip, err := l.store.ReadingClip(ctx, id)
		if err != nil {
			return "", err
		}
		readings, err := l.store.Readings(ctx, clip)
		if err != nil {
			return "", err
		}
		for _, r := range readings {
			if r.ID == id {
				b.Reader = r.Reader
			}
		}
	default:
		return "", fmt.Errorf("library: things of kind %q: %w", kind, annotate.ErrNotFound)
	}
	return titleOf(b), nil
}

// titleOf says what something is: Tansy; The session of 9 May 2026, Alder Lane;
// clip 1.mp4; P. Quill's reading.
func titleOf(b store.Binned) string {
	switch b.Kind {
	case "dog":
		return b.Dog
	case "session":
		return "The session " + sessionWords(b.StartedAt, b.Venue)
	case "clip":
		return b.File
	}
	return b.Reader + "'s reading"
}

// sessionWords says which session it is: of 9 May 2026, Alder Lane.
func sessionWords(at *time.Time, venue string) string {
	text := "without a date"
	if at != nil {
		text = "of " + at.Format("2 Jan 2006")
	}
	if venue != "" {
		text += ", " + venue
	}
	return text
}

// Restore brings something back from the bin, with all that is below it. It fails
// with annotate.ErrNotFound for what doesn't lie there by itself, with
// annotate.Problems where it no longer fits, and says what to do; then nothing was
// changed.
func (l *Library) Restore(ctx context.Context, kind, id string) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	return l.restore(ctx, kind, id)
}

func (l *Library) restore(ctx context.Context, kind, id string) error {
	l.facts.Lock()
	defer l.facts.Unlock()
	if err := l.store.Restore(ctx, kind, id); err != nil {
		return backWords(kind, err)
	}
	return l.resume(ctx)
}

// resume begins what was left undone for footage of which all clips lay in the bin.
func (l *Library) resume(ctx context.Context) error {
	clips, err := l.store.ClipsWanting(ctx)
	if err != nil {
		return err
	}
	for _, c := range clips {
		if err := l.foundAgain(ctx, c); err != nil {
			return err
		}
	}
	return nil
}

// backWords is the error of something that can't come back, in words.
func backWords(kind string, err error) error {
	var below *store.Below
	var outside *store.Outside
	switch {
	case errors.Is(err, store.ErrTaken) && kind == "dog":
		return refused("Another dog has this name by now. Nothing was changed.", "Give that one another name, then put this one back; the two can be merged after that.")
	case errors.Is(err, store.ErrTaken):
		return refused("This dog has another clip of the same film by now. Nothing was changed.", "Put that clip into the bin, then put this one back.")
	case errors.As(err, &below):
		return refused(fmt.Sprintf("The %s that it belongs to lies in the bin as well%s. Nothing was changed.", below.Kind, called(below.Name)), "Put that back first.")
	case errors.As(err, &outside):
		return refused(fmt.Sprintf("In this reading something is coded outside the part of the clip that is now the dog's (%s, %d events). Nothing was changed.", outside.Reader, outside.Events),
			"Make that part longer in the inbox, then put the reading back.")
	}
	return err
}

// called adds a name where there is one.
func called(name string) string {
	if name == "" {
		return ""
	}
	return " (" + name + ")"
}

// BinContents returns what lies in the bin, the newest first. What is below
// something in the bin isn't named apart, unless it was put there by itself.
func (l *Library) BinContents(ctx context.Context) ([]Binned, error) {
	list, err := l.store.Binned(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]Binned, 0, len(list))
	for _, b := range list {
		v := Binned{Kind: b.Kind, ID: b.ID, Title: titleOf(b), At: b.At, Until: b.At.Add(binKept)}
		session := "session " + sessionWords(b.StartedAt, b.Venue)
		switch b.Kind {
		case "session":
			v.Where = b.Dog
		case "clip":
			v.Where = b.Dog + ", " + session
		case "reading":
			v.Where = b.File + ", " + b.Dog + ", " + session
		}
		out = append(out, v)
	}
	return out, nil
}

// undoBin brings back what an act put into the bin.
func (l *Library) undoBin(ctx context.Context, a store.Act) error {
	kind, id, err := store.BinPayload(a)
	if err != nil {
		return err
	}
	if a.UndoneAt != nil {
		return store.ErrUndone
	}
	err = l.restore(ctx, kind, id)
	if errors.Is(err, annotate.ErrNotFound) {
		return refused("It doesn't lie in the bin any more. Nothing was changed.", "Things are removed for good after 30 days.")
	}
	return err
}
