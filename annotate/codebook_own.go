package annotate

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The most that can be written into a book, in characters, lanes and codes.
const (
	MaxName  = 300    // a name, a command, a kind
	MaxText  = 20_000 // a definition, a text
	maxLanes = 200
	maxCodes = 2_000
)

// CheckOwn returns everything that keeps b from becoming a version of a library's
// own book, nil if nothing does: what Validate finds, and what would go wrong
// later. A reading may come with a book that breaks these further rules, as it was
// coded elsewhere: names that are there, fit and tell apart what stands in one
// lane; keys that the desk doesn't need; what each role needs so that a key press
// makes a valid event; levels within their scale.
//
// Places in texts are checked by package caption.
func (b *Codebook) CheckOwn() Problems {
	c := bookCheck{book: b}
	c.problems = b.Validate()
	c.name("codebook.name", "The book", b.Name)
	if len(b.Lanes) > maxLanes {
		c.add("codebook.lanes", "", "The book has %d lanes, more than %d.", len(b.Lanes), maxLanes)
	}
	n := 0
	lanes := map[string]string{}
	for i := range b.Lanes {
		lane := &b.Lanes[i]
		at := fmt.Sprintf("codebook.lanes[%d] (%s)", i, lane.Name)
		c.name(at+".name", "A lane", lane.Name)
		folded := fold(lane.Name)
		if other, ok := lanes[folded]; ok && other != lane.Name {
			c.add(at+".name", "Give one of them another name.", "The lanes “%s” and “%s” have names that can't be told apart.", clip(other, 60), clip(lane.Name, 60))
		}
		lanes[folded] = lane.Name
		names := map[string]string{}
		for k := range lane.Codes {
			n++
			code := &lane.Codes[k]
			at := fmt.Sprintf("%s.codes[%d] (%s)", at, k, code.ID)
			if other, ok := names[fold(code.Name)]; ok && fold(code.Name) != "" {
				c.add(at+".name", "Give one of them another name.", "Two codes of the lane “%s” are named “%s”.", clip(lane.Name, 60), clip(other, 60))
			}
			names[fold(code.Name)] = code.Name
			c.ownCode(at, code)
		}
	}
	switch {
	case n == 0:
		c.add("codebook.lanes", "Add a code.", "The book has no codes: nothing could be coded with it.")
	case n > maxCodes:
		c.add("codebook.lanes", "", "The book has %d codes, more than %d.", n, maxCodes)
	}
	for i, g := range b.Ladder {
		at := fmt.Sprintf("codebook.ladder[%d] (%s)", i, Scale(g.Channel, g.Device))
		c.fits(at+".channel", "The channel", g.Channel, MaxName)
		c.fits(at+".device", "The device", g.Device, MaxName)
		if strings.Contains(g.Channel, "@") {
			c.add(at+".channel", "Write the device into its own field.", "The channel “%s” has an @, which stands between a channel and its device.", clip(g.Channel, 60))
		}
	}
	c.ownHouse()
	return c.problems
}

// ownCode checks what a code of a library's own book has to be besides valid.
func (c *bookCheck) ownCode(at string, code *Code) {
	who := "The code “" + clip(code.Name, 60) + "”"
	c.name(at+".name", "A code", code.Name)
	c.fits(at+".id", "The id of a code", code.ID, MaxName)
	if code.Key != "" {
		if why := keyRefusal(code.Key); why != "" {
			c.add(at+".key", "Choose another key.", "%s can't have the key %s: %s.", who, clip(code.Key, 20), why)
		}
	}
	d := &code.Details
	needs := func(field, value, what string) {
		if value == "" {
			c.add(at+"."+field, "", "%s has %s: its key would make an event that can't be stored.", who, what)
		}
	}
	switch code.Role {
	case RoleExercise, RoleError:
		needs("kind", d.Kind, "the role "+string(code.Role)+" and no kind")
	case RoleCue:
		needs("command", d.Command, "the role cue and no command")
	case RoleAnswer:
		needs("result", d.Result, "the role answer and no result")
	case RolePressure:
		needs("channel", d.Channel, "the role pressure and no channel")
		if rung, ok := c.book.Rung(d.Channel, d.Device); ok && d.Level != nil && rung.LevelMax != nil && *d.Level > *rung.LevelMax {
			c.add(at+".level", "", "%s has the level %v, above the highest of its scale, %v.", who, *d.Level, *rung.LevelMax)
		}
	}
	for _, f := range []struct {
		name  string
		value *float64
	}{{"planned_s", d.PlannedS}, {"handler_m", d.HandlerM}, {"distance_m", d.DistanceM}} {
		if f.value != nil && negative(*f.value) {
			c.add(at+"."+f.name, "", "%s has the %s %v, below 0.", who, f.name, *f.value)
		}
	}
	for _, f := range []struct{ name, value string }{
		{"kind", d.Kind}, {"posture", d.Posture}, {"command", d.Command}, {"mode", d.Mode}, {"channel", d.Channel},
		{"device", d.Device}, {"who", d.Who},
	} {
		c.fits(at+"."+f.name, who+", "+f.name, f.value, MaxName)
	}
	picks := map[string]bool{}
	for i, p := range code.Picks {
		at := fmt.Sprintf("%s.picks[%d]", at, i)
		c.fits(at, who+", a kind to choose", p, MaxName)
		switch {
		case strings.TrimSpace(p) == "":
			c.add(at, "Take the line away.", "%s has an empty kind to choose.", who)
		case picks[p]:
			c.add(at, "Keep one of them.", "%s has the kind “%s” twice among those to choose.", who, clip(p, 60))
		}
		picks[p] = true
	}
	for _, f := range []struct{ name, value string }{
		{"definition.starts", code.Definition.Starts}, {"definition.ends", code.Definition.Ends}, {"definition.not", code.Definition.Not},
		{"texts.coder", code.Texts.Coder}, {"texts.handler", code.Texts.Handler}, {"texts.owner", code.Texts.Owner},
	} {
		c.fits(at+"."+f.name, who+", "+strings.ReplaceAll(f.name, ".", " "), f.value, MaxText)
	}
}

// ownHouse checks the names in house rules.
func (c *bookCheck) ownHouse() {
	h := &c.book.House
	for _, list := range []struct {
		name  string
		names []string
	}{
		{"no_trial", h.NoTrial}, {"off", h.Off},
		{"answer_windows_s", sortedKeys(h.AnswerWindowsS)}, {"prompt_limits_s", sortedKeys(h.PromptLimitsS)}, {"limits_s", sortedKeys(h.LimitsS)},
	} {
		for _, n := range list.names {
			c.name("codebook.house."+list.name, "An entry of the house rule "+list.name, n)
		}
	}
}

// name checks a name that has to be there.
func (c *bookCheck) name(at, what, s string) {
	if strings.TrimSpace(s) == "" {
		c.add(at, "Give it a name.", "%s has no name.", what)
	}
	c.fits(at, what, s, MaxName)
}

// fits checks that a text isn't too long and holds no control characters but, in
// long texts, line ends and tabs.
func (c *bookCheck) fits(at, what, s string, most int) {
	if n := utf8.RuneCountInString(s); n > most {
		c.add(at, "Shorten it.", "%s is too long: %d characters, at most %d are kept.", what, n, most)
	}
	if !utf8.ValidString(s) {
		c.add(at, "Write it anew.", "%s holds bytes that are no text.", what)
	}
	for _, r := range s {
		if unicode.IsControl(r) && (most != MaxText || r != '\n' && r != '\t') {
			c.add(at, "Write it anew.", "%s holds a control character.", what)
			break
		}
	}
}

// fold returns a name as names are told apart: case and white space don't count.
func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// NewCodeID returns an id for a new code, made from its name: small letters,
// digits and hyphens, at most 40; with a number behind it where taken says that it
// is used. Ids of codes never change afterwards, whatever the code is named.
func NewCodeID(name string, taken func(id string) bool) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case b.Len() >= 40:
		case 'a' <= r && r <= 'z' || '0' <= r && r <= '9':
			b.WriteRune(r)
		case r == '\'' || r == '’' || unicode.Is(unicode.Mn, r): // dog's: dogs
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	id := strings.Trim(b.String(), "-")
	if id == "" {
		id = "code"
	}
	for n, first := 2, id; taken(id); n++ {
		id = fmt.Sprintf("%s-%d", first, n)
	}
	return id
}
