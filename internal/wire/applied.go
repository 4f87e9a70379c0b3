package wire

import "afterwalk/annotate"

// AppliedVersion is the version of a journal row's JSON that is written and read.
const AppliedVersion = 1

// Applied is a row of the journal as JSON. The whole of it is in its text, so a
// journal can be read without anything else.
type Applied struct {
	V           int      `json:"v"` // AppliedVersion
	Edit        string   `json:"edit" wire:"required"`
	Revision    int64    `json:"revision" wire:"required"`
	Changes     []Change `json:"changes"`
	FactsBefore *Facts   `json:"facts_before,omitzero"`
	FactsAfter  *Facts   `json:"facts_after,omitzero"`
	ReachUS     *int64   `json:"reach_us,omitzero"`
	Undo        string   `json:"undo,omitzero"`
	Redo        string   `json:"redo,omitzero"`
}

// Change is one event before and after an edit, as JSON; null where there is none.
type Change struct {
	ID     string `json:"id" wire:"required"`
	Before *Event `json:"before"`
	After  *Event `json:"after"`
}

// FromApplied returns a as JSON.
func FromApplied(a annotate.Applied) Applied {
	event := func(e *annotate.Event) *Event {
		if e == nil {
			return nil
		}
		return new(FromEvent(*e))
	}
	return Applied{
		V: AppliedVersion, Edit: a.Edit, Revision: a.Revision,
		Changes: each(a.Changes, func(c annotate.Change) Change {
			return Change{ID: c.ID, Before: event(c.Before), After: event(c.After)}
		}),
		FactsBefore: FromFacts(a.FactsBefore), FactsAfter: FromFacts(a.FactsAfter),
		ReachUS: fromMicros(a.Reach), Undo: a.Undo, Redo: a.Redo,
	}
}

// Applied returns the row that w describes. It fails on an unknown version.
func (w Applied) Applied() (annotate.Applied, error) {
	if w.V != AppliedVersion {
		return annotate.Applied{}, problem("v", "A newer version of this program may read it.", "The journal row of edit %q has the unknown version %d.", w.Edit, w.V)
	}
	a := annotate.Applied{Edit: w.Edit, Revision: w.Revision, Reach: micros(w.ReachUS), Undo: w.Undo, Redo: w.Redo}
	event := func(e *Event) (*annotate.Event, error) {
		if e == nil {
			return nil, nil
		}
		event, err := e.Event()
		return &event, err
	}
	for _, c := range w.Changes {
		before, err := event(c.Before)
		if err != nil {
			return annotate.Applied{}, err
		}
		after, err := event(c.After)
		if err != nil {
			return annotate.Applied{}, err
		}
		a.Changes = append(a.Changes, annotate.Change{ID: c.ID, Before: before, After: after})
	}
	var err error
	if a.FactsBefore, err = w.FactsBefore.Facts(); err != nil {
		return annotate.Applied{}, err
	}
	a.FactsAfter, err = w.FactsAfter.Facts()
	return a, err
}

// MarshalJSON and UnmarshalJSON read and write as this package does.
func (w Applied) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Applied) UnmarshalJSON(text []byte) error { return decode(text, w) }
