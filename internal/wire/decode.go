package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"afterwalk/annotate"
)

// decode reads one JSON value into v, a pointer to a struct. On an error v may be
// half filled.
func decode(text []byte, v any) error {
	var whole json.RawMessage
	if err := json.Unmarshal(text, &whole); err != nil {
		at := int64(len(text))
		if syntax := new(json.SyntaxError); errors.As(err, &syntax) {
			at = syntax.Offset
		}
		return problem("", "", "The text is not JSON, at byte %d: %v.", at, err)
	}
	r := reader{scanner{text: text}}
	if bad := r.fill(reflect.ValueOf(v).Elem()); bad != nil {
		return problem(bad.place, "", "%s", bad.message)
	}
	return nil
}

// problem returns a single problem as an error.
func problem(field, hint, format string, args ...any) error {
	return annotate.Problems{{Field: field, Message: fmt.Sprintf(format, args...), Hint: hint}}
}

// fault is what is wrong with a text, and where.
type fault struct{ place, message string }

func wrong(format string, args ...any) *fault {
	return &fault{message: fmt.Sprintf(format, args...)}
}

func twice(name string) *fault {
	return wrong("It stands twice in one object.").in(name)
}

// in puts the name of what the fault lies in, or "[3]", before its place. So a
// place is only made where something is wrong.
func (f *fault) in(outer string) *fault {
	if f.place != "" && f.place[0] != '[' {
		outer += "."
	}
	f.place = outer + f.place
	return f
}

// reader reads JSON into values by reflection.
type reader struct{ scanner }

// fill reads the next value into v.
func (r *reader) fill(v reflect.Value) *fault {
	c := r.peek()
	if c == 'n' { // null
		r.scalar()
		v.SetZero()
		if v.Kind() == reflect.Pointer && v.Type().Elem().Kind() == reflect.Slice {
			v.Set(reflect.New(v.Type().Elem())) // a list that is given, and is none
		}
		return nil
	}
	switch kind := v.Kind(); {
	case kind == reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		v.Set(p)
		return r.fill(p.Elem())
	case kind == reflect.Struct && c == '{':
		return r.object(v)
	case kind == reflect.Map && c == '{':
		return r.mapping(v)
	case kind == reflect.Slice && c == '[':
		return r.list(v)
	case kind == reflect.String && c == '"':
		v.SetString(r.string())
		return nil
	case kind == reflect.Bool && (c == 't' || c == 'f'):
		r.scalar()
		v.SetBool(c == 't')
		return nil
	}
	raw := string(r.raw())
	if c == '-' || '0' <= c && c <= '9' {
		switch v.Kind() {
		case reflect.Int, reflect.Int64:
			if n, ok := whole(raw); ok {
				v.SetInt(n)
				return nil
			}
		case reflect.Float64:
			if f, err := strconv.ParseFloat(raw, 64); err == nil {
				v.SetFloat(f)
				return nil
			}
		}
	}
	return wrong("It should be %s, not %s.", wanted[v.Kind()], describe(c, raw))
}

// whole returns a JSON number as a whole one; 3.0 and 3e2 are whole too.
func whole(number string) (n int64, ok bool) {
	if n, err := strconv.ParseInt(number, 10, 64); err == nil {
		return n, true
	}
	f, err := strconv.ParseFloat(number, 64)
	if err != nil || f != math.Trunc(f) || math.Abs(f) > 1<<53 {
		return 0, false
	}
	return int64(f), true
}

// wanted names what is read into a field of a kind.
var wanted = map[reflect.Kind]string{
	reflect.Struct: "an object", reflect.Map: "an object", reflect.Slice: "a list",
	reflect.String: "a text", reflect.Bool: "true or false",
	reflect.Int: "a whole number of at most 64 bits", reflect.Int64: "a whole number of at most 64 bits",
	reflect.Float64: "a number within range",
}

// describe names a value by its first byte and text.
func describe(c byte, raw string) string {
	switch c {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a text"
	case 't', 'f':
		return raw
	}
	return "the number " + raw
}

func (r *reader) object(v reflect.Value) *fault {
	s := shapeOf(v.Type())
	var seen uint64 // bit for each field; no struct here has more than 64
	var extra map[string]string
	for r.more() {
		name := r.key()
		i, known := s.byName[name]
		if !known {
			if _, again := extra[name]; again {
				return twice(name)
			}
			if extra == nil {
				extra = map[string]string{}
			}
			extra[name] = canonical(r.raw())
			continue
		}
		if seen&(1<<i) != 0 {
			return twice(name)
		}
		// A null doesn't give what must be given, unless null is a value of its own.
		field := v.FieldByIndex(s.fields[i].path)
		if s.fields[i].required && r.peek() == 'n' && field.Kind() != reflect.Pointer {
			return wrong("%s is missing.", name)
		}
		seen |= 1 << i
		if bad := r.fill(field); bad != nil {
			return bad.in(name)
		}
	}
	for i, f := range s.fields {
		if f.required && seen&(1<<i) == 0 {
			return wrong("%s is missing.", f.name)
		}
	}
	if s.extra != nil && extra != nil {
		v.FieldByIndex(s.extra).Set(reflect.ValueOf(extra))
	}
	return nil
}

// canonical returns a value's text without white space, and with angle brackets
// and ampersands in the form that package json gives them: so an unknown field
// has one text, whichever way it came.
func canonical(raw []byte) string {
	var compact, escaped bytes.Buffer
	_ = json.Compact(&compact, raw) // the text is known to be valid
	json.HTMLEscape(&escaped, compact.Bytes())
	return escaped.String()
}

// mapping reads an object into a map. Where its values aren't pointers, a null is
// as not given.
func (r *reader) mapping(v reflect.Value) *fault {
	v.Set(reflect.MakeMap(v.Type()))
	seen := map[string]bool{}
	for r.more() {
		name := r.key()
		if seen[name] {
			return twice(name)
		}
		seen[name] = true
		value := reflect.New(v.Type().Elem()).Elem()
		given := r.peek() != 'n' || value.Kind() == reflect.Pointer
		if bad := r.fill(value); bad != nil {
			return bad.in(name)
		}
		if given {
			v.SetMapIndex(reflect.ValueOf(name), value)
		}
	}
	return nil
}

func (r *reader) list(v reflect.Value) *fault {
	v.Set(reflect.MakeSlice(v.Type(), 0, 0))
	for i := 0; r.more(); i++ {
		if r.peek() == 'n' {
			return wrong("It is null, in a list of values.").in(fmt.Sprintf("[%d]", i))
		}
		v.Grow(1)
		v.SetLen(i + 1)
		v.Index(i).SetZero()
		if bad := r.fill(v.Index(i)); bad != nil {
			return bad.in(fmt.Sprintf("[%d]", i))
		}
	}
	return nil
}
