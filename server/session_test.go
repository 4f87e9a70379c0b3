package server

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// putMore is put with details, as JSON; end "null" leaves it open.
func putMore(id, code string, start, end float64, details string) string {
	return fmt.Sprintf(`{"id":%q,"base":0,"put":[{"event":{"id":%q,"code":%q,"start_us":%d,"end_us":%d,"details":%s,"note":""},"was":0}],"remove":[]}`,
		newID(), id, code, annotate.FromSeconds(start), annotate.FromSeconds(end), details)
}

// at codes moments and spans of a reading: code, start, end.
type coding struct {
	code    string
	at, end float64
	details string
}

func (f fixture) code(t *testing.T, reading string, events ...coding) {
	t.Helper()
	for i, e := range events {
		details := e.details
		if details == "" {
			details = "{}"
		}
		f.edit(t, reading, putMore(fmt.Sprintf("%s-%02d", reading[len(reading)-4:], i), e.code, e.at, max(e.at, e.end), details))
	}
}

// number finds a number of a session's page by its name: its value, and what it says
// if it has none.
func (p page) number(t *testing.T, name string) string {
	t.Helper()
	for _, n := range p.all(".numbers dl div") {
		if text(page{n}.one(t, "dt")) == name {
			return strings.TrimSpace(strings.TrimPrefix(text(n), name))
		}
	}
	t.Fatalf("no number is named %q", name)
	return ""
}

// By hand, of the ten seconds of one clip: heel work from 1 to 7 s, behind from 2 to
// 3 s (right again by itself) and from 4 to 5 s (stim at 4.5 s, level 9: right again
// with correction, and no warning); a sit asked for at 7 s, answered at 8 s: clean.
// 1 of 2 by itself, Wilson for 1 of 2 with z = 1.96: 0.5 ± 0.4054, 9 to 91 %. Cues
// clean 1 of 1: from 1/(1+1.96²) = 21 to 100 %. Out of position 2.0 s of 6.0: 33 %.
// One reward at 8.2 s, outside work time: 6 s of heel and from 8 s on the sit, 2 s.
// Lip lick at 5.2 s, 0.7 s after stim: near. Yawn at 1.5 s: elsewhere.
func TestSessionNumbers(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "20260502 walk.mp4", 100)
	id := f.read(t, clip)
	f.code(t, id, coding{"ex-heel", 1, 7, ""}, coding{"behind", 2, 3, ""}, coding{"behind", 4, 5, ""},
		coding{"stim", 4.5, 0, `{"level":9,"device":"Collar A"}`}, coding{"sit", 7, 0, ""}, coding{"did", 8, 0, ""}, coding{"ex-sit", 8, 10, ""}, coding{"praise", 8.2, 0, ""},
		coding{"stress", 5.2, 0, `{"kind":"lip lick"}`}, coding{"stress", 1.5, 0, `{"kind":"yawn"}`})

	p := f.page(t, "/sessions/"+clip.SessionID)
	if got := text(p.one(t, ".numbers")); !strings.Contains(got, "Nothing here is finished yet.") {
		t.Errorf("before it is finished the numbers say %q", got)
	}
	if got := text(p.one(t, ".strip .aside")); !strings.Contains(got, "not finished") {
		t.Errorf("the strip says %q, want that its reading is not finished", got)
	}
	f.finish(t, id)
	p = f.page(t, "/sessions/"+clip.SessionID)
	p.sound(t)
	for name, want := range map[string]string{
		"Right again by itself":             "1 of 2 50 % (9 to 91 %)",
		"Cues answered clean":               "1 of 1 100 % (21 to 100 %)",
		"Out of heel position":              "2.0 s of 6.0 33 %",
		"Turns kept":                        "No turn in heel work that began in position.",
		"Right again with help":             "0 of 2 0 % (0 to 66 %)",
		"Right again with correction":       "1 of 2 50 % (9 to 91 %)",
		"Cues without an answer":            "0 of 1 0 % (0 to 79 %)",
		"Corrections":                       "1 of 1 use of pressure",
		"Rewards":                           "1 7.5 a minute of work",
		"Pressure begun after it was right": "0 of 1 use of pressure",
		"Pressure held on":                  "No held pressure was on when the dog came right.",
		"Stress near pressure":              "1 ",
		"Stress elsewhere":                  "1 ",
		"Highest rung":                      "stim on Collar A, level 9 rung 6",
		"stim on Collar A":                  "9 Levels of 1 use, the middle one 9.",
	} {
		if got := p.number(t, name); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	near := p.number(t, "Stress near pressure")
	if !strings.Contains(near, annotate.NearPressure(1)) || !strings.Contains(near, "0:05.2 lip lick") || strings.Contains(near, "yawn") {
		t.Errorf("stress near pressure: %q, want the caution and the lip lick alone", near)
	}
	if got := p.number(t, "Rewards"); !strings.Contains(got, "1 for each correction") {
		t.Errorf("rewards: %q, want them beside corrections", got)
	}
	var headings []string
	for _, h := range p.all(".numbers h3") {
		headings = append(headings, text(h))
	}
	if diff := cmp.Diff([]string{"By itself", "With help", "With correction", "When the dog was right", "Stress", "Levels"}, headings); diff != "" {
		t.Errorf("order of the numbers (-want +got):\n%s", diff)
	}
	if got := text(p.one(t, ".numbers .cautions")); !strings.Contains(got, annotate.Cautions()[0]) || !strings.Contains(got, annotate.Cautions()[1]) {
		t.Errorf("cautions: %q", got)
	}
	if got := attr(p.one(t, ".numbers .at a[href=/desk/"+id+"#t=5.2]"), "href"); got == "" {
		t.Error("the sign does not lead to the desk")
	}
}

func TestSessionStrips(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, hostile, "20260502 walk.mp4", 100)
	if p := f.page(t, "/sessions/"+clip.SessionID); !strings.Contains(text(p.one(t, ".unread")), "Code it on the desk") {
		t.Error("a clip that nobody read does not say what to do")
	}
	id, err := f.lib.NewReading(t.Context(), clip.ID, hostile)
	if err != nil {
		t.Fatal(err)
	}
	f.code(t, id, coding{"ex-heel", 1, 7, ""}, coding{"behind", 2, 3.5, ""}, coding{"distraction", 4, 6, `{"kind":"<b>bicycle</b>"}`})
	p := f.page(t, "/sessions/"+clip.SessionID)
	p.sound(t)
	if got := len(p.all("svg.af-strip[id]")); got != 2 {
		t.Errorf("%d strips, want one for each width", got)
	}
	if len(p.all("svg.af-strip b")) > 0 || len(p.all(".strip script")) > 0 {
		t.Error("what was typed got out of its place")
	}
	for _, a := range p.all("svg a") {
		if attr(a, "tabindex") != "-1" || !strings.HasPrefix(attr(a, "href"), "/desk/"+id+"#t=") {
			t.Errorf("a link of the strip leads to %q with tabindex %q", attr(a, "href"), attr(a, "tabindex"))
		}
	}
	var words []string
	for _, a := range p.all(".in-words li a") {
		words = append(words, text(a))
	}
	want := []string{"0:01.0 heel work, 6.0 s", "0:02.0 behind (lagging), 1.5 s", "0:04.0 distraction, <b>bicycle</b>, 2.0 s"}
	if diff := cmp.Diff(want, words); diff != "" {
		t.Errorf("the strip in words (-want +got):\n%s", diff)
	}
}

// The reading that counts is drawn, else the newest.
func TestSessionStripOfWhichReading(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "20260502 walk.mp4", 100)
	first, second := f.read(t, clip), f.read(t, clip)
	f.edit(t, second, put("b1", "did", annotate.Second, annotate.Second, 0))
	drawn := func() string {
		p := f.page(t, "/sessions/"+clip.SessionID)
		return attr(p.one(t, ".strip-wide svg"), "id")
	}
	if got, want := drawn(), "strip-"+second+"-wide"; got != want {
		t.Errorf("of two unfinished ones %s is drawn, want the newest %s", got, want)
	}
	f.edit(t, first, put("a1", "did", annotate.Second, annotate.Second, 0))
	f.finish(t, first)
	f.edit(t, second, put("b2", "did", 2*annotate.Second, 2*annotate.Second, 0))
	if got, want := drawn(), "strip-"+first+"-wide"; got != want {
		t.Errorf("%s is drawn, want the one that counts %s", got, want)
	}
}

func TestSessionDevice(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "20260502 walk.mp4", 100)
	id := f.read(t, clip)
	path := "/sessions/" + clip.SessionID
	if w := f.send("POST", path, url.Values{"device": {"Collar A"}}.Encode()); w.Code != 422 || !strings.Contains(w.Body.String(), "Tansy has no device") {
		t.Errorf("a device that the dog doesn't have = %d", w.Code)
	}
	dog, err := f.lib.Dog(t.Context(), clip.DogID)
	if err != nil {
		t.Fatal(err)
	}
	dog.Devices = []store.Device{{Name: "Collar A", Channel: "stim", LevelMax: new(15.0)}, {Name: "B", Channel: "vibration"}}
	if err := f.lib.SetDog(t.Context(), dog); err != nil {
		t.Fatal(err)
	}
	device := func() any {
		w := f.send("GET", "/api/readings/"+id, "")
		return decoded(t, w)["clip"].(map[string]any)["session"].(map[string]any)["device"]
	}
	if got := device(); got != nil {
		t.Errorf("without a device the reading has %v, want null", got)
	}
	if w := f.send("POST", path, url.Values{"device": {"Collar A"}, "line": {"long line"}}.Encode()); w.Code != 303 {
		t.Fatalf("POST = %d %s", w.Code, w.Body)
	}
	if diff := cmp.Diff(any(map[string]any{"device": "Collar A", "channel": "stim", "level_max": 15.0}), device()); diff != "" {
		t.Errorf("device of the reading (-want +got):\n%s", diff)
	}
	p := f.page(t, path)
	p.sound(t)
	if got := attr(p.one(t, "#line"), "value"); got != "long line" {
		t.Errorf("line = %q", got)
	}
	if got := text(p.one(t, "#device option[selected]")); got != "Collar A" {
		t.Errorf("the page has the device %q chosen", got)
	}
	// What a form leaves out stays.
	if w := f.send("POST", path, url.Values{"venue": {"Alder Lane"}}.Encode()); w.Code != 303 {
		t.Fatalf("POST = %d", w.Code)
	}
	if got, err := f.lib.Session(t.Context(), clip.SessionID); err != nil || got.Device != "Collar A" || got.Line != "long line" || got.Venue != "Alder Lane" {
		t.Errorf("stored %+v, %v", got, err)
	}
	// A device taken off the dog stays named, but reaches no desk.
	dog.Devices = nil
	if err := f.lib.SetDog(t.Context(), dog); err != nil {
		t.Fatal(err)
	}
	if got := device(); got != nil {
		t.Errorf("a device that the dog has no more = %v, want null", got)
	}
	if w := f.send("POST", path, url.Values{"device": {"Collar A"}}.Encode()); w.Code != 303 {
		t.Errorf("keeping it = %d, want it kept", w.Code)
	}
}

func TestTwoDigits(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 0.04: "0.04", 0.994: "0.99", 0.999: "1", 1: "1", 1.25: "1.2", 9.94: "9.9", 9.96: "10", 18.46: "18", 123.4: "123"} {
		if got := twoDigits(x); got != want {
			t.Errorf("twoDigits(%v) = %q, want %q", x, got, want)
		}
	}
}
