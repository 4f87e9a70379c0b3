package server

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
	"afterwalk/internal/chart"
	"afterwalk/internal/exchange"
)

// coded is a dog with sessions in which all three measures have a value. In each
// the dog heels for 4 s and is behind for 1, 3/4, 1/2, 1/4 s of them, and stays
// from 5 s to 9 s, broken from 6 s to 7 s except in the third; pressure is tone,
// in the first two stim at 12 and 9 as well. Beside them lie clips that nobody
// read, and an unfinished reading of one without a date.
func (f fixture) coded(t *testing.T, dog string) (dogID, sessionID string) {
	t.Helper()
	const s = annotate.Second
	for i, date := range []string{"20260411", "20260418", "20260502", "20260509"} {
		clip := f.add(t, dog, date+" "+dog[:2]+".mp4", 100+i)
		id := f.read(t, clip)
		f.edit(t, id, put("heel", "ex-heel", 0, 4*s, 0))
		f.edit(t, id, put("behind", "behind", s, s+annotate.Micros(4-i)*s/4, 0))
		f.edit(t, id, put("tone", "tone", s, s, 0))
		f.edit(t, id, put("stay", "ex-down", 5*s, 9*s, 0))
		if i != 2 {
			f.edit(t, id, put("broke", "broke", 6*s, 7*s, 0))
		}
		if i < 2 {
			f.edit(t, id, fmt.Sprintf(`{"id":%q,"base":0,"put":[{"event":{"id":"stim","code":"stim","start_us":1500000,"end_us":1500000,"details":{"level":%d},"note":""},"was":0}]}`, newID(), 12-3*i))
		}
		f.finish(t, id)
		dogID, sessionID = clip.DogID, clip.SessionID
	}
	f.add(t, dog, "walk "+dog[:2]+".mp4", 100)
	f.add(t, dog, "hevc "+dog[:2]+".mp4", 100)
	f.read(t, f.add(t, dog, "undated "+dog[:2]+".mp4", 100))
	session, err := f.lib.Session(t.Context(), sessionID)
	if err != nil {
		t.Fatal(err)
	}
	session.Venue, session.Handler = "Mill Meadow", "P. Quill"
	if err := f.lib.SetSession(t.Context(), session); err != nil {
		t.Fatal(err)
	}
	return dogID, sessionID
}

// Values worked by hand from the lengths that coded names: shares 1/4, 0.75/4,
// 0.5/4 and 0.25/4; one break in the 3 s of stay beside it, 20 per minute.
func TestDogFigures(t *testing.T) {
	f := newFixture(t, facts{})
	dog, _ := f.coded(t, "Tansy")
	p := f.page(t, "/dogs/"+dog)
	p.sound(t)
	want := map[string]string{
		"position-error":    "11 April 2026 25.0 %; 18 April 2026 18.8 %; 2 May 2026 12.5 %; 9 May 2026 6.2 %",
		"breaks-per-minute": "11 April 2026 20.00 per min; 18 April 2026 20.00 per min; 2 May 2026 0.00 per min; 9 May 2026 20.00 per min",
		"escalation":        "11 April 2026 stim 12; 18 April 2026 stim 9; 2 May 2026 tone; 9 May 2026 tone",
	}
	for name, want := range want {
		section := "[aria-labelledby=" + name + "-title]"
		var rows []string
		for _, tr := range p.all(section + " tbody tr") {
			cells := page{tr}.all("td")
			rows = append(rows, text(cells[0])+" "+text(cells[1]))
			desk := attr(page{tr}.one(t, "td a"), "href")
			if w := f.send("GET", desk, ""); !strings.HasPrefix(desk, "/desk/") || w.Code != 200 {
				t.Errorf("%s: a row leads to %q (%d), want a desk", name, desk, w.Code)
			}
		}
		if got := strings.Join(rows, "; "); got != want {
			t.Errorf("%s: table = %q, want %q", name, got, want)
		}
		p.one(t, section+" h2#"+name+"-title")
		if n := len(p.all(section + " svg a[href]")); n != 4 {
			t.Errorf("%s: %d points lead somewhere, want 4", name, n)
		}
		if got := text(p.one(t, section+" p.alt")); !strings.HasPrefix(got, "4 sessions from 11 April to 9 May 2026; ") {
			t.Errorf("%s in words: %q", name, got)
		}
		if got := len(p.all(section + " aside.cautions p")); (got == len(annotate.Cautions())) != (name == "escalation") || got > 0 && name != "escalation" {
			t.Errorf("%s has %d cautions; they stand beside the levels, nowhere else", name, got)
		}
		for _, n := range p.all(section + " .save a") {
			w := f.send("GET", attr(n, "href"), "")
			if _, err := png.Decode(w.Body); err != nil || w.Code != 200 {
				t.Errorf("%s = %d, %v, want a picture", attr(n, "href"), w.Code, err)
			}
			if got := w.Header().Get("Content-Disposition"); got != `attachment; filename=Tansy.`+name+`.png` {
				t.Errorf("%s is saved as %q", attr(n, "href"), got)
			}
		}
	}
}

func TestChart(t *testing.T) {
	f := newFixture(t, facts{})
	dog, _ := f.coded(t, hostile[:290])
	for _, s := range series {
		url := "/charts/" + dog + "/" + s.name
		w := f.send("GET", url+".svg", "")
		if w.Code != 200 || w.Header().Get("Content-Type") != "image/svg+xml" {
			t.Fatalf("%s.svg = %d %s", url, w.Code, w.Header().Get("Content-Type"))
		}
		d := xml.NewDecoder(w.Body)
		for {
			tok, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s.svg is no XML: %v", url, err)
			}
			if e, ok := tok.(xml.StartElement); ok && (e.Name.Local == "script" || e.Name.Local == "img") {
				t.Errorf("%s.svg has an element <%s>: a name got out of its place", url, e.Name.Local)
			}
		}
		light, dark := f.send("GET", url+".png", ""), f.send("GET", url+".png?dark=1", "")
		if light.Code != 200 || dark.Code != 200 || bytes.Equal(light.Body.Bytes(), dark.Body.Bytes()) {
			t.Errorf("%s.png = %d, dark %d, want two different pictures", url, light.Code, dark.Code)
		}
	}
	for _, file := range []string{"other.svg", "escalation", "escalation.gif", "escalation.svg.png", "..", ".svg"} {
		if w := f.send("GET", "/charts/"+dog+"/"+file, ""); w.Code != 404 {
			t.Errorf("chart %q = %d, want 404", file, w.Code)
		}
	}
}

func TestDogWithoutValues(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Bramble", "walk.mp4", 100)
	p := f.page(t, "/dogs/"+clip.DogID)
	p.sound(t)
	if got := text(p.one(t, "#position-error-alt")); got != "Code some heel work and finish the reading: its share then stands here." {
		t.Errorf("a chart without values says %q", got)
	}
	if got := text(p.one(t, "#charts .nothing")); !strings.HasPrefix(got, "Nothing to draw yet") || !strings.Contains(got, "Open a session below") {
		t.Errorf("a dog without values says %q, want what to do next", got)
	}
	if n := len(p.all("#charts svg")); n > 0 {
		t.Errorf("%d blank figures are drawn", n)
	}
}

// A point leads to the clip that stands out most; a clip that nobody read is
// passed over.
func TestLeads(t *testing.T) {
	book := exchange.DefaultBook()
	reading := func(id string, behind annotate.Micros) *annotate.Reading {
		const s = annotate.Second
		return &annotate.Reading{
			ID: id, Book: book, Clip: annotate.Clip{Duration: 10 * s}, Window: annotate.Span{End: 10 * s}, Finished: true,
			Events: []annotate.Event{
				{ID: id + "1", Code: "ex-heel", End: 10 * s},
				{ID: id + "2", Code: "behind", Start: s, End: s + behind},
			},
		}
	}
	at := day9May
	sessions := []measure.Session{{ID: "s", StartedAt: &at, Readings: []*annotate.Reading{reading("a", 1), nil, reading("b", 5000), reading("c", 5000)}}, {ID: "none", StartedAt: &at}}
	leads := newCourses(sessions, measure.PositionError).leads[measure.PositionError]
	if got := leads["s"]; got != "/desk/b" {
		t.Errorf("the point leads to %q, want the first of the two with the highest share", got)
	}
	if got := leads["none"]; got != "/sessions/none" {
		t.Errorf("the point of a session without readings leads to %q, want the session", got)
	}
}

func TestUnderRules(t *testing.T) {
	book := exchange.DefaultBook()
	r := &annotate.Reading{
		ID: "r", Book: book, Clip: annotate.Clip{Duration: 100}, Window: annotate.Span{End: 100},
		Events: []annotate.Event{{ID: "e", Code: "tone"}},
	}
	if got := underRules(r, exchange.DefaultBook()); got != r {
		t.Error("a reading under the same rules was changed")
	}
	stricter := *book
	stricter.HelpRank = 1
	got := underRules(r, &stricter)
	if got == r || got.Book.HelpRank != 1 || r.Book.HelpRank != book.HelpRank || len(got.Book.Lanes) != len(book.Lanes) {
		t.Errorf("help rank = %d, want 1 in a copy with its own codes", got.Book.HelpRank)
	}
	without := *book
	without.Ladder = nil
	if got := underRules(r, &without); got != r {
		t.Error("a reading with pressure went under a ladder that has no rung for it")
	}
}

func TestRungs(t *testing.T) {
	got := rungs(exchange.DefaultBook())
	want := []chart.Tick{{Value: 1, Label: "body"}, {Value: 2, Label: "voice, leash-guide"}, {Value: 3, Label: "tone"}, {Value: 4, Label: "vibration"}, {Value: 5, Label: "leash"}, {Value: 6, Label: "stim"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("rungs of the default book (-want +got)\n%s", diff)
	}
}
