package exchange

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf8"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// maxBook is the largest book file in bytes; the built-in book has 30 KB.
const maxBook = 8 << 20

// ReadBook reads a book file, which is the codebook object of a reading file, or
// takes the codebook out of a reading file. The book is valid. What is wrong with
// the file is returned as [annotate.Problems]; other errors come from the reader.
func ReadBook(from io.Reader) (*annotate.Codebook, error) {
	text, err := io.ReadAll(io.LimitReader(from, maxReading+1))
	if err != nil {
		return nil, fmt.Errorf("exchange: read a book: %w", err)
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	switch {
	case len(text) > maxReading:
		return nil, refuse("The file is larger than %d MiB, the most that a book or reading file may have.", maxReading>>20)
	case len(bytes.TrimSpace(text)) == 0:
		return nil, refuse("The file is empty.")
	case !utf8.Valid(text):
		return nil, refuse("The file is not UTF-8 text.")
	case depth(text) > maxDepth:
		return nil, refuse("The file nests objects and lists more than %d deep.", maxDepth)
	case !json.Valid(text):
		return nil, notJSON(text)
	}
	var top map[string]json.RawMessage
	if err := json.Unmarshal(text, &top); err != nil {
		return nil, refuse("The file holds JSON, but no object: it is neither a book nor a reading file.")
	}
	var w wire.Codebook
	_, reading := top["afterwalk"]
	_, lanes := top["lanes"]
	switch {
	case reading:
		if w, err = bookOfReading(text, top); err != nil {
			return nil, err
		}
	case !lanes:
		return nil, refuse("The file is neither a book nor a reading file: it has no lanes and no reading.")
	case len(text) > maxBook:
		return nil, refuse("The file is larger than %d MiB, the most that a book may have.", maxBook>>20)
	default:
		if err := w.UnmarshalJSON(text); err != nil {
			return nil, err
		}
	}
	b, err := w.Codebook()
	if err != nil {
		return nil, err
	}
	if err := b.Validate().Err(); err != nil {
		return nil, err
	}
	return b, nil
}

// bookOfReading returns the codebook in a reading file.
func bookOfReading(text []byte, top map[string]json.RawMessage) (wire.Codebook, error) {
	var version string
	if json.Unmarshal(top["afterwalk"], &version) != nil || version != wire.ReadingVersion {
		return wire.Codebook{}, refuse("The file is no reading file of a version that this program knows: it says %s.", clip(string(top["afterwalk"])))
	}
	var r wire.Reading
	if err := r.UnmarshalJSON(text); err != nil {
		return wire.Codebook{}, err
	}
	return r.Codebook, nil
}

// notJSON says where a text stops being JSON.
func notJSON(text []byte) error {
	var w wire.Codebook
	if err := w.UnmarshalJSON(text); err != nil {
		return err
	}
	return refuse("The file is not JSON.")
}

// clip shortens what a message quotes.
func clip(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:59]) + "…"
	}
	return s
}

// WriteBook writes b as a book file: JSON, indented, the same bytes for the same
// book.
func WriteBook(to io.Writer, b *annotate.Codebook) error {
	text, err := wire.FromCodebook(b).MarshalJSON()
	if err != nil {
		return fmt.Errorf("exchange: write book %q: %w", b.Name, err)
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, text, "", " "); err != nil {
		return fmt.Errorf("exchange: write book %q: %w", b.Name, err)
	}
	indented.WriteByte('\n')
	if _, err := indented.WriteTo(to); err != nil {
		return fmt.Errorf("exchange: write book %q: %w", b.Name, err)
	}
	return nil
}
