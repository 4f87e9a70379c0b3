package annotate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// BookChange is one thing that differs between two versions of a book.
type BookChange struct {
	Lane, Code string // lane by its newer name, code by id; "" where it concerns neither
	Field      string // what differs, as a reading file names it: "key", "texts.owner", "house.join_s", …
	Was, Now   string // the values as a person reads them, "" for none
	Says       string // all of it as a sentence
}

// Changes returns what b has otherwise than from, an older version, in the order
// of a book: name, lanes with their codes, ladder, house rules. It is empty only
// where the two have the same content; id and version don't count. Codes are
// known by id. A lane that has another name but still the codes counts as renamed.
func (b *Codebook) Changes(from *Codebook) []BookChange {
	d := bookDiff{old: from, new: b}
	d.text(BookChange{Field: "name"}, "The book's name", from.Name, b.Name)
	d.lanes()
	d.ladder()
	d.number(BookChange{Field: "help_rank"}, "The highest rank that counts as help", strconv.Itoa(from.HelpRank), strconv.Itoa(b.HelpRank))
	d.house()
	d.extra(BookChange{}, "The book", from.Extra, b.Extra)
	return d.changes
}

// bookDiff gathers what differs between two versions.
type bookDiff struct {
	old, new *Codebook
	changes  []BookChange
}

// say notes a change with its sentence.
func (d *bookDiff) say(c BookChange, format string, args ...any) {
	c.Says = fmt.Sprintf(format, args...)
	d.changes = append(d.changes, c)
}

// text notes that a text differs, quoted.
func (d *bookDiff) text(c BookChange, what, was, now string) {
	d.differs(c, what, was, now, quoted)
}

// number notes that something that needs no quotes differs.
func (d *bookDiff) number(c BookChange, what, was, now string) {
	d.differs(c, what, was, now, func(s string) string { return s })
}

func (d *bookDiff) differs(c BookChange, what, was, now string, show func(string) string) {
	if was == now {
		return
	}
	c.Was, c.Now = was, now
	a, b := tell(was, now)
	switch {
	case was == "":
		d.say(c, "%s: now %s, was not given.", what, show(b))
	case now == "":
		d.say(c, "%s: taken away, was %s.", what, show(a))
	default:
		d.say(c, "%s: now %s, was %s.", what, show(b), show(a))
	}
}

// list notes that two lists differ, in any way.
func (d *bookDiff) list(c BookChange, what string, was, now []string) {
	if slices.Equal(was, now) {
		return
	}
	c.Was, c.Now = strings.Join(was, ", "), strings.Join(now, ", ")
	show := func(list []string) string {
		if len(list) == 0 {
			return "none"
		}
		quotedAll := make([]string, len(list))
		for i, s := range list {
			quotedAll[i] = quoted(clip(s, 60))
		}
		return strings.Join(quotedAll, ", ")
	}
	d.say(c, "%s: now %s; was %s.", what, show(now), show(was))
}

// extra notes fields that this program doesn't know.
func (d *bookDiff) extra(c BookChange, what string, was, now map[string]string) {
	at := c.Field
	for _, k := range sortedKeys(union(was, now)) {
		c.Field = strings.TrimPrefix(at+"."+k, ".")
		w, n := was[k], now[k]
		d.number(c, what+", the field "+quoted(clip(k, 60))+" that this program doesn't know", w, n)
	}
}

// union returns the keys of both.
func union[A, B any](a map[string]A, b map[string]B) map[string]bool {
	keys := make(map[string]bool, len(a)+len(b))
	for k := range a {
		keys[k] = true
	}
	for k := range b {
		keys[k] = true
	}
	return keys
}

// quoted puts a name or text into quotation marks for a sentence, on one line.
func quoted(s string) string { return "“" + strings.Join(strings.Fields(s), " ") + "”" }

// longest is how much of a text a sentence tells.
const longest = 90

// clip shortens a text to n characters, the last one then being an ellipsis.
func clip(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

// tell shortens two texts that differ, so that the first difference can be seen.
func tell(a, b string) (string, string) {
	x, y := []rune(a), []rune(b)
	if len(x) <= longest && len(y) <= longest {
		return a, b
	}
	same := 0
	for same < len(x) && same < len(y) && x[same] == y[same] {
		same++
	}
	from := max(0, same-20)
	cut := func(r []rune) string {
		if from == 0 || len(r) == 0 {
			return clip(string(r), longest)
		}
		return "…" + clip(string(r[min(from, len(r)):]), longest-1)
	}
	return cut(x), cut(y)
}
