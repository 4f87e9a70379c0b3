package store

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// folded is a text as texts are searched: letter case and accents don't count.
type folded struct {
	text string
	at   []int // where each byte of text, and its end, lies in the original; nil: at the same place
}

// fold folds a text. What isn't UTF-8 in it stands for itself.
func fold(s string) folded {
	if plain(s) {
		return folded{text: strings.ToLower(s)}
	}
	var b strings.Builder
	at := make([]int, 0, len(s)+1)
	add := func(r rune, from int) {
		if unicode.Is(unicode.Mn, r) {
			return
		}
		text := string(unicode.ToLower(r))
		switch r {
		case 'ß', 'ẞ':
			text = "ss"
		case 'ſ':
			text = "s"
		case 'ς':
			text = "σ"
		}
		b.WriteString(text)
		for range len(text) {
			at = append(at, from)
		}
	}
	for i, r := range s {
		if r == utf8.RuneError {
			add(r, i)
			continue
		}
		if parts := norm.NFD.PropertiesString(s[i:]).Decomposition(); parts != nil {
			for _, part := range string(parts) {
				add(part, i)
			}
			continue
		}
		add(r, i)
	}
	return folded{b.String(), append(at, len(s))}
}

// plain reports whether a text is ASCII, which folds byte by byte.
func plain(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// original returns the place in the original of text[from:to]: whole characters,
// with the accents on them.
func (f folded) original(from, to int) [2]int {
	if f.at == nil {
		return [2]int{from, to}
	}
	end := to
	for end < len(f.text) && end > 0 && f.at[end] == f.at[end-1] {
		end++
	}
	return [2]int{f.at[from], f.at[end]}
}

// inWord reports whether a character is part of words.
func inWord(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsNumber(r) || unicode.IsMark(r)
}

// starts reports whether a word starts at a place of the text.
func (f folded) starts(at int) bool {
	r, _ := utf8.DecodeLastRuneInString(f.text[:at])
	return at == 0 || !inWord(r)
}

// find returns the places of a piece in the text: where a word starts, if words,
// otherwise anywhere.
func (f folded) find(piece string, words bool) [][2]int {
	var list [][2]int
	for from := 0; piece != "" && from <= len(f.text)-len(piece); {
		i := strings.Index(f.text[from:], piece)
		if i < 0 {
			break
		}
		i += from
		from = i + len(piece)
		if !words || f.starts(i) {
			list = append(list, [2]int{i, i + len(piece)})
		} else {
			_, size := utf8.DecodeRuneInString(f.text[i:])
			from = i + size
		}
	}
	return list
}
