package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"

	"afterwalk/annotate"
)

// decode reads one JSON value into v, a pointer to a struct. On an error v may be
// half filled.
func decode(text []byte, v any) error {
	r := reader{json.NewDecoder(bytes.NewReader(text))}
	r.UseNumber()
	if err := r.value("", reflect.ValueOf(v).Elem()); err != nil {
		return err
	}
	if _, err := r.Token(); err != io.EOF {
		return problem("", "", "There is more text after the end, at byte %d.", r.InputOffset())
	}
	return nil
}

// problem returns a single problem as an error.
func problem(field, hint, format string, args ...any) error {
	return annotate.Problems{{Field: field, Message: fmt.Sprintf(format, args...), Hint: hint}}
}

// reader reads JSON into values by reflection and keeps track of the place.
type reader struct{ *json.Decoder }

// broken explains a text that isn't JSON.
func (r reader) broken(path string, err error) error {
	if err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF) {
		return problem(path, "", "The text ends too early, at byte %d.", r.InputOffset())
	}
	return problem(path, "", "The text is not JSON at byte %d: %v.", r.InputOffset(), err)
}

func (r reader) value(path string, v reflect.Value) error {
	token, err := r.Token()
	if err != nil {
		return r.broken(path, err)
	}
	return r.fill(path, v, token)
}

// fill reads the value that begins with token into v.
func (r reader) fill(path string, v reflect.Value, token json.Token) error {
	if token == nil { // null
		v.SetZero()
		if v.Kind() == reflect.Pointer && v.Type().Elem().Kind() == reflect.Slice {
			v.Set(reflect.New(v.Type().Elem())) // a list that is given, and is none
		}
		return nil
	}
	wanted := ""
	switch v.Kind() {
	case reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		v.Set(p)
		return r.fill(path, p.Elem(), token)
	case reflect.Struct:
		if token == json.Delim('{') {
			return r.object(path, v)
		}
		wanted = "an object"
	case reflect.Map:
		if token == json.Delim('{') {
			return r.mapping(path, v)
		}
		wanted = "an object"
	case reflect.Slice:
		if token == json.Delim('[') {
			return r.list(path, v)
		}
		wanted = "a list"
	case reflect.String:
		if s, ok := token.(string); ok {
			v.SetString(s)
			return nil
		}
		wanted = "a text"
	case reflect.Bool:
		if b, ok := token.(bool); ok {
			v.SetBool(b)
			return nil
		}
		wanted = "true or false"
	case reflect.Int, reflect.Int64:
		if n, ok := whole(token); ok {
			v.SetInt(n)
			return nil
		}
		wanted = "a whole number of at most 64 bits"
	case reflect.Float64:
		if n, ok := token.(json.Number); ok {
			if f, err := n.Float64(); err == nil {
				v.SetFloat(f)
				return nil
			}
		}
		wanted = "a number within range"
	}
	return problem(path, "", "It should be %s, not %s.", wanted, describe(token))
}

// whole returns a token as a whole number; 3.0 and 3e2 are whole too.
func whole(token json.Token) (n int64, ok bool) {
	number, ok := token.(json.Number)
	if !ok {
		return 0, false
	}
	if n, err := strconv.ParseInt(string(number), 10, 64); err == nil {
		return n, true
	}
	f, err := number.Float64()
	if err != nil || f != math.Trunc(f) || math.Abs(f) > 1<<53 {
		return 0, false
	}
	return int64(f), true
}

// describe names a token in a message.
func describe(token json.Token) string {
	switch t := token.(type) {
	case json.Delim:
		if t == '{' {
			return "an object"
		}
		return "a list"
	case string:
		return "a text"
	case bool:
		return fmt.Sprint(t)
	default:
		return fmt.Sprintf("the number %v", t)
	}
}

// key reads the name of an object's next field and returns it with its path.
func (r reader) key(path string) (name, at string, err error) {
	token, err := r.Token()
	name, ok := token.(string)
	if err != nil || !ok {
		return "", "", r.broken(path, err)
	}
	if path == "" {
		return name, name, nil
	}
	return name, path + "." + name, nil
}

// end reads the closing bracket of an object or list.
func (r reader) end(path string) error {
	if _, err := r.Token(); err != nil {
		return r.broken(path, err)
	}
	return nil
}

func twice(at string) error {
	return problem(at, "", "It stands twice in one object.")
}

func (r reader) object(path string, v reflect.Value) error {
	s := shapeOf(v.Type())
	seen := make([]bool, len(s.fields))
	var extra map[string]string
	for r.More() {
		name, at, err := r.key(path)
		if err != nil {
			return err
		}
		if i, known := s.byName[name]; known {
			if seen[i] {
				return twice(at)
			}
			token, err := r.Token()
			if err != nil {
				return r.broken(at, err)
			}
			field := v.FieldByIndex(s.fields[i].path)
			if err := r.fill(at, field, token); err != nil {
				return err
			}
			// A null doesn't give what must be given, unless null is a value of its own.
			seen[i] = token != nil || field.Kind() == reflect.Pointer
			continue
		}
		if _, again := extra[name]; again {
			return twice(at)
		}
		raw, err := r.raw(at)
		if err != nil {
			return err
		}
		if extra == nil {
			extra = map[string]string{}
		}
		extra[name] = raw
	}
	for i, f := range s.fields {
		if f.required && !seen[i] {
			return problem(path, "", "%s is missing.", f.name)
		}
	}
	if s.extra != nil && extra != nil {
		v.FieldByIndex(s.extra).Set(reflect.ValueOf(extra))
	}
	return r.end(path)
}

// raw reads a value as it stands, less white space, and with angle brackets and
// ampersands in the form that package json gives them: so an unknown field has one
// text, whichever way it came.
func (r reader) raw(path string) (string, error) {
	var raw json.RawMessage
	if err := r.Decode(&raw); err != nil {
		return "", r.broken(path, err)
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, raw); err != nil {
		return "", r.broken(path, err)
	}
	var escaped bytes.Buffer
	json.HTMLEscape(&escaped, compact.Bytes())
	return escaped.String(), nil
}

// mapping reads an object into a map. Where its values aren't pointers, a null is
// as not given.
func (r reader) mapping(path string, v reflect.Value) error {
	v.Set(reflect.MakeMap(v.Type()))
	seen := map[string]bool{}
	for r.More() {
		name, at, err := r.key(path)
		if err != nil {
			return err
		}
		if seen[name] {
			return twice(at)
		}
		seen[name] = true
		token, err := r.Token()
		if err != nil {
			return r.broken(at, err)
		}
		value := reflect.New(v.Type().Elem()).Elem()
		if err := r.fill(at, value, token); err != nil {
			return err
		}
		if token != nil || value.Kind() == reflect.Pointer {
			v.SetMapIndex(reflect.ValueOf(name), value)
		}
	}
	return r.end(path)
}

func (r reader) list(path string, v reflect.Value) error {
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	for i := 0; r.More(); i++ {
		at := fmt.Sprintf("%s[%d]", path, i)
		token, err := r.Token()
		if err != nil {
			return r.broken(at, err)
		}
		if token == nil {
			return problem(at, "", "It is null, in a list of values.")
		}
		v.Grow(1)
		v.SetLen(i + 1)
		v.Index(i).SetZero()
		if err := r.fill(at, v.Index(i), token); err != nil {
			return err
		}
	}
	return r.end(path)
}
