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

const (
	maxReading = 64 << 20 // bytes of a reading file; 5,000 events are about 1 MiB
	maxDepth   = 64       // objects and lists within each other; a reading itself has 7
)

// ReadReading reads one reading file and returns the reading, valid, its events
// in order, with revision 0 and no history. What is wrong with the file is
// returned as [annotate.Problems]; other errors come from the reader.
func ReadReading(from io.Reader) (*annotate.Reading, error) {
	text, err := io.ReadAll(io.LimitReader(from, maxReading+1))
	if err != nil {
		return nil, fmt.Errorf("exchange: read a reading: %w", err)
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	switch {
	case len(text) > maxReading:
		return nil, refuse("The file is larger than %d MiB, the most that a reading may have.", maxReading>>20)
	case !utf8.Valid(text):
		return nil, refuse("The file is not UTF-8 text.")
	case depth(text) > maxDepth:
		return nil, refuse("The file nests objects and lists more than %d deep.", maxDepth)
	}
	var w wire.Reading
	if err := w.UnmarshalJSON(text); err != nil {
		// Another version may have another shape; then its name is what is wrong.
		var version struct {
			Afterwalk string `json:"afterwalk"`
		}
		if json.Unmarshal(text, &version) == nil && version.Afterwalk != wire.ReadingVersion {
			_, err = wire.Reading{Afterwalk: version.Afterwalk}.Reading()
		}
		return nil, err
	}
	for i := range w.Events {
		w.Events[i].Rev = 0 // of the reading that it was saved from
	}
	r, err := w.Reading()
	if err != nil {
		return nil, err
	}
	if err := r.Validate().Err(); err != nil {
		return nil, err
	}
	return r, nil
}

func refuse(format string, args ...any) error {
	return annotate.Problems{{Message: fmt.Sprintf(format, args...)}}
}

// depth returns how deep objects and lists stand within each other, in text that
// need not be JSON.
func depth(text []byte) (deepest int) {
	deep, quoted := 0, false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			deep++
			deepest = max(deepest, deep)
		case c == '}' || c == ']':
			deep--
		}
	}
	return deepest
}

// WriteReading writes r as a reading file: JSON, indented, the same bytes for the
// same reading. Revisions and history stay behind. It fails, before anything is
// written, on what JSON can't hold, and otherwise as the writer does.
func WriteReading(to io.Writer, r *annotate.Reading) error {
	w := wire.FromReading(r)
	for i := range w.Events {
		w.Events[i].Rev = 0
	}
	text, err := w.MarshalJSON()
	if err != nil {
		return fmt.Errorf("exchange: write reading %q: %w", r.ID, err)
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, text, "", " "); err != nil {
		return fmt.Errorf("exchange: write reading %q: %w", r.ID, err)
	}
	indented.WriteByte('\n')
	if _, err := indented.WriteTo(to); err != nil {
		return fmt.Errorf("exchange: write reading %q: %w", r.ID, err)
	}
	return nil
}
