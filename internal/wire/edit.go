package wire

import "afterwalk/annotate"

// Edit is an edit as JSON, as pages send it.
type Edit struct {
	ID      string `json:"id" wire:"required"`
	Base    int64  `json:"base"`
	Put     []Put  `json:"put"`
	Remove  []Ref  `json:"remove"`
	ReachUS *int64 `json:"reach_us,omitzero"`
	Set     *Facts `json:"set,omitzero"`
	Undo    string `json:"undo,omitzero"`
	Redo    string `json:"redo,omitzero"`
}

// Put is an event to put, and the revision that it replaces.
type Put struct {
	Event Event `json:"event" wire:"required"`
	Was   int64 `json:"was"`
}

// Ref is an event to remove, and the revision at which it was seen.
type Ref struct {
	ID  string `json:"id" wire:"required"`
	Was int64  `json:"was"`
}

// Facts is facts of a reading as JSON. A fact left out stays as it is; coded null
// is all lanes.
type Facts struct {
	Window   *Window   `json:"window,omitzero"`
	Chosen   *string   `json:"chosen,omitzero"`
	Coded    *[]string `json:"coded,omitzero"`
	Finished *bool     `json:"finished,omitzero"`
	Book     *Codebook `json:"book,omitzero"`
}

// FromEdit returns e as JSON.
func FromEdit(e annotate.Edit) Edit {
	return Edit{
		ID: e.ID, Base: e.Base,
		Put:     each(e.Put, func(p annotate.Put) Put { return Put{Event: FromEvent(p.Event), Was: p.Was} }),
		Remove:  each(e.Remove, func(r annotate.Ref) Ref { return Ref(r) }),
		ReachUS: fromMicros(e.Reach), Set: FromFacts(e.Set), Undo: e.Undo, Redo: e.Redo,
	}
}

// Edit returns the edit that w describes.
func (w Edit) Edit() (annotate.Edit, error) {
	e := annotate.Edit{
		ID: w.ID, Base: w.Base, Reach: micros(w.ReachUS), Undo: w.Undo, Redo: w.Redo,
		Remove: each(w.Remove, func(r Ref) annotate.Ref { return annotate.Ref(r) }),
	}
	for _, p := range w.Put {
		event, err := p.Event.Event()
		if err != nil {
			return annotate.Edit{}, err
		}
		e.Put = append(e.Put, annotate.Put{Event: event, Was: p.Was})
	}
	var err error
	e.Set, err = w.Set.Facts()
	return e, err
}

// FromFacts returns f as JSON; nil of nil.
func FromFacts(f *annotate.Facts) *Facts {
	if f == nil {
		return nil
	}
	w := &Facts{Chosen: f.Chosen, Coded: f.Coded, Finished: f.Finished}
	if f.Window != nil {
		w.Window = new(FromSpan(*f.Window))
	}
	if f.Book != nil {
		w.Book = new(FromCodebook(f.Book))
	}
	return w
}

// Facts returns the facts that w describes; nil of nil.
func (w *Facts) Facts() (*annotate.Facts, error) {
	if w == nil {
		return nil, nil
	}
	f := &annotate.Facts{Chosen: w.Chosen, Coded: w.Coded, Finished: w.Finished}
	if w.Window != nil {
		f.Window = new(w.Window.Span())
	}
	if w.Book != nil {
		var err error
		if f.Book, err = w.Book.Codebook(); err != nil {
			return nil, err
		}
	}
	return f, nil
}

func fromMicros(t *annotate.Micros) *int64 {
	if t == nil {
		return nil
	}
	return new(int64(*t))
}

func micros(t *int64) *annotate.Micros {
	if t == nil {
		return nil
	}
	return new(annotate.Micros(*t))
}

// MarshalJSON and UnmarshalJSON read and write as this package does.
func (w Edit) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Edit) UnmarshalJSON(text []byte) error { return decode(text, w) }

// MarshalJSON and UnmarshalJSON read and write as this package does.
func (w Facts) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Facts) UnmarshalJSON(text []byte) error { return decode(text, w) }
