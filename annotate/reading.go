package annotate

import "time"

// Reading is one person's coding of one clip. A reading is a value: what is
// reached from one that was handed out never changes, [Reading.Apply] makes a new
// one.
type Reading struct {
	ID                  string
	Clip                Clip
	Dog                 Dog
	Reader              string // who coded
	Handler, Venue      string
	Side                string   // "left", "right" or "" (left): where the dog is worked, seen from the handler
	Mirrored            bool     // the film shows left and right exchanged
	Window              Span     // the part of the clip that was coded
	Chosen              string   // how the window was chosen: whole, fixed, random, picked; "" is whole
	Coded               []string // names of the lanes that were coded; nil means all
	Finished            bool
	Book                *Codebook // never nil in a valid reading; shared, never changed
	Events              []Event   // in the order of [SortEvents]
	Revision            int64     // number of edits applied; 0 for a new or imported reading
	History             History
	Extra               map[string]string // unknown fields of a reading file: name to raw JSON
	ClipExtra, DogExtra map[string]string
	WindowExtra         map[string]string
}

// Clip is what a reading needs to know of its clip.
type Clip struct {
	File        string // base name
	Fingerprint string // "" if not known
	Duration    Micros // end of the last frame on the media timeline
	RecordedAt  *time.Time
}

// Dog is what a reading needs to know of its dog.
type Dog struct {
	Name       string
	Ceilings   map[string]float64 // scale to highest level
	WearLimitS *float64           // longest collar time of a day, seconds
}
