package exchange

import (
	"bytes"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterwalk/annotate"
)

var update = flag.Bool("update", false, "write golden files anew")

func TestDefaultBook(t *testing.T) {
	b := DefaultBook()
	if p := b.Validate(); p != nil {
		t.Fatalf("the built-in book is not valid:\n%v", p)
	}
	// Counted in codebook.json by another program: 18 lanes, 54 codes, 7 rungs.
	codes := 0
	for _, l := range b.Lanes {
		codes += len(l.Codes)
	}
	if len(b.Lanes) != 18 || codes != 54 || len(b.Ladder) != 7 || b.HelpRank != 3 {
		t.Errorf("the built-in book has %d lanes, %d codes, %d rungs, help rank %d", len(b.Lanes), codes, len(b.Ladder), b.HelpRank)
	}
	c, lane, ok := b.Code("down")
	if !ok || b.Lanes[lane].Name != "cue" || c.Details.Command != "down" || c.Then != "ex-down" || c.Key != "x" {
		t.Errorf("code down = %+v in lane %d", c, lane)
	}
	b.Lanes[0].Name = "changed"
	if DefaultBook().Lanes[0].Name == "changed" {
		t.Error("two copies of the book share memory")
	}
}

// readGolden returns the reading of a golden file.
func readGolden(t *testing.T, name string) *annotate.Reading {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, err := ReadReading(f)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The golden file has every field of a reading file once, unknown ones too. As it
// is what this program writes, it comes out as it went in.
func TestGolden(t *testing.T) {
	const name = "reading.json"
	r := readGolden(t, name)
	var out bytes.Buffer
	if err := WriteReading(&out, r); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), out.String()); d != "" {
		t.Errorf("written again (-file +written)\n%s", d)
	}

	// A few values by hand, so that file and writer can't be wrong together.
	if e := r.Events[len(r.Events)-1]; e.ID != "e6" || !e.Open || e.Start != 61_500_000 || e.Extra["seen_by"] != `"both"` {
		t.Errorf("the last event is %+v", e)
	}
	if got := *r.Events[2].Details.Level; got != 0 {
		t.Errorf("a level of 0 is read as %v", got)
	}
	if r.Clip.RecordedAt.Format("15:04 -0700") != "18:20 +0200" || r.Extra["weather"] == "" || r.Coded == nil {
		t.Errorf("recorded at %v, unknown fields %v, coded %v", r.Clip.RecordedAt, r.Extra, r.Coded)
	}
	if l, ok := r.Book.House.LimitsS["did_to_reward"]; !ok || l != nil {
		t.Errorf("the limit taken away is read as %v, %v", l, ok)
	}
}

// What was put into a stored reading doesn't go into its file.
func TestWriteWithoutRevisions(t *testing.T) {
	r := readGolden(t, "reading.json")
	next, _, err := r.Apply(annotate.Edit{ID: "edit", Put: []annotate.Put{{Event: annotate.Event{ID: "new", Code: "sit", Start: 1, End: 1}}}})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WriteReading(&out, next); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), `"rev"`) {
		t.Error("the file has revisions")
	}
	back, err := ReadReading(&out)
	if err != nil {
		t.Fatal(err)
	}
	opts := cmp.Options{cmpopts.IgnoreFields(annotate.Event{}, "Rev"), cmpopts.IgnoreFields(annotate.Reading{}, "Revision", "History"), cmpopts.EquateEmpty()}
	if d := cmp.Diff(next, back, opts); d != "" {
		t.Errorf("-written +read\n%s", d)
	}
}

// A book without id and version, and all else that may be missing.
func TestReadSmall(t *testing.T) {
	// The brackets stand in a text, after a quotation mark.
	text := "\ufeff" + `{"note":"\"` + strings.Repeat("[", 100) + `","afterwalk":"reading/1","clip":{"duration_us":9},"window":{"start_us":0,"end_us":9},"codebook":{"name":"Empty"}}`
	r, err := ReadReading(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if r.Book.Name != "Empty" || r.Book.ID != "" || r.Book.Version != 0 || r.Coded != nil || len(r.Events) != 0 {
		t.Errorf("read %+v", r)
	}
}

func TestReadRefused(t *testing.T) {
	golden, err := os.ReadFile(filepath.Join("testdata", "reading.json"))
	if err != nil {
		t.Fatal(err)
	}
	whole := string(golden)
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "unexpected end"},
		{"another version", `{"afterwalk":"reading/2","clip":"elsewhere"}`, `unknown version "reading/2"`},
		{"no version", `{"clip":{"duration_us":9},"window":{"start_us":0,"end_us":9},"codebook":{}}`, `unknown version ""`},
		{"another file", `{"type":"FeatureCollection"}`, `unknown version ""`},
		{"not text", "\xff\xfe{}", "not UTF-8"},
		{"nested", `{"x":` + strings.Repeat("[", 100) + strings.Repeat("]", 100) + `}`, "more than 64 deep"},
		{"cut off", whole[:len(whole)-3], "unexpected end"},
		{"twice", whole + whole, "after top-level value"},
		{"a rule broken", strings.Replace(whole, `"code": "sit"`, `"code": "fly"`, 1), `unknown code "fly"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := ReadReading(strings.NewReader(c.text))
			if r != nil || !errors.Is(err, annotate.ErrInvalid) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("ReadReading = %v, %v; want it refused with %q", r, err, c.want)
			}
		})
	}
}

func TestReadTooLarge(t *testing.T) {
	blank := io.MultiReader(strings.NewReader("{"), io.LimitReader(repeat(' '), maxReading))
	if _, err := ReadReading(blank); !errors.Is(err, annotate.ErrInvalid) || !strings.Contains(err.Error(), "larger than 64 MiB") {
		t.Errorf("a file above the limit: %v", err)
	}
}

// repeat is an endless reader of one byte.
type repeat byte

func (c repeat) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = byte(c)
	}
	return len(b), nil
}

// A reader or writer that fails is not the file's fault.
func TestFailing(t *testing.T) {
	broken := errors.New("unplugged")
	if _, err := ReadReading(iotest.ErrReader(broken)); !errors.Is(err, broken) || errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("ReadReading from a broken reader: %v", err)
	}
	to, from := io.Pipe()
	to.CloseWithError(broken)
	if err := WriteReading(from, readGolden(t, "reading.json")); !errors.Is(err, broken) {
		t.Errorf("WriteReading to a broken writer: %v", err)
	}
}

// Whatever is read is refused, or is valid and comes out the same again.
func FuzzReadReading(f *testing.F) {
	for _, name := range []string{"reading.json"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	for _, text := range []string{
		``, `null`, `{}`, `{"afterwalk":"reading/1"}`, `{"afterwalk":"reading/2"}`,
		`{"afterwalk":"reading/1","clip":{"duration_us":9},"window":{"start_us":0,"end_us":9},"codebook":{"house":{"limits_s":{"x":null}}}}`,
		`{"afterwalk":"reading/1","clip":{"duration_us":9e3,"recorded_at":"2026-05-03T18:20:00.5+02:00","\ud800":1},"window":{"start_us":0,"end_us":9},"codebook":{"lanes":[{"name":"a","codes":[{"id":"r","role":"remark","shape":"either"}]}]},"events":[{"id":"\u2028","code":"r","start_us":0,"end_us":null,"details":{"level":-0,"x":[1e5]}}]}`,
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := ReadReading(bytes.NewReader(text))
		if err != nil {
			if r != nil || !errors.Is(err, annotate.ErrInvalid) || err.Error() == "" {
				t.Fatalf("ReadReading = %v, %v; want problems alone", r, err)
			}
			return
		}
		if p := r.Validate(); p != nil {
			t.Fatalf("a reading that isn't valid was read:\n%v", p)
		}
		var first, second bytes.Buffer
		if err := WriteReading(&first, r); err != nil {
			t.Fatal(err)
		}
		back, err := ReadReading(bytes.NewReader(first.Bytes()))
		if err != nil {
			t.Fatalf("what was written is not read: %v\n%s", err, &first)
		}
		if d := cmp.Diff(r, back, cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("-read +read again\n%s", d)
		}
		if err := WriteReading(&second, back); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Fatalf("written again: %v\n%s", err, cmp.Diff(first.String(), second.String()))
		}
	})
}
