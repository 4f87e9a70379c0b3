package library

import (
	"context"

	"afterwalk/annotate"
)

// Hit is a text that a search found.
type Hit struct {
	Kind  string   // "dog", "session", "clip", "reading" or "event"
	Title string   // what it belongs to, for the person
	Field string   // "name", "notes", "device", "venue", "handler", "line", "plan", "file", "reader" or "note"
	Text  string   // all of the text
	Marks [][2]int // what was found in it: byte ranges, in order, apart from each other

	// Where it is: the ids of all that it lies in, as far as there are.
	DogID, SessionID, ClipID, ReadingID, EventID string
	At                                           annotate.Micros // an event's start
}

// Search returns what was typed and has all words of a query, each as the start
// of a word, letter case and accents aside: names first, then the newest, at most
// limit (0 means 50). What lies in the bin isn't found.
func (l *Library) Search(ctx context.Context, query string, limit int) ([]Hit, error) { return nil, nil }
