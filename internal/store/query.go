package store

import (
	"slices"
	"strings"
	"unicode"
)

// How much of a query is looked at.
const (
	queryRunes = 300
	queryTerms = 20
)

// query is what is looked for: texts that have all terms.
type query struct {
	terms []term
	// loose says that the index of words can't answer it: it has a term without any
	// word, or one in a script that sets no space between words.
	loose bool
}

// term is a piece of a query without space in it.
type term struct {
	folded string   // all of it
	words  []string // folded; of "it's" it and s
	raw    []string // the same as typed
}

// newQuery reads what a person typed. Nothing in it is a command.
func newQuery(text string) query {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, " "))
	if r := []rune(text); len(r) > queryRunes {
		text = string(r[:queryRunes])
	}
	var q query
	for _, piece := range strings.Fields(text) {
		t := term{folded: fold(piece).text, raw: strings.FieldsFunc(piece, func(r rune) bool { return !inWord(r) })}
		if t.folded == "" { // an accent alone
			continue
		}
		for _, w := range t.raw {
			if w = fold(w).text; w != "" {
				t.words = append(t.words, w)
			}
		}
		q.loose = q.loose || len(t.words) == 0 || strings.ContainsFunc(piece, unspaced)
		if q.terms = append(q.terms, t); len(q.terms) == queryTerms {
			break
		}
	}
	return q
}

// unspaced reports whether a letter is of a script whose words the index doesn't
// tell apart as readers do.
func unspaced(r rune) bool {
	return unicode.IsLetter(r) && !unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Common)
}

// match is the query in the language of the index: all words, each quoted and as
// the start of one.
func (q query) match() string {
	var list []string
	for _, t := range q.terms {
		for _, w := range t.raw {
			list = append(list, `"`+w+`*"`)
		}
	}
	return strings.Join(list, " ")
}

// in returns what a text has of the query, as byte ranges in order and apart from
// each other, and whether that is all of it. Terms are taken as words, of which
// the text's begin so, unless loose: then they may stand anywhere in it.
func (q query) in(text string, loose bool) (marks [][2]int, all bool) {
	f := fold(text)
	all = true
	for _, t := range q.terms {
		pieces := t.words
		if loose {
			pieces = []string{t.folded}
		}
		for _, piece := range pieces {
			found := f.find(piece, !loose)
			all = all && len(found) > 0
			for _, p := range found {
				marks = append(marks, f.original(p[0], p[1]))
			}
		}
	}
	slices.SortFunc(marks, func(a, b [2]int) int { return a[0] - b[0] })
	apart := marks[:0]
	for _, m := range marks {
		if n := len(apart); n > 0 && m[0] <= apart[n-1][1] {
			apart[n-1][1] = max(apart[n-1][1], m[1])
			continue
		}
		apart = append(apart, m)
	}
	return apart, all
}
