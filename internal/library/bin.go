package library

import (
	"context"
	"errors"
	"time"

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
func (l *Library) Bin(ctx context.Context, kind, id string) (actID string, err error) {
	return "", errors.New("library: bin: not there yet")
}

// Restore brings something back from the bin, with all that is below it. It fails
// with annotate.Problems where it no longer fits, and says what to do.
func (l *Library) Restore(ctx context.Context, kind, id string) error {
	return errors.New("library: restore: not there yet")
}

// BinContents returns what lies in the bin, the newest first. What is below
// something in the bin isn't named apart, unless it was put there by itself.
func (l *Library) BinContents(ctx context.Context) ([]Binned, error) { return nil, nil }

func (l *Library) undoBin(ctx context.Context, a store.Act) error {
	return errors.New("library: restore: not there yet")
}
