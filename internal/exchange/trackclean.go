package exchange

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"afterwalk/annotate/caption"
)

// cleanLines splits a text at line ends, drops lines without anything visible,
// which would end a cue, and replaces what no track can hold by U+FFFD: control
// characters (tabs become spaces) and bytes that are no UTF-8. what says so, ""
// if nothing was replaced.
func cleanLines(text string) (lines []string, what string) {
	const lost = "\uFFFD"
	if !utf8.ValidString(text) {
		text = strings.ToValidUTF8(text, lost)
		what = "bytes that are no text are written as “" + lost + "”."
	}
	ends := func(r rune) bool {
		return r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029' || r == '\u0085' || r == '\v' || r == '\f'
	}
	for _, line := range strings.FieldsFunc(text, ends) {
		line = strings.Map(func(r rune) rune {
			switch {
			case r == '\t':
				return ' '
			case unicode.IsControl(r):
				what = "control characters are written as “" + lost + "”."
				return '\uFFFD'
			}
			return r
		}, line)
		if strings.TrimSpace(line) != "" {
			lines = append(lines, strings.TrimSpace(line))
		}
	}
	return lines, what
}

// guard carries characters past a writer that would spoil them: each is a
// private-use rune, found in no cue, while the writer works, and put back as
// text in what it wrote.
type guard struct {
	in  *strings.Replacer
	out [][2][]byte // rune as bytes, text to put back
}

// newGuard guards the keys of texts, which are written out as their values.
func newGuard(cues []caption.Cue, texts map[string]string) guard {
	used := map[rune]bool{}
	for _, c := range cues {
		for _, line := range c.Lines {
			for _, r := range line {
				used[r] = true
			}
		}
	}
	var g guard
	var pairs []string
	next := rune(0xE000)
	for char, text := range texts {
		for used[next] {
			next++
		}
		pairs = append(pairs, char, string(next))
		g.out = append(g.out, [2][]byte{[]byte(string(next)), []byte(text)})
		next++
	}
	g.in = strings.NewReplacer(pairs...)
	return g
}

func (g guard) protect(line string) string { return g.in.Replace(line) }

func (g guard) restore(track []byte) []byte {
	for _, pair := range g.out {
		track = bytes.ReplaceAll(track, pair[0], pair[1])
	}
	return track
}
