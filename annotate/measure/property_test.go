package measure_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

func of(t *rapid.T, readings ...*annotate.Reading) *measure.Measures {
	t.Helper()
	m, err := measure.Of(readings)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func bytesOf(t *rapid.T, m *measure.Measures) []byte {
	t.Helper()
	text, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// copyOf returns a copy of r that shares no event and no code with it.
func copyOf(r *annotate.Reading) *annotate.Reading {
	c := *r
	c.Events = slices.Clone(r.Events)
	book := *r.Book
	book.Lanes = slices.Clone(book.Lanes)
	for i := range book.Lanes {
		book.Lanes[i].Codes = slices.Clone(book.Lanes[i].Codes)
	}
	c.Book = &book
	return &c
}

// The same readings give the same bytes whatever the order of their events and
// the names of codes and lanes, checked before or not, and stay as they are.
func TestSameBytes(t *testing.T) {
	like := readWorked(t, "heel")
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawReading(t, like, "a"), drawReading(t, like, "b")
		a0, b0 := copyOf(a), copyOf(b)
		want := bytesOf(t, of(t, a, b))
		if !reflect.DeepEqual(a, a0) || !reflect.DeepEqual(b, b0) {
			t.Fatal("measuring changed a reading")
		}
		if got := bytesOf(t, of(t, a, b)); !bytes.Equal(got, want) {
			t.Fatalf("measured again: %s\nfirst: %s", got, want)
		}
		known, err := measure.Of([]*annotate.Reading{a, b}, measure.KnownValid())
		if err != nil || !bytes.Equal(bytesOf(t, known), want) {
			t.Fatalf("unchecked: %v %s\nchecked: %s", err, bytesOf(t, known), want)
		}

		other := copyOf(a)
		other.Events = rapid.Permutation(other.Events).Draw(t, "order")
		for i := range other.Book.Lanes {
			other.Book.Lanes[i].Name += "'"
			for k := range other.Book.Lanes[i].Codes {
				c := &other.Book.Lanes[i].Codes[k]
				c.ID, c.Name = fmt.Sprintf("code %d %d", 99-i, 99-k), "other"
				for e := range a.Events {
					if a.Events[e].Code == a.Book.Lanes[i].Codes[k].ID {
						for o := range other.Events {
							if other.Events[o].ID == a.Events[e].ID {
								other.Events[o].Code = c.ID
							}
						}
					}
				}
			}
		}
		if got := bytesOf(t, of(t, other, b)); !bytes.Equal(got, want) {
			t.Fatalf("in another order, with other names: %s\nfirst: %s", got, want)
		}
	})
}

// A reading moved along the clip gives the same measures, but for the times.
func TestShift(t *testing.T) {
	like := readWorked(t, "heel")
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t, like, "a")
		by := annotate.Micros(rapid.Int64Range(1, int64(annotate.Second)*5000).Draw(t, "by"))
		moved := copyOf(r)
		moved.Clip.Duration += by
		moved.Window.Start, moved.Window.End = r.Window.Start+by, r.Window.End+by
		for i := range moved.Events {
			moved.Events[i].Start += by
			if !moved.Events[i].Open {
				moved.Events[i].End += by
			}
		}
		want, got := of(t, r), of(t, moved)
		for i := range got.Cues.Trials {
			got.Cues.Trials[i].StartUs -= int64(by)
			got.Cues.Trials[i].EndUs -= int64(by)
		}
		for i := range got.Cues.Owed {
			got.Cues.Owed[i].StartUs -= int64(by)
		}
		for i := range got.Cues.Paid {
			got.Cues.Paid[i].StartUs -= int64(by)
		}
		for i := range got.Pressure.Occasions {
			got.Pressure.Occasions[i].StartUs -= int64(by)
			got.Pressure.Occasions[i].EndUs -= int64(by)
		}
		if g, w := bytesOf(t, got), bytesOf(t, want); !bytes.Equal(g, w) {
			t.Fatalf("moved by %d µs: %s\nbefore: %s", by, g, w)
		}
	})
}

// Every share lies in 0…1 and in its interval, no rate is negative, no value
// stands without its denominator.
func TestBounds(t *testing.T) {
	like := readWorked(t, "heel")
	rapid.Check(t, func(t *rapid.T) {
		m := of(t, drawReading(t, like, "a"))
		inside := func(at string, value, low, high *float64, most float64) {
			if (value == nil) != (low == nil) || (value == nil) != (high == nil) {
				t.Fatalf("%s: value %v, limits %v and %v", at, value, low, high)
			}
			if value != nil && !(0 <= *low && *low <= *value && *value <= *high && *high <= most) {
				t.Fatalf("%s: %v in [%v, %v], most %v", at, *value, *low, *high, most)
			}
		}
		each(reflect.ValueOf(*m), "", func(at string, v any) {
			switch v := v.(type) {
			case measure.Share:
				if v.K < 0 || v.K > v.N || (v.Value == nil) != (v.N == 0) {
					t.Fatalf("%s = %+v", at, v)
				}
				inside(at, v.Value, v.Low, v.High, 1)
			case measure.Rate:
				if v.Count < 0 || v.Minutes < 0 || (v.Value == nil) != (v.Minutes == 0) {
					t.Fatalf("%s = %+v", at, v)
				}
				inside(at, v.Value, v.Low, v.High, math.MaxFloat64)
			case float64:
				if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 && !strings.HasSuffix(at, "ResponseS") {
					t.Fatalf("%s = %v", at, v)
				}
				if strings.HasSuffix(at, "Share") && v > 1 {
					t.Fatalf("%s = %v", at, v)
				}
			}
		})
	})
}

// each calls visit with every value in v, pointers followed, nil left out.
func each(v reflect.Value, at string, visit func(at string, v any)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			each(v.Elem(), at, visit)
		}
	case reflect.Struct:
		visit(at, v.Interface())
		for i := range v.NumField() {
			each(v.Field(i), at+"."+v.Type().Field(i).Name, visit)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			each(v.MapIndex(k), fmt.Sprintf("%s[%v]", at, k), visit)
		}
	case reflect.Slice:
		for i := range v.Len() {
			each(v.Index(i), fmt.Sprintf("%s[%d]", at, i), visit)
		}
	default:
		visit(at, v.Interface())
	}
}
