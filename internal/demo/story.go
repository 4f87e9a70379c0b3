package demo

import (
	"fmt"
	"slices"

	"afterwalk/annotate"
	"afterwalk/internal/demo/coder"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/wire"
)

// Story is what is known of a clip: what happened, and how it was coded.
type Story struct {
	Name    string       `json:"name"`
	File    string       `json:"file"`
	SHA256  string       `json:"sha256"` // of the film
	Truth   []wire.Event `json:"truth"`
	Codings []Coding     `json:"codings"` // in the order in which they were made; none for a clip that nobody has read
}

// Coding is one person's reading of a clip.
type Coding struct {
	Reader   string       `json:"reader"`
	Finished bool         `json:"finished"`
	EndUS    int64        `json:"end_us"` // how far it goes
	Events   []wire.Event `json:"events"`
	// Slips say how the coding differs for each true event that it came to.
	Slips []coder.Slip `json:"slips"`
}

// readers returns who has read a clip.
func readers(clip string) []coder.Reader {
	switch clip {
	case "tansy-alder-1":
		return []coder.Reader{coder.Varga, coder.Quill}
	case "tansy-alder-2", "both-alder":
		return nil
	case "bramble-quarry", "tansy-quarry-2":
		return []coder.Reader{coder.Quill}
	}
	return []coder.Reader{coder.Varga}
}

// halfway is the clip whose reading is unfinished.
const halfway = "bramble-meadow-2"

// Tell returns the story of a clip that was played; film is what is known of its
// film.
func Tell(o outing.Clip, run *outing.Run, film Fact) Story {
	s := Story{Name: o.Name, File: o.File(), SHA256: film.SHA256, Codings: []Coding{}}
	for _, e := range run.Truth {
		s.Truth = append(s.Truth, wire.FromEvent(e))
	}
	for _, r := range readers(o.Name) {
		coded, slips := r.Code(o.Name, run.Truth, film.Frames.PTS, film.Frames.End)
		c := Coding{Reader: r.Name, Finished: true, EndUS: int64(film.Frames.End)}
		if o.Name == halfway {
			end := film.Frames.PTS[len(film.Frames.PTS)*11/20]
			coded, slips = upTo(end, coded, slips)
			c.Finished, c.EndUS = false, int64(end)
		}
		for _, e := range coded {
			c.Events = append(c.Events, wire.FromEvent(e))
		}
		c.Slips = slips
		s.Codings = append(s.Codings, c)
	}
	return s
}

// upTo returns what was coded when the reader had come as far as end: later
// events are not there yet, and what runs on has no end.
func upTo(end annotate.Micros, coded []annotate.Event, slips []coder.Slip) ([]annotate.Event, []coder.Slip) {
	there := map[string]bool{}
	var kept []annotate.Event
	for _, e := range coded {
		if e.Start >= end {
			continue
		}
		if e.End > end {
			e.Open, e.End = true, e.Start
		}
		there[e.ID] = true
		kept = append(kept, e)
	}
	return kept, slices.DeleteFunc(slips, func(s coder.Slip) bool { return !s.Missed && !there[s.Coded] })
}

// Reading returns a coding of the clip as a reading of its film, made with a book
// that has the codes of the default book. Dog, handler, venue and side are left
// to the library that it goes into.
func (s Story) Reading(c Coding, book *annotate.Codebook) (*annotate.Reading, error) {
	r := &annotate.Reading{
		ID:     fmt.Sprintf("demo-%s-%s", s.Name, c.Reader[:1]),
		Clip:   annotate.Clip{File: s.File},
		Reader: c.Reader,
		Chosen: "whole", Finished: c.Finished, Book: book,
	}
	for _, f := range facts() {
		if f.SHA256 == s.SHA256 {
			r.Clip.Duration, r.Clip.RecordedAt = f.Frames.End, f.Probe.RecordedAt
			r.Window = annotate.Span{Start: f.Frames.PTS[0], End: annotate.Micros(c.EndUS)}
		}
	}
	for _, e := range c.Events {
		event, err := e.Event()
		if err != nil {
			return nil, fmt.Errorf("demo: %s, event %s: %w", s.Name, e.ID, err)
		}
		r.Events = append(r.Events, event)
	}
	return r, nil
}
