package annotate

// Codebook is a user's list of codes, in lanes, with the pressure ladder and the
// house rules that measures follow. A version of a book never changes; a new
// version is a new value.
type Codebook struct {
	ID       string
	Version  int
	Name     string
	HelpRank int // highest rank that counts as help and not as correction
	Ladder   []Rung
	House    House
	Lanes    []Lane
	Extra    map[string]string // unknown fields: name to raw JSON
}

// Rung is one step of the pressure ladder: a channel, or one device of it.
type Rung struct {
	Channel  string
	Device   string // "" for the channel as such
	Rank     int    // at least 1, low is mild
	LevelMax *float64
	Extra    map[string]string
}

// Scale returns the key under which levels of a rung compare: "channel" or
// "channel@device".
func Scale(channel, device string) string {
	if device == "" {
		return channel
	}
	return channel + "@" + device
}

// Lane is a row of codes. In an exclusive lane only one span runs at a time.
type Lane struct {
	Name      string
	Exclusive bool
	Codes     []Code
	Extra     map[string]string
}

// Code is one thing that can be coded.
type Code struct {
	ID         string
	Name       string
	Key        string // a key as in the book: "w", or "W" for Shift and w; "" for none
	Role       Role
	Shape      Shape
	Details    Details // the code's own properties; an event's details go over them
	Definition Definition
	Texts      Texts
	Then       string   // id of the exercise that an answered cue, a halt or a release starts
	Picks      []string // kinds chosen by a digit after the key
	Extra      map[string]string
}

// Definition says when to code it.
type Definition struct {
	Starts, Ends, Not string
	Extra             map[string]string
}

// Texts is the wording of a code for each audience, with named places.
type Texts struct {
	Coder, Handler, Owner string
	Extra                 map[string]string
}

// Code returns the code with the given id and the index of its lane; ok is
// false where the book has none.
func (b *Codebook) Code(id string) (c Code, lane int, ok bool) {
	if p, lane := b.code(id); p != nil {
		return *p, lane, true
	}
	return Code{}, -1, false
}

// code is Code without copying; nil, -1 where the book has none.
func (b *Codebook) code(id string) (c *Code, lane int) {
	for i := range b.Lanes {
		codes := b.Lanes[i].Codes
		for k := range codes {
			if codes[k].ID == id {
				return &codes[k], i
			}
		}
	}
	return nil, -1
}

// Rung returns the rung of the ladder on which a device of a channel stands: its
// own, else its channel's. ok is false for a channel that isn't on the ladder.
func (b *Codebook) Rung(channel, device string) (r Rung, ok bool) {
	for _, g := range b.Ladder {
		if g.Channel == channel && g.Device == device {
			return g, true
		}
		if g.Channel == channel && g.Device == "" {
			r, ok = g, true
		}
	}
	return r, ok
}
