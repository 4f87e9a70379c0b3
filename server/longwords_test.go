package server

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Names of 300 characters, one of them a single word, with quotes, angle brackets,
// percent signs and emoji, wherever they can be typed: every page keeps its width
// and its markup.
func TestLongWordsFit(t *testing.T) {
	ctx := open(t)
	f := newFixture(t, facts{})
	word := strings.Repeat("W", 296) + `"<%🐕`
	for i, name := range []string{word, hostile} {
		clip := f.add(t, name, fmt.Sprintf("2026050%d %s.mp4", i+1, strings.Repeat("w", 180)), 100+i)
		reader := f.send("POST", "/clips/"+clip.ID+"/readings", url.Values{"reader": {name}}.Encode())
		if reader.Code != 303 {
			t.Fatalf("a reading by %.20q = %d", name, reader.Code)
		}
		reading := strings.TrimPrefix(reader.Header().Get("Location"), "/desk/")
		f.edit(t, reading, fmt.Sprintf(`{"id":%q,"base":0,"put":[{"event":{"id":"e%d","code":"ex-sit","start_us":0,"end_us":3000000,"details":{},"note":%q},"was":0}]}`, newID(), i, "meadow "+strings.ReplaceAll(word, `"`, "'")))
		facts := url.Values{
			"name": {name}, "side": {"left"}, "notes": {name + "\n" + word}, "device_name": {name}, "device_channel": {"stim"}, "device_max": {"100000"}, "device_ceiling": {"99999.125"},
		}
		if w := f.send("POST", "/dogs/"+clip.DogID, facts.Encode()); w.Code != 303 {
			t.Fatalf("facts of %.20q = %d", name, w.Code)
		}
		session := url.Values{"venue": {name}, "handler": {word}, "plan": {word}, "notes": {hostile}}
		if w := f.send("POST", "/sessions/"+clip.SessionID, session.Encode()); w.Code != 303 {
			t.Fatalf("facts of a session of %.20q = %d", name, w.Code)
		}
	}
	if w := f.send("POST", "/settings", url.Values{"reader": {word}, "gap": {"30"}}.Encode()); w.Code != 303 {
		t.Fatalf("settings = %d", w.Code)
	}
	dogs, err := f.lib.Dogs(t.Context())
	if err != nil || len(dogs) != 2 {
		t.Fatal(dogs, err)
	}
	gone := f.add(t, word, "20260601 gone.mp4", 300) // a clip of the first dog again
	if w := f.send("POST", "/clips/"+gone.ID+"/bin", ""); w.Code != 303 {
		t.Fatalf("bin = %d", w.Code)
	}
	binned := f.send("POST", "/dogs/"+dogs[1].ID+"/bin", "")
	line := binned.Header().Get("Location")
	address, _ := f.serve(t)
	do(t, ctx, chromedp.Navigate(address+"/?start="+testToken))
	pages := []string{
		line, "/dogs/" + dogs[0].ID, "/dogs/" + dogs[1].ID, "/dogs/" + dogs[0].ID + "/merge", "/bin", "/jobs", "/settings",
		"/search?q=www", "/search?q=meadow", "/search?q=" + url.QueryEscape(word), "/search?q=" + url.QueryEscape(hostile), "/add?dog=" + url.QueryEscape(word),
	}
	for _, path := range pages {
		for _, width := range []int64{1280, 820} {
			do(t, ctx, chromedp.EmulateViewport(width, 720), chromedp.Navigate(address+path))
			if over := js[float64](t, ctx, "document.scrollingElement.scrollWidth - innerWidth"); over > 0 {
				widest := js[string](t, ctx, `[...document.querySelectorAll("main *, header *")].filter((e) => e.getBoundingClientRect().right > innerWidth && !e.closest(".scroll")).map((e) => e.outerHTML.slice(0, 80)).slice(0, 3).join("; ")`)
				t.Errorf("%.60s at %d is %v pixels wider than the window: %s", path, width, over, widest)
			}
			if n := js[float64](t, ctx, `document.querySelectorAll("img, main script").length`); n > 0 {
				t.Errorf("%.60s: a name got out of its place", path)
			}
		}
	}
}
