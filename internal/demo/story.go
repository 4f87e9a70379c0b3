package demo

import (
	"afterwalk/internal/demo/coder"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/wire"
)

// Story is what is known of an outing: what happened, and how it was coded.
type Story struct {
	Name    string       `json:"name"`
	File    string       `json:"file"`
	SHA256  string       `json:"sha256"` // of the film
	Dog     string       `json:"dog"`
	Handler string       `json:"handler"`
	Venue   string       `json:"venue"`
	Plan    string       `json:"plan"`
	Notes   string       `json:"notes"`
	Truth   []wire.Event `json:"truth"`
	Coding  []wire.Event `json:"coding"`
	// Slips say, for each true event, how the coding differs.
	Slips []coder.Slip `json:"slips"`
}

// Tell returns the story of an outing that was played; film is what is known of
// its film.
func Tell(o outing.Outing, run *outing.Run, film Fact) Story {
	coded, slips := coder.Code(o.Name, run.Truth, film.Frames.PTS, film.Frames.End, 1)
	s := Story{Name: o.Name, File: o.File(), SHA256: film.SHA256, Dog: outing.Dog, Handler: outing.Handler, Venue: o.Venue, Plan: o.Plan, Notes: o.Notes, Slips: slips}
	for _, e := range run.Truth {
		s.Truth = append(s.Truth, wire.FromEvent(e))
	}
	for _, e := range coded {
		s.Coding = append(s.Coding, wire.FromEvent(e))
	}
	return s
}
