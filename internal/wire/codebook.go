package wire

import "afterwalk/annotate"

// Codebook is a codebook as JSON.
type Codebook struct {
	ID       string            `json:"id,omitzero"`
	Version  int               `json:"version,omitzero"`
	Name     string            `json:"name"`
	HelpRank int               `json:"help_rank"`
	Ladder   []Rung            `json:"ladder"`
	House    House             `json:"house"`
	Lanes    []Lane            `json:"lanes"`
	Extra    map[string]string `json:"-"`
}

// Rung is a rung of the ladder as JSON.
type Rung struct {
	Channel  string            `json:"channel"`
	Device   string            `json:"device,omitzero"`
	Rank     int               `json:"rank"`
	LevelMax *float64          `json:"level_max,omitzero"`
	Extra    map[string]string `json:"-"`
}

// Lane is a lane as JSON.
type Lane struct {
	Name      string            `json:"name"`
	Exclusive bool              `json:"exclusive"`
	Codes     []Code            `json:"codes"`
	Extra     map[string]string `json:"-"`
}

// Code is a code as JSON; its details stand among its other fields.
type Code struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Key   string `json:"key"`
	Role  string `json:"role"`
	Shape string `json:"shape"`
	Details
	Then       string            `json:"then,omitzero"`
	Picks      []string          `json:"picks,omitzero"`
	Definition Definition        `json:"definition"`
	Texts      Texts             `json:"texts"`
	Extra      map[string]string `json:"-"`
}

// Definition says when to code, as JSON.
type Definition struct {
	Starts string            `json:"starts"`
	Ends   string            `json:"ends,omitzero"`
	Not    string            `json:"not,omitzero"`
	Extra  map[string]string `json:"-"`
}

// Texts is a code's wording for each audience, as JSON.
type Texts struct {
	Coder   string            `json:"coder"`
	Handler string            `json:"handler"`
	Owner   string            `json:"owner"`
	Extra   map[string]string `json:"-"`
}

// FromCodebook returns b as JSON. Both may share memory; neither is to be changed.
func FromCodebook(b *annotate.Codebook) Codebook {
	w := Codebook{ID: b.ID, Version: b.Version, Name: b.Name, HelpRank: b.HelpRank, House: fromHouse(b.House), Extra: b.Extra}
	w.Ladder = each(b.Ladder, func(g annotate.Rung) Rung { return Rung(g) })
	w.Lanes = each(b.Lanes, func(l annotate.Lane) Lane {
		return Lane{Name: l.Name, Exclusive: l.Exclusive, Codes: each(l.Codes, fromCode), Extra: l.Extra}
	})
	return w
}

// Codebook returns the book that w describes. The error is always nil; what a
// book may be is checked by its Validate.
func (w Codebook) Codebook() (*annotate.Codebook, error) {
	b := &annotate.Codebook{ID: w.ID, Version: w.Version, Name: w.Name, HelpRank: w.HelpRank, House: w.House.house(), Extra: w.Extra}
	b.Ladder = each(w.Ladder, func(g Rung) annotate.Rung { return annotate.Rung(g) })
	b.Lanes = each(w.Lanes, func(l Lane) annotate.Lane {
		return annotate.Lane{Name: l.Name, Exclusive: l.Exclusive, Codes: each(l.Codes, Code.code), Extra: l.Extra}
	})
	return b, nil
}

func fromCode(c annotate.Code) Code {
	return Code{
		ID: c.ID, Name: c.Name, Key: c.Key, Role: string(c.Role), Shape: string(c.Shape), Details: Details(c.Details),
		Then: c.Then, Picks: c.Picks, Definition: Definition(c.Definition), Texts: Texts(c.Texts), Extra: c.Extra,
	}
}

func (w Code) code() annotate.Code {
	return annotate.Code{
		ID: w.ID, Name: w.Name, Key: w.Key, Role: annotate.Role(w.Role), Shape: annotate.Shape(w.Shape), Details: annotate.Details(w.Details),
		Then: w.Then, Picks: w.Picks, Definition: annotate.Definition(w.Definition), Texts: annotate.Texts(w.Texts), Extra: w.Extra,
	}
}

// each returns f of each element; nil of nil.
func each[A, B any](list []A, f func(A) B) []B {
	if list == nil {
		return nil
	}
	out := make([]B, len(list))
	for i, a := range list {
		out[i] = f(a)
	}
	return out
}

// MarshalJSON and UnmarshalJSON keep unknown fields.
func (w Codebook) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Codebook) UnmarshalJSON(text []byte) error { return decode(text, w) }

// MarshalJSON and UnmarshalJSON keep unknown fields and flatten the details.
func (w Code) MarshalJSON() ([]byte, error) { return encode(w) }

// UnmarshalJSON is documented with MarshalJSON.
func (w *Code) UnmarshalJSON(text []byte) error { return decode(text, w) }
