package wire

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// fill sets every field that can be reached from v to something random, so that
// a field which a conversion forgets is found.
func fill(t *rapid.T, name string, v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.String().Draw(t, name))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, name))
	case reflect.Int, reflect.Int64:
		v.SetInt(rapid.Int64().Draw(t, name))
	case reflect.Float64:
		v.SetFloat(rapid.Float64Range(-1e300, 1e300).Draw(t, name))
	case reflect.Pointer:
		if rapid.Bool().Draw(t, name+" given") {
			v.Set(reflect.New(v.Type().Elem()))
			fill(t, name, v.Elem())
		}
	case reflect.Slice:
		n := rapid.IntRange(0, 2).Draw(t, name+" length")
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(t, name, v.Index(i))
		}
	case reflect.Map:
		if rapid.Bool().Draw(t, name+" given") {
			fillMap(t, name, v)
		}
	case reflect.Struct:
		if at, ok := v.Addr().Interface().(*time.Time); ok {
			zone := time.FixedZone("", 60*rapid.IntRange(-720, 720).Draw(t, "zone"))
			*at = time.Unix(rapid.Int64Range(0, 4e9).Draw(t, name), rapid.Int64Range(0, 999_999_999).Draw(t, name)).In(zone)
			return
		}
		for i := range v.NumField() {
			fill(t, v.Type().Field(i).Name, v.Field(i))
		}
		tidy(v)
	default:
		t.Fatalf("%s is of kind %v, which is not filled", name, v.Kind())
	}
}

func fillMap(t *rapid.T, name string, v reflect.Value) {
	v.Set(reflect.MakeMap(v.Type()))
	for range rapid.IntRange(0, 2).Draw(t, name+" length") {
		key := rapid.String().Draw(t, name+" key")
		value := reflect.New(v.Type().Elem()).Elem()
		if strings.HasSuffix(name, "Extra") {
			key = "x " + key // names that no struct has
			value.SetString(rapid.SampledFrom([]string{`1.50`, `"\u003ca\u003e b"`, `null`, `{"a":[1,{"b":"\u00e4"}]}`}).Draw(t, name))
		} else {
			fill(t, name, value)
		}
		v.SetMapIndex(reflect.ValueOf(key), value)
	}
}

// tidy takes out of a filled struct what its JSON doesn't hold.
func tidy(v reflect.Value) {
	switch v := v.Addr().Interface().(type) {
	case *annotate.Event:
		if v.Open {
			v.End = v.Start
		}
	case *annotate.Code:
		v.Details.Extra = nil // unknown fields of a code are its own
	}
}

// same compares with empty and missing lists and maps taken as one: where they
// differ in meaning, TestGivenEmpty says so.
var same = cmpopts.EquateEmpty()

func drawReading(t *rapid.T) *annotate.Reading {
	r := &annotate.Reading{Book: new(annotate.Codebook)}
	v := reflect.ValueOf(r).Elem()
	for i := range v.NumField() {
		switch name := v.Type().Field(i).Name; name {
		case "History", "Revision":
		case "Book":
			fill(t, name, v.Field(i).Elem())
		default:
			fill(t, name, v.Field(i))
		}
	}
	annotate.SortEvents(r.Events)
	return r
}

// there writes a value and reads it back, twice, and checks that the bytes are
// the same both times.
func there[W any](t *rapid.T, w W) W {
	t.Helper()
	text, err := json.Marshal(w)
	if err != nil {
		t.Fatal(err)
	}
	var back W
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	again, err := json.Marshal(back)
	if err != nil || string(again) != string(text) {
		t.Fatalf("written again: %v\nfirst  %s\nsecond %s", err, text, again)
	}
	return back
}

func TestReadingRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawReading(t)
		back, err := there(t, FromReading(r)).Reading()
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(r, back, same); d != "" {
			t.Fatalf("reading (-written +read)\n%s", d)
		}
	})
}

func TestEditRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var e annotate.Edit
		fill(t, "edit", reflect.ValueOf(&e).Elem())
		back, err := there(t, FromEdit(e)).Edit()
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(e, back, same); d != "" {
			t.Fatalf("edit (-written +read)\n%s", d)
		}
	})
}

func TestAppliedRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var a annotate.Applied
		fill(t, "applied", reflect.ValueOf(&a).Elem())
		back, err := there(t, FromApplied(a)).Applied()
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(a, back, same); d != "" {
			t.Fatalf("applied (-written +read)\n%s", d)
		}
	})
}

// A list or limit that is given and empty isn't one that is missing.
func TestGivenEmpty(t *testing.T) {
	text := `{"coded":%s,"house":{"no_trial":%[1]s,"off":%[1]s}}`
	type both struct {
		Coded []string `json:"coded,omitzero"`
		House House    `json:"house"`
	}
	for _, list := range []string{"[]", "null"} {
		var b both
		if err := decode(fmt.Appendf(nil, text, list), &b); err != nil {
			t.Fatal(err)
		}
		empty := list == "[]"
		h := b.House.house()
		if (b.Coded != nil) != empty || (h.NoTrial != nil) != empty || (h.Off != nil) != empty {
			t.Errorf("%s is read as %#v, %#v, %#v", list, b.Coded, h.NoTrial, h.Off)
		}
		out, _ := encode(b)
		if want := map[bool]string{true: fmt.Sprintf(text, "[]"), false: `{"house":{}}`}[empty]; string(out) != want {
			t.Errorf("%s is written as %s, want %s", list, out, want)
		}
	}

	var f Facts
	if err := json.Unmarshal([]byte(`{"coded":null}`), &f); err != nil || f.Coded == nil || *f.Coded != nil {
		t.Errorf("coded null in facts = %v, %v; want a given nil list, which is all lanes", f.Coded, err)
	}

	var h House
	if err := decode([]byte(`{"limits_s":{"did_to_reward":null,"right_to_off":{"most":1}},"criterion":{"of":5}}`), &h); err != nil {
		t.Fatal(err)
	}
	rules := h.house().Rules()
	if _, ok := rules.Limits["did_to_reward"]; ok {
		t.Error("a null limit leaves the default standing")
	}
	if got := *rules.Limits["right_to_off"].Most; got != 1 {
		t.Errorf("right_to_off = %v, want the given 1", got)
	}
	if rules.CriterionOf != 5 || rules.CriterionClean != 8 {
		t.Errorf("criterion = %d of %d, want the default 8 of the given 5", rules.CriterionClean, rules.CriterionOf)
	}
}
