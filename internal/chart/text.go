package chart

import (
	"net/url"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	gochart "github.com/wcharczuk/go-chart/v2"
)

// maxText bounds, in runes, what a person typed; longer text is cut.
const maxText = 2000

// clean returns s fit to be drawn and read out: valid, in one line, without
// control characters and without those that turn the direction of writing of
// what follows.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069,
			r >= 0xFDD0 && r <= 0xFDEF, r&0xFFFE == 0xFFFE:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) > maxText {
		s = trimTail(string([]rune(s)[:maxText])) + "…"
	}
	return s
}

// cleanLines returns the lines of s that are not empty, clean.
func cleanLines(s string) []string {
	var lines []string
	for line := range strings.Lines(s) {
		if line = clean(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// elide returns s cut, with an ellipsis, to the width in pixels at the given
// letter size; "" where not even a few letters fit.
func elide(s string, width, size float64) string {
	if textWidth(s, size) <= width {
		return s
	}
	var used float64
	room := width - textWidth("…", size)
	for i, r := range s {
		used += runeWidth(r) * size * serifWidth
		if used > room {
			if i < 3 {
				return ""
			}
			return trimTail(s[:i]) + "…"
		}
	}
	return s
}

// wrap returns s in at most n lines of that width, the last one elided.
func wrap(s string, width, size float64, n int) []string {
	var lines []string
	line := ""
	words := strings.Fields(s)
	for i, word := range words {
		next := word
		if line != "" {
			next = line + " " + word
		}
		if line == "" || textWidth(next, size) <= width {
			line = next
			continue
		}
		if len(lines) == n-1 {
			return append(lines, elide(line+" "+strings.Join(words[i:], " "), width, size))
		}
		lines, line = append(lines, elide(line, width, size)), word
	}
	if line != "" {
		lines = append(lines, elide(line, width, size))
	}
	return lines
}

// trimTail takes off what must not stand at a cut: spaces, joiners, marks that
// belong to a letter no longer there.
func trimTail(s string) string {
	return strings.TrimRightFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || r == 0x200D || unicode.Is(unicode.Mn, r)
	})
}

// serifWidth is by how much the serif letters of pages are wider than those
// whose measures are known here.
const serifWidth = 1.26

// textWidth returns the width of s in pixels at a letter size: an upper
// estimate, since the reader's fonts are not known.
func textWidth(s string, size float64) float64 {
	return letterWidth(s) * size * serifWidth
}

// letterWidth returns the width of s in the PNG's own letters at size 1.
func letterWidth(s string) float64 {
	var width float64
	for _, r := range s {
		width += runeWidth(r)
	}
	return width
}

// runeWidth returns the width of r at size 1; a full square for letters that the
// font lacks, and nothing for marks that join their letter.
func runeWidth(r rune) float64 {
	f, err := font()
	if err != nil {
		return 0.6
	}
	i := f.Index(r)
	if i == 0 {
		if unicode.Is(unicode.Mn, r) || r == 0x200D {
			return 0
		}
		return 1
	}
	const pixels = 1000
	return float64(f.HMetric(pixels<<6, i).AdvanceWidth) / (pixels << 6)
}

// font returns the letters of the PNG, read once.
var font = sync.OnceValues(gochart.GetDefaultFont)

// safeHref returns href if it is a path on the same site, else "".
func safeHref(href string) string {
	if href == "" || strings.ContainsFunc(href, func(r rune) bool {
		return r == '\\' || unicode.IsControl(r) || unicode.IsSpace(r) || r == utf8.RuneError
	}) {
		return ""
	}
	u, err := url.Parse(href)
	if err != nil || u.Scheme != "" || u.Opaque != "" || u.Host != "" || u.User != nil || strings.HasPrefix(href, "//") {
		return ""
	}
	return href
}
