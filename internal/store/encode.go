package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

// toMicros returns a time of day as a column holds it, nil of nil.
func toMicros(t *time.Time) *int64 {
	if t == nil {
		return nil
	}
	return new(t.UnixMicro())
}

// inZone returns a column's time of day in a zone such as "+02:00"; in this
// computer's where none is given. Nil of nil.
func inZone(us *int64, zone string) *time.Time {
	if us == nil {
		return nil
	}
	t := time.UnixMicro(*us)
	if z, err := time.Parse("-07:00", zone); err == nil {
		_, offset := z.Zone()
		t = t.In(time.FixedZone("", offset))
	}
	return &t
}

// encodeExtra writes unknown fields, name to raw JSON, as one object; nil of none.
func encodeExtra(extra map[string]string) (*string, error) {
	if len(extra) == 0 {
		return nil, nil
	}
	raw := make(map[string]json.RawMessage, len(extra))
	for k, v := range extra {
		raw[k] = json.RawMessage(v)
	}
	s, err := encodeJSON(raw)
	return &s, err
}

func decodeExtra(s *string) (map[string]string, error) {
	if s == nil {
		return nil, nil
	}
	var raw map[string]json.RawMessage
	if err := json.Unmarshal([]byte(*s), &raw); err != nil || len(raw) == 0 {
		return nil, err
	}
	extra := make(map[string]string, len(raw))
	for k, v := range raw {
		extra[k] = string(v)
	}
	return extra, nil
}

// encodeJSON writes v without white space and with < > & as they are, so that raw
// JSON inside it keeps its text.
func encodeJSON(v any) (string, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return "", err
	}
	return string(bytes.TrimSuffix(b.Bytes(), []byte("\n"))), nil
}

// encodeApplied writes a row of the journal; its version is wire.AppliedVersion.
func encodeApplied(a annotate.Applied) (string, error) {
	b, err := wire.FromApplied(a).MarshalJSON()
	return string(b), err
}

func decodeApplied(text string) (annotate.Applied, error) {
	var w wire.Applied
	if err := w.UnmarshalJSON([]byte(text)); err != nil {
		return annotate.Applied{}, err
	}
	return w.Applied()
}

// encodeBook writes a book and the hash it is known by.
func encodeBook(b *annotate.Codebook) (text, hash string, err error) {
	raw, err := wire.FromCodebook(b).MarshalJSON()
	if err != nil {
		return "", "", err
	}
	sum := sha256.Sum256(raw)
	return string(raw), hex.EncodeToString(sum[:]), nil
}

func decodeBook(text string) (*annotate.Codebook, error) {
	var w wire.Codebook
	if err := w.UnmarshalJSON([]byte(text)); err != nil {
		return nil, err
	}
	return w.Codebook()
}
