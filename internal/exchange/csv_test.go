package exchange

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"iter"
	"os/exec"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// rowsOf reads CSV by the grammar of RFC 4180, section 2, to the letter and without
// any library: rows end in CR LF, a field is either text without quotes, commas, CR
// and LF, or stands in quotes, where a quote is doubled.
func rowsOf(text string) (rows [][]string, err error) {
	var row []string
	for at := 0; at < len(text); {
		field := ""
		if text[at] == '"' {
			at++
			for closed := false; !closed; {
				end := strings.IndexByte(text[at:], '"')
				if end < 0 {
					return nil, fmt.Errorf("a quote at byte %d is not closed", at)
				}
				field += text[at : at+end]
				at += end + 1
				if closed = !strings.HasPrefix(text[at:], `"`); !closed {
					field += `"`
					at++
				}
			}
		} else {
			end := strings.IndexAny(text[at:], ",\r\n\"")
			if end < 0 {
				return nil, fmt.Errorf("the last row has no end")
			}
			field = text[at : at+end]
			at += end
		}
		row = append(row, field)
		switch rest := text[at:]; {
		case strings.HasPrefix(rest, ","):
			at++
			if strings.HasPrefix(text[at:], "\r\n") { // a row may end in an empty field
				row = append(row, "")
				rows, row = append(rows, row), nil
				at += 2
			}
		case strings.HasPrefix(rest, "\r\n"):
			at += 2
			rows, row = append(rows, row), nil
		default:
			return nil, fmt.Errorf("after the field %q at byte %d comes %.5q", field, at, rest)
		}
	}
	if row != nil {
		return nil, fmt.Errorf("the last row has no end")
	}
	return rows, nil
}

// table writes readings and reads them back, as records by the names of columns.
func table(t interface {
	Helper()
	Fatal(...any)
}, clips []CodedClip, options ...CSVOption) []map[string]string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteEventsCSV(&b, all(clips), options...); err != nil {
		t.Fatal(err)
	}
	rows, err := rowsOf(b.String())
	if err != nil {
		t.Fatal(err, "\n", b.String())
	}
	// A second reader that knows nothing of the first, as strict as it can be. It
	// makes CR LF within a field into LF.
	r := csv.NewReader(&b)
	r.FieldsPerRecord, r.LazyQuotes = len(columns), false
	second, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lf := func(rows [][]string) [][]string {
		var out [][]string
		for _, row := range rows {
			var fields []string
			for _, f := range row {
				fields = append(fields, strings.ReplaceAll(f, "\r\n", "\n"))
			}
			out = append(out, fields)
		}
		return out
	}
	if diff := cmp.Diff(lf(rows), lf(second)); diff != "" {
		t.Fatal("two readers differ:\n", diff)
	}
	var list []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		list = append(list, m)
	}
	return list
}

func all(clips []CodedClip) iter.Seq2[CodedClip, error] {
	return func(yield func(CodedClip, error) bool) {
		for _, c := range clips {
			if !yield(c, nil) {
				return
			}
		}
	}
}

func coded(events ...annotate.Event) CodedClip {
	at := time.Date(2026, 5, 9, 17, 5, 0, 0, time.FixedZone("", 2*60*60))
	return CodedClip{Session: "session 2", Counts: true, Reading: &annotate.Reading{
		ID: "r1", Reader: "P. Quill", Handler: "I. Varga", Venue: "Mill Meadow", Finished: true,
		Clip: annotate.Clip{File: "walk.mp4", Fingerprint: "v1-00", Duration: 20e6, RecordedAt: &at},
		Dog:  annotate.Dog{Name: "Tansy"}, Window: annotate.Span{Start: 33_333, End: 20e6}, Book: DefaultBook(), Events: events,
	}}
}

func TestEventsCSV(t *testing.T) {
	c := coded(
		annotate.Event{ID: "e1", Code: "stim", Start: 1_234_567, End: 1_234_567, Details: annotate.Details{Device: "Collar A", Level: new(9.5), Taps: new(2), Extra: map[string]string{"b": "[1]", "a": `"x"`}}, Note: "late"},
		annotate.Event{ID: "e2", Code: "ex-down", Start: 2e6, End: 12_500_000, Details: annotate.Details{PlannedS: new(30.0), HandlerM: new(5.0)}},
		annotate.Event{ID: "e3", Code: "distraction", Start: 3e6, Open: true, Details: annotate.Details{Kind: "bicycle", DistanceM: new(0.0)}},
		annotate.Event{ID: "e4", Code: "gone", Start: 4e6, End: 4e6},
	)
	got := table(t, []CodedClip{c})
	if len(got) != 4 {
		t.Fatalf("%d rows, want 4", len(got))
	}
	book := DefaultBook()
	shared := map[string]string{
		"clip": "walk.mp4", "fingerprint": "v1-00", "recorded_at": "2026-05-09T17:05:00+02:00", "dog": "Tansy", "session": "session 2",
		"venue": "Mill Meadow", "handler": "I. Varga", "reader": "P. Quill", "reading": "r1", "counts": "true", "finished": "true",
		"window_start_s": "0.033333", "window_end_s": "20.000000", "book": book.Name, "book_version": strconv.Itoa(book.Version),
	}
	for i, want := range []map[string]string{
		{"event": "e1", "code": "stim", "name": "stim, tap", "lane": "pressure", "role": "pressure", "start_us": "1234567", "end_us": "1234567", "start_s": "1.234567", "end_s": "1.234567",
			"length_s": "0.000000", "channel": "stim", "device": "Collar A", "level": "9.5", "taps": "2", "other": `{"a":"x","b":[1]}`, "note": "late"},
		{"event": "e2", "code": "ex-down", "name": "down-stay", "lane": "exercise", "role": "exercise", "start_us": "2000000", "end_us": "12500000", "start_s": "2.000000", "end_s": "12.500000",
			"length_s": "10.500000", "kind": "stay", "posture": "down", "command": "down", "planned_s": "30", "handler_m": "5"},
		{"event": "e3", "code": "distraction", "name": "distraction", "lane": "distraction", "role": "distraction", "start_us": "3000000", "start_s": "3.000000", "kind": "bicycle", "distance_m": "0"},
		{"event": "e4", "code": "gone", "start_us": "4000000", "end_us": "4000000", "start_s": "4.000000", "end_s": "4.000000", "length_s": "0.000000"},
	} {
		for _, c := range columns {
			if v, ok := shared[c.name]; ok {
				want[c.name] = v
			} else if _, ok := want[c.name]; !ok {
				want[c.name] = ""
			}
		}
		if diff := cmp.Diff(want, got[i]); diff != "" {
			t.Errorf("row %d (-want +got):\n%s", i, diff)
		}
	}
}

// wild are texts that tables are broken by.
var wild = []string{
	`"`, `""`, `a"b`, `,`, `a,b`, "a\nb", "a\r\nb", "a\rb", "\r", "\n", "\r\n", " leading", "trailing ", "=1+1", "+1", "-1", "@SUM(A1)", "\t=1",
	`=HYPERLINK("http://x","y")`, `\.`, "#", "'", "日本 🐕", "שלום", strings.Repeat("x", 5000), `<script>`, `%n`, "\ufeffbom", "a;b", "\u2028",
}

// Every text comes back as it was typed, in whatever column it stands.
func TestEventsCSVKeepsTexts(t *testing.T) {
	for _, text := range wild {
		c := coded(annotate.Event{ID: text, Code: "stim", Details: annotate.Details{Kind: text, Device: text}, Note: text})
		c.Session, c.Reading.Dog.Name, c.Reading.Reader, c.Reading.Clip.File = text, text, text, text
		got := table(t, []CodedClip{c})[0]
		for _, column := range []string{"event", "kind", "device", "note", "session", "dog", "reader", "clip"} {
			if got[column] != text {
				t.Errorf("%s = %q, want %q", column, got[column], text)
			}
		}
	}
	got := table(t, []CodedClip{coded(annotate.Event{ID: "e", Code: "stim", Note: "a\x00b\xff"})})[0]
	if want := "a\uFFFDb\uFFFD"; got["note"] != want {
		t.Errorf("note = %q, want %q: NUL and what is no UTF-8 are shown", got["note"], want)
	}
}

func TestEventsCSVAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.RuneFrom([]rune("a\",\r\n='\t ;\\")))).Draw(t, "text")
		c := coded(annotate.Event{ID: "e", Code: "stim", Note: text}, annotate.Event{ID: "f", Code: "stim", Note: "plain"})
		c.Reading.Reader = text
		got := table(t, []CodedClip{c, c})
		want := strings.ReplaceAll(text, "\x00", "\uFFFD")
		if len(got) != 4 || got[0]["note"] != want || got[2]["reader"] != want || got[3]["note"] != "plain" {
			t.Fatalf("read back %q", got)
		}
	})
}

// With Guarded no text begins a formula, and numbers stay numbers.
func TestEventsCSVGuarded(t *testing.T) {
	c := coded(annotate.Event{ID: "=e", Code: "stim", Details: annotate.Details{Level: new(9.0), Kind: "@x"}, Note: "-1"})
	c.Reading.Dog.Name, c.Reading.Reader = "+Tansy", "I. Varga"
	got := table(t, []CodedClip{c}, Guarded())[0]
	for column, want := range map[string]string{"event": "'=e", "kind": "'@x", "note": "'-1", "dog": "'+Tansy", "reader": "I. Varga", "level": "9", "start_us": "0"} {
		if got[column] != want {
			t.Errorf("%s = %q, want %q", column, got[column], want)
		}
	}
}

// Python's reader is at home on many machines and knows nothing of ours.
func TestEventsCSVInPython(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 found")
	}
	var clips []CodedClip
	for _, text := range wild {
		clips = append(clips, coded(annotate.Event{ID: "e", Code: "stim", Note: text}))
	}
	var b bytes.Buffer
	if err := WriteEventsCSV(&b, all(clips)); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), python, "-c", `
import csv, io, sys
text = io.TextIOWrapper(sys.stdin.buffer, encoding="utf-8", newline="")
for row in csv.DictReader(text, strict=True):
    sys.stdout.buffer.write(row["note"].encode() + b"\0")`)
	cmd.Stdin = &b
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
	if diff := cmp.Diff(wild, got); diff != "" {
		t.Errorf("notes as Python reads them (-want +got):\n%s", diff)
	}
}

func TestEventsCSVErrors(t *testing.T) {
	broken := errors.New("broken")
	var b bytes.Buffer
	err := WriteEventsCSV(&b, func(yield func(CodedClip, error) bool) { yield(CodedClip{}, broken) })
	if !errors.Is(err, broken) || b.Len() > 0 {
		t.Errorf("an error at once: %v with %d bytes written, want it and none", err, b.Len())
	}
	err = WriteEventsCSV(&b, func(yield func(CodedClip, error) bool) {
		if yield(coded(annotate.Event{ID: "e", Code: "stim"}), nil) {
			yield(CodedClip{}, broken)
		}
	})
	if !errors.Is(err, broken) || strings.Count(b.String(), "\r\n") != 2 {
		t.Errorf("an error after a reading: %v, %q", err, b.String())
	}
	if err := WriteEventsCSV(failing{}, all([]CodedClip{coded()})); !errors.Is(err, errFull) {
		t.Errorf("a writer that fails: %v", err)
	}
	b.Reset()
	if err := WriteEventsCSV(&b, all(nil)); err != nil || !strings.HasPrefix(b.String(), "clip,fingerprint,") || strings.Count(b.String(), "\r\n") != 1 {
		t.Errorf("no readings: %v, %q, want the names of the columns", err, b.String())
	}
}

var errFull = errors.New("full")

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errFull }

// What a table needs of memory doesn't grow with it: of two hundred readings one is
// held at a time.
func TestEventsCSVFlat(t *testing.T) {
	held, most := 0, uint64(0)
	write := func(readings int) uint64 {
		most = 0
		var start runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&start)
		err := WriteEventsCSV(&counter{}, func(yield func(CodedClip, error) bool) {
			for n := range readings {
				events := make([]annotate.Event, 2000)
				for i := range events {
					events[i] = annotate.Event{ID: strconv.Itoa(i), Code: "stim", Note: "a note of some length"}
				}
				held++
				if !yield(coded(events...), nil) {
					return
				}
				if n%20 == 19 {
					var now runtime.MemStats
					runtime.GC()
					runtime.ReadMemStats(&now)
					if now.HeapAlloc > start.HeapAlloc {
						most = max(most, now.HeapAlloc-start.HeapAlloc)
					}
				}
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		return most
	}
	short, long := write(20), write(200)
	// Each reading has 2,000 events, of well over 200 bytes each.
	if long > short+1<<20 {
		t.Errorf("200 readings hold %d bytes, 20 hold %d: the table is kept somewhere", long, short)
	}
	if held != 220 {
		t.Errorf("%d readings were asked for, want 220", held)
	}
}

type counter struct{ n int }

func (c *counter) Write(p []byte) (int, error) { c.n += len(p); return len(p), nil }

func TestEventsCSVColumns(t *testing.T) {
	var names []string
	for _, c := range columns {
		if slices.Contains(names, c.name) {
			t.Errorf("two columns are named %s", c.name)
		}
		names = append(names, c.name)
	}
	if got, want := len(names), 40; got != want {
		t.Errorf("%d columns, want %d: who reads tables counts on them", got, want)
	}
}
