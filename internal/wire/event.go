package wire

import "afterwalk/annotate"

// Details is annotate.Details as JSON, of an event or, flattened, of a code.
type Details struct {
	Kind      string            `json:"kind,omitzero"`
	Posture   string            `json:"posture,omitzero"`
	Command   string            `json:"command,omitzero"`
	Mode      string            `json:"mode,omitzero"`
	Result    string            `json:"result,omitzero"`
	Channel   string            `json:"channel,omitzero"`
	Device    string            `json:"device,omitzero"`
	Who       string            `json:"who,omitzero"`
	Level     *float64          `json:"level,omitzero"`
	Taps      *int              `json:"taps,omitzero"`
	PlannedS  *float64          `json:"planned_s,omitzero"`
	HandlerM  *float64          `json:"handler_m,omitzero"`
	DistanceM *float64          `json:"distance_m,omitzero"`
	Extra     map[string]string `json:"-"`
}

// Event is an event as JSON. EndUS is nil (null) while its end is open. Rev is
// left out where it is 0, so reading files have none.
type Event struct {
	ID      string            `json:"id" wire:"required"`
	Code    string            `json:"code" wire:"required"`
	StartUS int64             `json:"start_us" wire:"required"`
	EndUS   *int64            `json:"end_us" wire:"required"`
	Details Details           `json:"details"`
	Note    string            `json:"note"`
	Rev     int64             `json:"rev,omitzero"`
	Extra   map[string]string `json:"-"`
}

// FromEvent returns e as JSON.
func FromEvent(e annotate.Event) Event {
	w := Event{
		ID: e.ID, Code: e.Code, StartUS: int64(e.Start), EndUS: new(int64(e.End)),
		Details: Details(e.Details), Note: e.Note, Rev: e.Rev, Extra: e.Extra,
	}
	if e.Open {
		w.EndUS = nil
	}
	return w
}

// Event returns the event that w describes; End is Start where it is open. The
// error is always nil; what an event may be is checked by package annotate.
func (w Event) Event() (annotate.Event, error) {
	e := annotate.Event{
		ID: w.ID, Code: w.Code, Start: annotate.Micros(w.StartUS), End: annotate.Micros(w.StartUS), Open: w.EndUS == nil,
		Details: annotate.Details(w.Details), Note: w.Note, Rev: w.Rev, Extra: w.Extra,
	}
	if w.EndUS != nil {
		e.End = annotate.Micros(*w.EndUS)
	}
	return e, nil
}

// MarshalJSON and UnmarshalJSON keep unknown fields.
func (w Event) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Event) UnmarshalJSON(text []byte) error { return decode(text, w) }

// MarshalJSON and UnmarshalJSON keep unknown fields.
func (w Details) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Details) UnmarshalJSON(text []byte) error { return decode(text, w) }
