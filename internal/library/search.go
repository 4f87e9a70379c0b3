package library

import (
	"context"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Hit is a text that a search found.
type Hit struct {
	Kind  string   // "dog", "session", "clip", "reading" or "event"
	Title string   // what it belongs to, for the person
	Field string   // "name", "notes", "device", "venue", "handler", "line", "plan", "file", "reader", "note" or "who"
	Text  string   // all of the text
	Marks [][2]int // what was found in it: byte ranges, in order, apart from each other

	// Where it is: the ids of all that it lies in, as far as there are.
	DogID, SessionID, ClipID, ReadingID, EventID string
	At                                           annotate.Micros // an event's start
}

// hitsUsual is how many hits there are at most where no limit is given.
const hitsUsual = 50

// Search returns what was typed and has all words of a query, each as the start
// of a word, letter case and accents aside; where nothing has, what has its pieces
// anywhere. Names of dogs come first, then the newest, at most limit (0 means 50).
// What lies in the bin isn't found.
func (l *Library) Search(ctx context.Context, query string, limit int) ([]Hit, error) {
	if limit == 0 {
		limit = hitsUsual
	}
	list, err := l.store.Search(ctx, query, limit)
	if err != nil {
		return nil, err
	}
	hits := make([]Hit, len(list))
	for i, f := range list {
		hits[i] = Hit{Kind: f.Kind, Title: hitTitle(f), Field: f.Field, Text: f.Text, Marks: f.Marks,
			DogID: f.DogID, SessionID: f.SessionID, ClipID: f.ClipID, ReadingID: f.ReadingID, EventID: f.EventID, At: f.At}
	}
	return hits, nil
}

// hitTitle says what a text belongs to: Tansy; Tansy, session of 9 May 2026, Alder
// Lane; ahead, clip 1.mp4, Tansy.
func hitTitle(f store.Found) string {
	switch f.Kind {
	case "dog":
		return f.Dog
	case "reading":
		return f.Reader + "'s reading of " + f.File + ", " + f.Dog
	case "event":
		return f.Code + ", " + f.File + ", " + f.Dog
	}
	return f.Dog + ", session " + sessionWords(f.StartedAt, f.Venue)
}
