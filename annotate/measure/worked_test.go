package measure_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/exchange"
)

const worked = "../../testdata/worked"

// readWorked returns a reading of testdata/worked.
func readWorked(t testing.TB, name string) *annotate.Reading {
	t.Helper()
	f, err := os.Open(filepath.Join(worked, name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := exchange.ReadReading(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return r
}

// asJSON returns v as JSON read back: objects, lists, numbers.
func asJSON(t testing.TB, v any) any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var back any
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	return back
}

// The measures of readings worked by hand; the arithmetic stands beside each in
// testdata/worked.
func TestWorked(t *testing.T) {
	wants, err := filepath.Glob(filepath.Join(worked, "*.want.json"))
	if err != nil || len(wants) < 6 {
		t.Fatalf("found %d want files in %s (%v): the path is wrong", len(wants), worked, err)
	}
	for _, path := range wants {
		name := strings.TrimSuffix(filepath.Base(path), ".want.json")
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			var want any
			if err := json.Unmarshal(text, &want); err != nil {
				t.Fatal(err)
			}
			for _, readings := range workedReadings(t, name) {
				m, err := measure.Of(readings)
				if err != nil {
					t.Fatal(err)
				}
				for _, d := range differences("", want, asJSON(t, m)) {
					t.Error(d)
				}
			}
		})
	}
}

// workedReadings returns the readings that a want file is for; a session's in
// both orders.
func workedReadings(t *testing.T, name string) [][]*annotate.Reading {
	if name == "session" {
		a, b := readWorked(t, "session-a"), readWorked(t, "session-b")
		return [][]*annotate.Reading{{a, b}, {b, a}}
	}
	return [][]*annotate.Reading{{readWorked(t, name)}}
}

// differences says where got, JSON, is not as want has it. Of objects it compares
// the keys of want, "absent" asking that got has none; lists in full length.
func differences(at string, want, got any) []string {
	wrong := func() []string { return []string{fmt.Sprintf("%s = %v, want %v", at, got, want)} }
	switch want := want.(type) {
	case map[string]any:
		got, ok := got.(map[string]any)
		if !ok {
			return wrong()
		}
		var list []string
		for k, w := range want {
			g, ok := got[k]
			switch {
			case w == "absent":
				if ok {
					list = append(list, fmt.Sprintf("%s.%s = %v, want no such key", at, k, g))
				}
			case !ok:
				list = append(list, fmt.Sprintf("%s has no %s, want %v", at, k, w))
			default:
				list = append(list, differences(at+"."+k, w, g)...)
			}
		}
		slices.Sort(list)
		return list
	case []any:
		got, ok := got.([]any)
		if !ok || len(got) != len(want) {
			return wrong()
		}
		var list []string
		for i := range want {
			list = append(list, differences(fmt.Sprintf("%s[%d]", at, i), want[i], got[i])...)
		}
		return list
	case float64:
		g, ok := got.(float64)
		if !ok || math.Abs(g-want) > max(1e-12, 1e-9*math.Abs(want)) {
			return wrong()
		}
	default:
		if got != want {
			return wrong()
		}
	}
	return nil
}
