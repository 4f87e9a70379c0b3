package wire

import (
	"bytes"
	"encoding/json"
	"unicode/utf8"
)

// scanner walks through text that is known to be one JSON value, so it looks at
// nothing twice and has no errors.
type scanner struct {
	text []byte
	at   int
}

// peek returns the first byte of what comes next, white space passed over: of a
// value '{', '[', '"', 't', 'f', 'n', '-' or a digit.
func (s *scanner) peek() byte {
	for s.text[s.at] <= ' ' {
		s.at++
	}
	return s.text[s.at]
}

// more reports whether an object or list goes on; it passes over the opening
// bracket or comma before its next part, or over the closing bracket.
func (s *scanner) more() bool {
	c := s.peek()
	s.at++
	if c == '{' || c == '[' {
		if next := s.peek(); next != '}' && next != ']' {
			return true
		}
		s.at++
		return false
	}
	return c == ','
}

// key reads the name of an object's next part and the colon after it.
func (s *scanner) key() string {
	s.peek()
	name := s.string()
	s.peek()
	s.at++
	return name
}

// string reads a text.
func (s *scanner) string() string {
	quoted := s.quoted()
	inner := quoted[1 : len(quoted)-1]
	if bytes.IndexByte(inner, '\\') < 0 && utf8.Valid(inner) {
		return string(inner)
	}
	var text string
	_ = json.Unmarshal(quoted, &text) // a string that is known to be valid
	return text
}

// quoted returns a text with its quotation marks.
func (s *scanner) quoted() []byte {
	start := s.at
	for s.at++; s.text[s.at] != '"'; s.at++ {
		if s.text[s.at] == '\\' {
			s.at++
		}
	}
	s.at++
	return s.text[start:s.at]
}

// raw returns the next value, whatever it is.
func (s *scanner) raw() []byte {
	s.peek()
	start, deep := s.at, 0
	for {
		switch c := s.text[s.at]; c {
		case '"':
			s.quoted()
		case '{', '[':
			deep++
			s.at++
		case '}', ']':
			deep--
			s.at++
		case ',', ':', ' ', '\t', '\n', '\r':
			s.at++
		default:
			s.scalar()
		}
		if deep == 0 {
			return s.text[start:s.at]
		}
	}
}

// scalar returns a number, true, false or null.
func (s *scanner) scalar() []byte {
	start := s.at
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ',', ':', '}', ']', ' ', '\t', '\n', '\r':
			return s.text[start:s.at]
		}
		s.at++
	}
	return s.text[start:]
}
