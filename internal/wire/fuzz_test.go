package wire

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterwalk/annotate"
)

// Whatever a page sends is refused as a problem, or comes out the same again.
func FuzzEdit(f *testing.F) {
	for _, text := range []string{
		``, `null`, `{}`, `{"id":"a"}`, `{"id":"a","undo":"b","redo":null}`, `{"id":"a","reach_us":1e3,"set":{"coded":null,"finished":true}}`,
		`{"id":"a","base":3,"put":[{"event":{"id":"e","code":"sit","start_us":5,"end_us":null,"details":{"level":-0,"x":["<"]},"y":{}},"was":2}],"remove":[{"id":"f","was":1}],` +
			`"set":{"window":{"start_us":0,"end_us":9},"book":{"name":"b","house":{"limits_s":{"d":null}},"lanes":[{"name":"l","codes":[{"id":"sit","picks":[]}]}]}}}`,
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var w Edit
		if err := decode(text, &w); err != nil {
			if !errors.Is(err, annotate.ErrInvalid) {
				t.Fatalf("decode: %v, want a problem", err)
			}
			return
		}
		e, err := w.Edit()
		if err != nil {
			t.Fatal(err)
		}
		written, err := encode(FromEdit(e))
		if err != nil {
			t.Fatal(err)
		}
		var again Edit
		if err := decode(written, &again); err != nil {
			t.Fatalf("what was written is not read: %v\n%s", err, written)
		}
		back, _ := again.Edit()
		if d := cmp.Diff(e, back, cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("-read +read again\n%s", d)
		}
	})
}
