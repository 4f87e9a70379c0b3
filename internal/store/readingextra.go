package store

import (
	"encoding/json"

	"afterwalk/annotate"
)

// encodeCoded writes the coded lanes; nil for all.
func encodeCoded(lanes []string) (*string, error) {
	if lanes == nil {
		return nil, nil
	}
	s, err := encodeJSON(lanes)
	return &s, err
}

// encodeReadingExtra writes the unknown fields of a reading, by the object in
// which they stood.
func encodeReadingExtra(r *annotate.Reading) (string, error) {
	all := map[string]json.RawMessage{}
	for name, extra := range map[string]map[string]string{"reading": r.Extra, "clip": r.ClipExtra, "dog": r.DogExtra, "window": r.WindowExtra} {
		text, err := encodeExtra(extra)
		if err != nil {
			return "", err
		}
		if text != nil {
			all[name] = json.RawMessage(*text)
		}
	}
	return encodeJSON(all)
}

func decodeReadingExtra(text string, r *annotate.Reading) error {
	var all map[string]json.RawMessage
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		return err
	}
	for name, to := range map[string]*map[string]string{"reading": &r.Extra, "clip": &r.ClipExtra, "dog": &r.DogExtra, "window": &r.WindowExtra} {
		raw, ok := all[name]
		if !ok {
			continue
		}
		extra, err := decodeExtra(new(string(raw)))
		if err != nil {
			return err
		}
		*to = extra
	}
	return nil
}
