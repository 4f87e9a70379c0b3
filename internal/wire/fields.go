package wire

import (
	"reflect"
	"strings"
	"sync"
)

// shape is what the reader and the writer know of a struct type.
type shape struct {
	fields []field
	byName map[string]int // index in fields
	extra  []int          // path of the Extra field, nil if the type has none
}

// field is one JSON field of a struct.
type field struct {
	name     string
	path     []int
	omit     bool // left out where it is the zero value
	required bool // reading fails where it is missing
}

var shapes sync.Map // reflect.Type to *shape

// shapeOf returns the shape of a struct type, read from its tags: `json:"name"`,
// with ",omitzero" to leave out a zero value; `wire:"required"`. The fields of an
// embedded struct count as the outer one's. A field Extra holds unknown fields.
func shapeOf(t reflect.Type) *shape {
	if s, ok := shapes.Load(t); ok {
		return s.(*shape)
	}
	s := &shape{byName: map[string]int{}}
	s.add(t, nil)
	if len(s.fields) > 64 {
		panic("wire: " + t.Name() + " has more than 64 fields")
	}
	for i, f := range s.fields {
		s.byName[f.name] = i
	}
	if f, ok := t.FieldByName("Extra"); ok && len(f.Index) == 1 {
		s.extra = f.Index
	}
	shapes.Store(t, s)
	return s
}

func (s *shape) add(t reflect.Type, path []int) {
	for i := range t.NumField() {
		f := t.Field(i)
		at := append(path[:len(path):len(path)], i)
		if f.Anonymous {
			s.add(f.Type, at)
			continue
		}
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" {
			continue
		}
		s.fields = append(s.fields, field{name, at, option == "omitzero", f.Tag.Get("wire") == "required"})
	}
}
