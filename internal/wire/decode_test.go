package wire

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"afterwalk/annotate"
)

// What can't be read is refused with the place and the reason.
func TestRefused(t *testing.T) {
	event := `{"id":"e1","code":"sit","start_us":5,"end_us":5}`
	for _, c := range []struct{ name, text, field, message string }{
		{"nothing", ``, "", "not JSON, at byte 0: unexpected end"},
		{"cut off", `{"afterwalk":"reading/1","clip":{"file":"a`, "", "not JSON, at byte 42: unexpected end"},
		{"not JSON", `{"afterwalk" "reading/1"}`, "", "not JSON, at byte 14: invalid character '\"' after object key"},
		{"another sort of value", `[]`, "", "an object, not a list"},
		{"text after the end", `{"clip":{"duration_us":9},"window":{"start_us":0,"end_us":9},"codebook":{}} {}`, "", "not JSON, at byte 77: invalid character '{' after top-level value"},
		{"a name twice", `{"id":"a","id":"b"}`, "id", "twice"},
		{"an unknown name twice", `{"x":1,"x":2}`, "x", "twice"},
		{"a name twice in a map", `{"dog":{"ceilings":{"stim":1,"stim":2}}}`, "dog.ceilings.stim", "twice"},
		{"a text for a number", `{"events":[` + event + `,{"start_us":"5"}]}`, "events[1].start_us", "a whole number of at most 64 bits, not a text"},
		{"half a microsecond", `{"events":[{"start_us":5.5}]}`, "events[0].start_us", "not the number 5.5"},
		{"beyond 64 bits", `{"events":[{"start_us":9223372036854775808}]}`, "events[0].start_us", "whole number"},
		{"beyond all numbers", `{"events":[{"details":{"level":1e999}}]}`, "events[0].details.level", "a number within range"},
		{"a number for a text", `{"codebook":{"lanes":[{"codes":[{"id":7}]}]}}`, "codebook.lanes[0].codes[0].id", "a text, not the number 7"},
		{"an object for a list", `{"codebook":{"lanes":{}}}`, "codebook.lanes", "a list, not an object"},
		{"a text for a truth", `{"codebook":{"lanes":[{"exclusive":"yes"}]}}`, "codebook.lanes[0].exclusive", "true or false"},
		{"null in a list", `{"events":[null]}`, "events[0]", "null"},
		{"no end", `{"events":[{"id":"e1","code":"sit","start_us":5}]}`, "events[0]", "end_us is missing"},
		{"a null start", `{"events":[{"id":"e1","code":"sit","start_us":null,"end_us":null}]}`, "events[0]", "start_us is missing"},
		{"no length of the clip", `{"clip":{"file":"a.mp4"}}`, "clip", "duration_us is missing"},
		{"no window", `{"clip":{"duration_us":9},"codebook":{}}`, "", "window is missing"},
		{"no book", `{"clip":{"duration_us":9},"window":{"start_us":0,"end_us":9},"codebook":null}`, "", "codebook is missing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var w Reading
			err := decode([]byte(c.text), &w)
			var p annotate.Problems
			if !errors.As(err, &p) {
				t.Fatalf("decode(%s) = %v, want problems", c.text, err)
			}
			if p[0].Field != c.field || !strings.Contains(p[0].Message, c.message) {
				t.Errorf("decode(%s): %q: %q, want %q: …%s…", c.text, p[0].Field, p[0].Message, c.field, c.message)
			}
		})
	}
}

func TestUnknownVersions(t *testing.T) {
	if _, err := (Reading{Afterwalk: "reading/2"}).Reading(); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("reading/2: %v, want it refused", err)
	}
	if _, err := (Reading{}).Reading(); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("no version: %v, want it refused", err)
	}
	if _, err := (Applied{V: 2}).Applied(); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("a journal row of version 2: %v, want it refused", err)
	}
}

// Names count letter by letter, a null detail is none, and whole numbers may be
// written with a point or exponent.
func TestEventText(t *testing.T) {
	const text = `{"id":"e1","code":"held","start_us":1.5e6,"end_us":2000000.0,
		"details":{"kind":null,"level":0,"taps":null,"Level":7,"grip":{ "hand": "<left>" }},"note":null,"ID":"x"}`
	var w Event
	if err := json.Unmarshal([]byte(text), &w); err != nil {
		t.Fatal(err)
	}
	got, err := json.Marshal(w)
	const want = `{"id":"e1","code":"held","start_us":1500000,"end_us":2000000,` +
		`"details":{"level":0,"Level":7,"grip":{"hand":"\u003cleft\u003e"}},"note":"","ID":"x"}`
	if err != nil || string(got) != want {
		t.Errorf("read and written\n%s\nwant\n%s\n%v", got, want, err)
	}
}

func TestNotWritten(t *testing.T) {
	for name, w := range map[string]Event{
		"raw text that isn't JSON":      {Extra: map[string]string{"a": "{"}},
		"an unknown field that's known": {Extra: map[string]string{"note": "1"}},
		"an infinite level":             {Details: Details{Level: new(inf())}},
	} {
		if text, err := json.Marshal(w); err == nil {
			t.Errorf("%s is written as %s", name, text)
		}
	}
}

func inf() float64 {
	huge := 1e308
	return huge * 10
}
