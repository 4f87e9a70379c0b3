package wire

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"unicode/utf8"
)

// encode writes v, a struct of this package, as JSON without white space. It
// fails on a number that JSON doesn't know, and on an unknown field whose raw
// text isn't JSON.
func encode(v any) ([]byte, error) {
	return appendValue(nil, reflect.ValueOf(v))
}

func appendValue(b []byte, v reflect.Value) ([]byte, error) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || v.Elem().Kind() == reflect.Slice && v.Elem().IsNil() {
			return append(b, "null"...), nil
		}
		return appendValue(b, v.Elem())
	case reflect.Struct:
		return appendObject(b, v)
	case reflect.Map:
		return appendMap(b, v)
	case reflect.Slice:
		b = append(b, '[')
		for i := range v.Len() {
			if i > 0 {
				b = append(b, ',')
			}
			var err error
			if b, err = appendValue(b, v.Index(i)); err != nil {
				return nil, err
			}
		}
		return append(b, ']'), nil
	case reflect.String:
		return appendText(b, v.String()), nil
	case reflect.Bool:
		return strconv.AppendBool(b, v.Bool()), nil
	case reflect.Int, reflect.Int64:
		return strconv.AppendInt(b, v.Int(), 10), nil
	}
	number, err := json.Marshal(v.Interface())
	return append(b, number...), err
}

func appendObject(b []byte, v reflect.Value) ([]byte, error) {
	s := shapeOf(v.Type())
	b = append(b, '{')
	first := true
	name := func(name string) {
		if !first {
			b = append(b, ',')
		}
		first = false
		b = append(appendText(b, name), ':')
	}
	for _, f := range s.fields {
		value := v.FieldByIndex(f.path)
		if f.omit && value.IsZero() {
			continue
		}
		name(f.name)
		var err error
		if b, err = appendValue(b, value); err != nil {
			return nil, err
		}
	}
	if s.extra != nil {
		extra := v.FieldByIndex(s.extra).Interface().(map[string]string)
		for _, k := range slices.Sorted(maps.Keys(extra)) {
			if _, known := s.byName[k]; known || !json.Valid([]byte(extra[k])) {
				return nil, fmt.Errorf("wire: the unknown field %q is known, or its text is not JSON", k)
			}
			name(k)
			b = append(b, extra[k]...)
		}
	}
	return append(b, '}'), nil
}

func appendMap(b []byte, v reflect.Value) ([]byte, error) {
	b = append(b, '{')
	keys := v.MapKeys()
	slices.SortFunc(keys, func(x, y reflect.Value) int { return bytes.Compare([]byte(x.String()), []byte(y.String())) })
	for i, k := range keys {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(appendText(b, k.String()), ':')
		var err error
		if b, err = appendValue(b, v.MapIndex(k)); err != nil {
			return nil, err
		}
	}
	return append(b, '}'), nil
}

// appendText writes a text in quotes. Whoever puts the JSON into a page escapes
// angle brackets there; files stay legible.
func appendText(b []byte, s string) []byte {
	plain := utf8.ValidString(s)
	for i := 0; plain && i < len(s); i++ {
		plain = s[i] >= ' ' && s[i] != '"' && s[i] != '\\' && s[i] < 0x7f
	}
	if plain {
		return append(append(append(b, '"'), s...), '"')
	}
	var text bytes.Buffer
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string and a buffer: neither fails
	return append(b, bytes.TrimSuffix(text.Bytes(), []byte("\n"))...)
}
