package chart

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

func stripSVG(t interface {
	Helper()
	Fatal(...any)
}, s Strip) string {
	t.Helper()
	var b bytes.Buffer
	if err := StripSVG(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestStripGolden(t *testing.T) {
	for name, make := range strips {
		t.Run(name, func(t *testing.T) {
			s := make()
			if name != "strip-open" && name != "strip-hostile" { // without measures, too
				s = measured(t, s)
			}
			got := stripSVG(t, s)
			if again := stripSVG(t, s); again != got {
				t.Errorf("drawn twice, the bytes differ:\n%s", cmp.Diff(got, again))
			}
			checkStrip(t, got)
			file := filepath.Join("testdata", name+".svg")
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("%s (-want +got), -update writes it anew:\n%s", file, diff)
			}
		})
	}
}

// numbersIn finds the numbers in the data of a path.
var numbersIn = regexp.MustCompile(`-?\d+(?:\.\d+)?(?:e[-+]?\d+)?`)

// checkStrip fails unless text is one XML document without scripts and styles, with
// ids of its own, whose links stay on the site, and with everything inside its box.
func checkStrip(t interface {
	Helper()
	Errorf(string, ...any)
}, text string) {
	t.Helper()
	allowed := map[string]bool{"svg": true, "title": true, "desc": true, "g": true, "a": true, "path": true, "rect": true, "text": true}
	if strings.Contains(text, "NaN") || strings.Contains(text, "Inf\"") || strings.Contains(text, "+Inf") {
		t.Errorf("what is no number in the strip:\n%s", text)
	}
	d := xml.NewDecoder(strings.NewReader(text))
	var width, height float64
	ids := map[string]bool{}
	var used []string
	links := 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Errorf("no XML: %v\n%s", err, text)
			return
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		name, a := start.Name.Local, map[string]string{}
		for _, at := range start.Attr {
			a[at.Name.Local] = at.Value
			if at.Name.Local == "style" || strings.HasPrefix(at.Name.Local, "on") {
				t.Errorf("attribute %s=%q on <%s>", at.Name.Local, at.Value, name)
			}
		}
		if !allowed[name] {
			t.Errorf("element <%s> in the strip", name)
		}
		if id := a["id"]; id != "" {
			if ids[id] {
				t.Errorf("the id %q stands twice", id)
			}
			ids[id] = true
		}
		for _, by := range []string{a["aria-labelledby"], a["aria-describedby"]} {
			if by != "" {
				used = append(used, by)
			}
		}
		number := func(attribute string) float64 {
			v, err := strconv.ParseFloat(a[attribute], 64)
			if err != nil {
				t.Errorf("%s=%q on <%s> is no number", attribute, a[attribute], name)
			}
			return v
		}
		inside := func(x, y float64) {
			if x < 0 || x > width || y < 0 || y > height {
				t.Errorf("<%s> at %v, %v lies outside %v × %v: %v", name, x, y, width, height, start.Attr)
			}
		}
		switch name {
		case "svg":
			width, height = number("width"), number("height")
			if a["role"] != "img" && a["role"] != "group" {
				t.Errorf("role = %q, want img or group", a["role"])
			}
		case "a":
			links++
			if safeHref(a["href"]) == "" || !strings.Contains(a["href"], "#t=") || a["tabindex"] != "-1" {
				t.Errorf("link %v", a)
			}
		case "text":
			inside(number("x"), number("y"))
		case "rect":
			inside(number("x"), number("y"))
			inside(number("x")+number("width"), number("y")+number("height"))
		case "path":
			insidePath(t, a["d"], width, height)
		}
	}
	for _, id := range used {
		if !ids[id] {
			t.Errorf("%q is named but not there", id)
		}
	}
	if strings.Contains(text, `role="group"`) != (links > 0 || strings.Contains(text, "af-links")) {
		t.Errorf("a group without links, or links in an image")
	}
}

// insidePath checks that the points of a path lie in the box; a line may stick out
// by half its width.
func insidePath(t interface {
	Helper()
	Errorf(string, ...any)
}, d string, width, height float64) {
	t.Helper()
	x, y := 0.0, 0.0
	for _, part := range regexp.MustCompile(`[A-Z][^A-Z]*`).FindAllString(d, -1) {
		var n []float64
		for _, text := range numbersIn.FindAllString(part, -1) {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Errorf("%q in %s: %v", text, d, err)
			}
			n = append(n, v)
		}
		switch part[0] {
		case 'H':
			x = n[0]
		case 'V':
			y = n[0]
		case 'M', 'L', 'Q', 'A':
			x, y = n[len(n)-2], n[len(n)-1]
		case 'Z':
		default:
			t.Errorf("%q in %s is no command of a strip", part, d)
		}
		if x < -1 || x > width+1 || y < -1 || y > height+1 {
			t.Errorf("%s goes to %v, %v, outside %v × %v: %s", part, x, y, width, height, d)
		}
	}
}

// anyStrip is a strip of any coding with the default book, valid or not.
func anyStrip(t *rapid.T) Strip {
	r := coding(60)
	var codes []string
	for i := range r.Book.Lanes {
		for _, c := range r.Book.Lanes[i].Codes {
			codes = append(codes, c.ID)
		}
	}
	codes = append(codes, "none")
	times := rapid.OneOf(rapid.Int64Range(-5e6, 70e6), rapid.Map(rapid.Int64Range(0, 600), func(n int64) int64 { return n * 1e5 }), rapid.SampledFrom([]int64{0, 60e6, math.MaxInt64 / 4}))
	text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"ahead", "behind", "left", hostile, "\xff\x00"}))
	for range rapid.IntRange(0, 60).Draw(t, "events") {
		e := annotate.Event{ID: rapid.String().Draw(t, "id"), Code: rapid.SampledFrom(codes).Draw(t, "code"), Start: annotate.Micros(times.Draw(t, "start"))}
		e.End = e.Start
		switch rapid.IntRange(0, 3).Draw(t, "shape") {
		case 0:
			e.Open = true
		case 1, 2:
			e.End = e.Start + annotate.Micros(rapid.Int64Range(0, 20e6).Draw(t, "length"))
		}
		e.Details = annotate.Details{Level: anyFloat(t, "level"), DistanceM: anyFloat(t, "distance"), Kind: rapid.OneOf(rapid.Just(""), text).Draw(t, "kind")}
		e.Note = rapid.OneOf(rapid.Just(""), text).Draw(t, "note")
		r.Events = append(r.Events, e)
	}
	annotate.SortEvents(r.Events)
	r.Window = annotate.Span{Start: annotate.Micros(times.Draw(t, "from")), End: annotate.Micros(times.Draw(t, "to"))}
	r.Side = rapid.SampledFrom([]string{"", "left", "right"}).Draw(t, "side")
	if rapid.IntRange(0, 9).Draw(t, "unknown length") == 0 {
		r.Clip.Duration = 0
	}
	if n := rapid.IntRange(1, 60).Draw(t, "rank"); n > 10 {
		r.Book.Ladder[0].Rank = n
	}
	s := Strip{Reading: r, ID: text.Draw(t, "id"), Title: text.Draw(t, "title"), Href: rapid.SampledFrom([]string{"", "/desk/r1", "javascript:alert(1)"}).Draw(t, "href")}
	s.From, s.To = annotate.Micros(times.Draw(t, "view from")), annotate.Micros(times.Draw(t, "view to"))
	s.Width = rapid.SampledFrom([]float64{0, -3, 1, 320, 599, 600, 760, 959, 960, 1232, 1e9, math.NaN(), math.Inf(1)}).Draw(t, "width")
	if m, err := measure.Of([]*annotate.Reading{r}); err == nil && rapid.Bool().Draw(t, "measured") {
		s.Measures = m
	}
	return s
}

func TestAnyStrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStrip(t)
		checkStrip(t, stripSVG(t, s))
		if summary, _ := s.Words(); summary == "" {
			t.Error("a strip without a summary")
		}
	})
}

func TestStripRefusesNothing(t *testing.T) {
	for name, s := range map[string]Strip{"no reading": {}, "no book": {Reading: &annotate.Reading{}}} {
		var b bytes.Buffer
		if err := StripSVG(&b, s); err == nil || b.Len() > 0 {
			t.Errorf("%s: StripSVG = %v with %d bytes, want an error and none", name, err, b.Len())
		}
	}
}

// Two strips in one page share no id.
func TestStripIDs(t *testing.T) {
	id := regexp.MustCompile(`id="([^"]*)"`)
	seen := map[string]bool{}
	for _, s := range []Strip{{Reading: walk(), ID: "r1-wide"}, {Reading: walk(), ID: "r1-narrow"}} {
		for _, m := range id.FindAllStringSubmatch(stripSVG(t, s), -1) {
			if seen[m[1]] {
				t.Errorf("the id %q stands in both", m[1])
			}
			seen[m[1]] = true
		}
	}
	if len(seen) != 6 {
		t.Errorf("%d ids, want 3 of each strip", len(seen))
	}
}

// What the events of a strip are drawn as: the paths by hand, from the times of the
// sample, 90 s over the pixels 112 to 1,214 of a strip of 1,232: x = 112 + t · 1102/90.
func TestStripShapes(t *testing.T) {
	got := stripSVG(t, measured(t, strips["strip-walk"]()))
	for name, want := range map[string]string{
		"behind from 6 to 9 s, filled 18 pixels down":       "M185.47 110H222.2V128H185.47Z",
		"ahead from 12 to 13.5 s, filled 18 pixels up":      "M258.93 92H277.3V110H258.93Z",
		"wide from 15 to 18 s, clear of the leg":            "M295.67 97H332.4V103H295.67Z",
		"the dog's line: on the leg, down, back, up, back":  "M154.86 110H185.47V128H222.2V110H258.93V92H277.3V110H314.03",
		"a stay from 30 to 42 s, a break from 34 to 36 s":   "M479.33 121.5L479.33 99.5L528.31 99.5L528.31 114.5L552.8 114.5L552.8 99.5L626.27 99.5L626.27 121.5Z",
		"the whisker of the first cue, from 2 to 3.5 s":     "M136.49 67.5H154.86",
		"stim at 17 s hangs down to the sixth rung":         "M320.16 150V212",
		"its foot is a square":                              "M316.16 208H324.16V216H316.16Z",
		"leash-guide is held from 20.5 to 22.4 s":           "M363.01 170.5H386.28V173.5H363.01Z",
		"its level and taps stand at its foot":              ">stim 9 ×2<",
		"behind outside heel work is outlined and unfilled": `stroke-dasharray="3 3" d="M650.5 110.5H675.5V128.5H650.5Z`,
		// Hatched from 60 to 68 s, x 846.67 to 944.62, heights 30 to 220: the first line
		// that meets the top is 105 periods of 7 from 112, at 847, and leaves on the left.
		"a distraction is hatched":     `d="M847 30L846.67 30.33M854 30L846.67 37.33`,
		"each event leads to the desk": `<a href="/desk/r1#t=20.5" tabindex="-1"><title>0:20.5 leash, steady, 1.9 s, help</title>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%s: %s is not in the strip", name, want)
		}
	}
}

func TestStripWords(t *testing.T) {
	r := coding(75, with(atTime("stim", 2), annotate.Details{Level: new(9.0), Taps: new(2), Device: "Collar A"}, "too \x00 late\nperhaps"), during("behind", 1, 4.44), since("ex-heel", 0.96), atTime("did", 5))
	summary, events := Strip{Reading: r, Href: "/desk/r1"}.Words()
	if want := "1:15 long: 1 error, 1 answer, 1 use of pressure."; summary != want {
		t.Errorf("summary = %q, want %q", summary, want)
	}
	want := []StripEvent{
		{960_000, "0:01.0 heel work, still open", "/desk/r1#t=0.96"},
		{1e6, "0:01.0 behind (lagging), 3.4 s", "/desk/r1#t=1"},
		{2e6, "0:02.0 stim, tap, correction, Collar A, level 9, 2 taps, too late perhaps", "/desk/r1#t=2"},
		{5e6, "0:05.0 did", "/desk/r1#t=5"},
	}
	if diff := cmp.Diff(want, events); diff != "" {
		t.Errorf("events (-want +got):\n%s", diff)
	}
	if summary, events := (Strip{Reading: coding(5)}).Words(); summary != "0:05 long: nothing coded yet." || events != nil {
		t.Errorf("an empty strip says %q, %v", summary, events)
	}
}

func TestTimeLabel(t *testing.T) { // as the labels of the desk
	for _, tt := range []struct {
		t      annotate.Micros
		digits int
		want   string
	}{
		{0, 0, "0:00"}, {59_999_000, 0, "1:00"}, {59_960_000, 1, "1:00.0"}, {60e6, 0, "1:00"}, {3600e6, 0, "1:00:00"},
		{3599_999_900, 3, "1:00:00.000"}, {-1_500_000, 1, "−0:01.5"}, {-1, 1, "0:00.0"}, {35_604_000, 3, "0:35.604"},
	} {
		if got := timeLabel(tt.t, tt.digits); got != tt.want {
			t.Errorf("timeLabel(%d, %d) = %q, want %q", tt.t, tt.digits, got, tt.want)
		}
	}
}

func TestStripLegend(t *testing.T) {
	if got := StripLegend(Strip{Reading: coding(5)}, Strip{}); got != nil {
		t.Errorf("legend of an empty strip = %v, want none", got)
	}
	got := StripLegend(Strip{Reading: coding(9, atTime("stim", 1), during("ex-sit", 2, 5))})
	var words []string
	for _, e := range got {
		words = append(words, e.Words)
		if err := xml.Unmarshal([]byte(e.SVG), new(struct{})); err != nil || !strings.Contains(e.SVG, `aria-hidden="true"`) {
			t.Errorf("%s: %v in %s", e.Words, err, e.SVG)
		}
	}
	if diff := cmp.Diff([]string{"stay, a notch for a break", "pressure that counts as correction, the level beside it"}, words); diff != "" {
		t.Errorf("legend (-want +got):\n%s", diff)
	}
	if got := StripLegend(Strip{Reading: walk()}); len(got) != len(legend) {
		t.Errorf("the legend of everything has %d entries, want all %d", len(got), len(legend))
	}
}
