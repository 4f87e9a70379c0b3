package wire

import (
	"time"

	"afterwalk/annotate"
)

// ReadingVersion is the version of a reading's JSON that is written and read.
const ReadingVersion = "reading/1"

// Reading is a reading as JSON, as in a reading file. Revision and history are
// not part of it.
type Reading struct {
	Afterwalk string            `json:"afterwalk"` // ReadingVersion
	ID        string            `json:"id"`
	Clip      Clip              `json:"clip" wire:"required"`
	Dog       Dog               `json:"dog"`
	Reader    string            `json:"reader"`
	Handler   string            `json:"handler,omitzero"`
	Venue     string            `json:"venue,omitzero"`
	Side      string            `json:"side,omitzero"`
	Mirrored  bool              `json:"mirrored,omitzero"`
	Window    Window            `json:"window" wire:"required"`
	Chosen    string            `json:"chosen,omitzero"`
	Coded     []string          `json:"coded,omitzero"` // missing or null: all lanes
	Finished  bool              `json:"finished,omitzero"`
	Codebook  Codebook          `json:"codebook" wire:"required"`
	Events    []Event           `json:"events"`
	Extra     map[string]string `json:"-"`
}

// Clip is a reading's clip as JSON.
type Clip struct {
	File        string            `json:"file"`
	Fingerprint string            `json:"fingerprint,omitzero"`
	DurationUS  int64             `json:"duration_us" wire:"required"`
	RecordedAt  *string           `json:"recorded_at"` // RFC 3339
	Extra       map[string]string `json:"-"`
}

// Dog is a reading's dog as JSON.
type Dog struct {
	Name       string             `json:"name"`
	Ceilings   map[string]float64 `json:"ceilings"`
	WearLimitS *float64           `json:"wear_limit_s,omitzero"`
	Extra      map[string]string  `json:"-"`
}

// Window is a span of media time as JSON.
type Window struct {
	StartUS int64             `json:"start_us" wire:"required"`
	EndUS   int64             `json:"end_us" wire:"required"`
	Extra   map[string]string `json:"-"`
}

// FromReading returns r as JSON. Both may share memory; neither is to be changed.
func FromReading(r *annotate.Reading) Reading {
	w := Reading{
		Afterwalk: ReadingVersion, ID: r.ID,
		Clip:   Clip{File: r.Clip.File, Fingerprint: r.Clip.Fingerprint, DurationUS: int64(r.Clip.Duration), Extra: r.ClipExtra},
		Dog:    Dog{Name: r.Dog.Name, Ceilings: r.Dog.Ceilings, WearLimitS: r.Dog.WearLimitS, Extra: r.DogExtra},
		Reader: r.Reader, Handler: r.Handler, Venue: r.Venue, Side: r.Side, Mirrored: r.Mirrored,
		Window: FromSpan(r.Window), Chosen: r.Chosen, Coded: r.Coded, Finished: r.Finished,
		Events: each(r.Events, FromEvent), Extra: r.Extra,
	}
	w.Window.Extra = r.WindowExtra
	if r.Clip.RecordedAt != nil {
		w.Clip.RecordedAt = new(r.Clip.RecordedAt.Format(time.RFC3339Nano))
	}
	if r.Book != nil {
		w.Codebook = FromCodebook(r.Book)
	}
	return w
}

// Reading returns the reading that w describes, its events in order. It fails on
// an unknown version and on a time of recording that isn't RFC 3339; all else
// that a reading may not be is found by its Validate.
func (w Reading) Reading() (*annotate.Reading, error) {
	if w.Afterwalk != ReadingVersion {
		return nil, problem("afterwalk", "This program reads "+ReadingVersion+".", "The reading has the unknown version %q.", w.Afterwalk)
	}
	book, err := w.Codebook.Codebook()
	if err != nil {
		return nil, err
	}
	r := &annotate.Reading{
		ID:        w.ID,
		Clip:      annotate.Clip{File: w.Clip.File, Fingerprint: w.Clip.Fingerprint, Duration: annotate.Micros(w.Clip.DurationUS)},
		ClipExtra: w.Clip.Extra,
		Dog:       annotate.Dog{Name: w.Dog.Name, Ceilings: w.Dog.Ceilings, WearLimitS: w.Dog.WearLimitS},
		DogExtra:  w.Dog.Extra,
		Reader:    w.Reader, Handler: w.Handler, Venue: w.Venue, Side: w.Side, Mirrored: w.Mirrored,
		Window: w.Window.Span(), WindowExtra: w.Window.Extra,
		Chosen: w.Chosen, Coded: w.Coded, Finished: w.Finished, Book: book, Extra: w.Extra,
	}
	if w.Clip.RecordedAt != nil {
		at, err := time.Parse(time.RFC3339, *w.Clip.RecordedAt)
		if err != nil {
			return nil, problem("clip.recorded_at", "An example: 2026-05-03T18:20:00+02:00.", "The time of recording %q is not RFC 3339.", *w.Clip.RecordedAt)
		}
		r.Clip.RecordedAt = &at
	}
	for _, e := range w.Events {
		event, err := e.Event()
		if err != nil {
			return nil, err
		}
		r.Events = append(r.Events, event)
	}
	annotate.SortEvents(r.Events)
	return r, nil
}

// FromSpan returns s as JSON.
func FromSpan(s annotate.Span) Window { return Window{StartUS: int64(s.Start), EndUS: int64(s.End)} }

// Span returns the span that w describes.
func (w Window) Span() annotate.Span {
	return annotate.Span{Start: annotate.Micros(w.StartUS), End: annotate.Micros(w.EndUS)}
}

// MarshalJSON and UnmarshalJSON keep unknown fields.
func (w Reading) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Reading) UnmarshalJSON(text []byte) error { return decode(text, w) }
