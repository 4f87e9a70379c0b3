package exchange

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"afterwalk/annotate"
	"afterwalk/annotate/caption"
	"afterwalk/internal/browser"

	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"
)

// shown is a cue as a reader gives it back; times in whole milliseconds.
type shown struct {
	Start, End int64
	Text       string
}

// awkward are texts that have broken caption files before, and what a person
// should see of them. srt is given where SRT can't hold the text.
var awkward = []struct{ name, text, want, srt string }{
	{"plain", "Down 3.8 s", "Down 3.8 s", ""},
	{"ampersand", "sit & down &amp; &lt;", "sit & down &amp; &lt;", ""},
	{"brackets", "a < b > c <i>x</i> <c.y>", "a < b > c <i>x</i> <c.y>", "skip"},
	{"arrow", "walk --> halt", "walk --> halt", "walk → halt"},
	{"timing", "00:01.000 --> 00:02.000", "00:01.000 --> 00:02.000", "00:01.000 → 00:02.000"},
	{"forged cue", "one\n\n9\n00:00:01.000 --> 00:00:02.000\nforged", "one\n9\n00:00:01.000 --> 00:00:02.000\nforged",
		"one\n9\n00:00:01.000 → 00:00:02.000\nforged"},
	{"quotes", `"good" 'girl' “well”`, `"good" 'girl' “well”`, ""},
	{"line ends", "one\r\ntwo\rthree\u2028four\u0085five", "one\ntwo\nthree\nfour\nfive", ""},
	{"blank lines", "\n\none\n \n\ntwo\n", "one\ntwo", ""},
	{"emoji", "👍🏽 well done 🐕‍🦺", "👍🏽 well done 🐕‍🦺", ""},
	{"right to left", "שב \u200f(טוב) יפה", "שב \u200f(טוב) יפה", ""},
	{"hyphen", "- she waits", "- she waits", ""},
	{"digit", "2 taps", "2 taps", ""},
	{"note", "NOTE this", "NOTE this", ""},
	{"style", "STYLE\nREGION", "STYLE\nREGION", ""},
	{"private use", "\uE000 \uE001 \uE002 > & <", "\uE000 \uE001 \uE002 > & <", "skip"},
	{"no break", "6\u00a0m", "6\u00a0m", ""},
	{"braces", `{\an8} \N {x}`, `{\an8} \N {x}`, "skip"},
	{"controls", "a\x00b\x1bc\td", "a\uFFFDb\uFFFDc d", ""},
	{"not text", "a\xffb", "a\uFFFDb", ""},
	{"long", strings.Repeat("heel ", 700) + "end", strings.Repeat("heel ", 700) + "end", ""},
	{"only blanks", " \n\t", "–", ""},
}

// cuesOf makes a cue of each awkward text, one after the other.
func cuesOf(keep func(srt string) bool) (cues []caption.Cue, want []shown) {
	at := annotate.Micros(0)
	for _, a := range awkward {
		if !keep(a.srt) {
			continue
		}
		at += 1_500_999 // cut down to .500, not rounded up
		cues = append(cues, caption.Cue{Start: at, End: at + 1_000_000, Lines: []string{a.text}, Events: []string{a.name}})
		want = append(want, shown{int64(at) / 1000, int64(at+1_000_000) / 1000, a.want})
	}
	// Beyond 1 h, 10 h and 100 h.
	for _, hours := range []annotate.Micros{1, 10, 100} {
		at := hours*3600*annotate.Second + 61_001_000
		cues = append(cues, caption.Cue{Start: at, End: at + annotate.Second, Lines: []string{"late"}})
		want = append(want, shown{int64(at) / 1000, int64(at)/1000 + 1000, "late"})
	}
	return cues, want
}

func TestVTTInChromium(t *testing.T) {
	cues, want := cuesOf(func(string) bool { return true })
	// Overlapping cues stay two cues.
	cues = append(cues, caption.Cue{Start: 500_000_000_000, End: 500_003_000_000, Lines: []string{"first"}},
		caption.Cue{Start: 500_001_000_000, End: 500_002_000_000, Lines: []string{"second"}})
	want = append(want, shown{500_000_000, 500_003_000, "first"}, shown{500_001_000, 500_002_000, "second"})
	if diff := cmp.Diff(want, chromiumCues(t, cues)); diff != "" {
		t.Errorf("cues as Chromium's <track> gives them (-want +got):\n%s", diff)
	}
}

// chromiumCues returns the cues of a WebVTT track as Chromium reads it.
func chromiumCues(t *testing.T, cues []caption.Cue) []shown {
	t.Helper()
	var track bytes.Buffer
	if _, err := WriteVTT(&track, cues); err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, `<!doctype html><video><track kind="captions" src="/track.vtt" default></video>`)
	})
	mux.HandleFunc("/track.vtt", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/vtt")
		w.Write(track.Bytes())
	})
	srv := httptest.NewServer(mux)
	defer srv.Close()
	ctx := browser.ForTest(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(srv.URL)); err != nil {
		t.Fatal(err)
	}
	got, err := chromedp.Run(ctx, chromedp.Evaluate[string](`(async () => {
		const track = document.querySelector("track");
		track.track.mode = "hidden";
		if (track.readyState < 2) await new Promise((done, fail) => { track.onload = done; track.onerror = () => fail(new Error("track refused")); });
		return JSON.stringify([...track.track.cues].map(c => ({
			Start: Math.round(c.startTime * 1000), End: Math.round(c.endTime * 1000), Text: c.getCueAsHTML().textContent})));
	})()`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	var out []shown
	if err := json.Unmarshal([]byte(got), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestTracksInFFprobe(t *testing.T) {
	if _, err := exec.LookPath("ffprobe"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("ffprobe is missing")
		}
		t.Skip("ffprobe is missing")
	}
	for _, format := range []struct {
		ending string
		write  func(*bytes.Buffer, []caption.Cue) error
	}{
		{"srt", func(b *bytes.Buffer, c []caption.Cue) error { _, err := WriteSRT(b, c); return err }},
		{"vtt", func(b *bytes.Buffer, c []caption.Cue) error { _, err := WriteVTT(b, c); return err }},
	} {
		t.Run(format.ending, func(t *testing.T) {
			cues, want := cuesOf(func(string) bool { return true })
			i := 0
			for _, a := range awkward {
				switch {
				case format.ending == "srt" && a.srt != "" && a.srt != "skip":
					want[i].Text = a.srt
				case format.ending == "vtt":
					// ffprobe gives the raw text of a WebVTT cue, entities as written.
					want[i].Text = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\u00a0", "&nbsp;").Replace(want[i].Text)
				}
				i++
			}
			var track bytes.Buffer
			if err := format.write(&track, cues); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(t.TempDir(), "track."+format.ending)
			if err := os.WriteFile(path, track.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(want, ffprobeCues(t, path)); diff != "" {
				t.Errorf("cues as ffprobe gives them (-want +got):\n%s", diff)
			}
		})
	}
}

// ffprobeCues returns the packets of a caption file as ffprobe reads them.
func ffprobeCues(t *testing.T, path string) []shown {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "ffprobe", "-v", "error", "-show_packets", "-show_data", "-of", "json", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var probed struct {
		Packets []struct {
			Start    string `json:"pts_time"`
			Duration string `json:"duration_time"`
			Data     string `json:"data"`
		}
	}
	if err := json.Unmarshal(out, &probed); err != nil {
		t.Fatal(err)
	}
	millis := func(s string) int64 { v, _ := strconv.ParseFloat(s, 64); return int64(math.Round(v * 1000)) }
	var cues []shown
	for _, p := range probed.Packets {
		var text []byte
		for _, line := range strings.Split(strings.TrimSpace(p.Data), "\n") {
			_, dump, _ := strings.Cut(line, ": ")
			dump, _, _ = strings.Cut(dump, "  ")
			b, err := hex.DecodeString(strings.ReplaceAll(dump, " ", ""))
			if err != nil {
				t.Fatalf("hex dump %q: %v", line, err)
			}
			text = append(text, b...)
		}
		start := millis(p.Start)
		cues = append(cues, shown{start, start + millis(p.Duration), string(text)})
	}
	return cues
}

func TestReplaced(t *testing.T) {
	var b bytes.Buffer
	replaced, err := WriteSRT(&b, []caption.Cue{{Start: 0, End: annotate.Second, Lines: []string{"a --> b\x00"}, Events: []string{"e1"}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(replaced) != 2 || replaced[0].Events[0] != "e1" {
		t.Errorf("WriteSRT reported %+v, want the control character and the arrow of e1", replaced)
	}
}

func TestEmptyTracks(t *testing.T) {
	var vtt, srt bytes.Buffer
	if _, err := WriteVTT(&vtt, nil); err != nil || vtt.String() != "WEBVTT\n\n" {
		t.Errorf("WriteVTT(nil) = %q, %v; want the bare header", vtt.String(), err)
	}
	if _, err := WriteSRT(&srt, nil); err != nil || srt.Len() != 0 {
		t.Errorf("WriteSRT(nil) = %q, %v; want nothing", srt.String(), err)
	}
}

// A new version of the library that escapes “>” itself makes the guard needless.
func TestLibraryStillNeedsTheGuard(t *testing.T) {
	var b bytes.Buffer
	subtitles, _ := prepare([]caption.Cue{{Start: 0, End: annotate.Second, Lines: []string{"a --> b & c"}}}, newGuard(nil, nil), nil)
	if err := subtitles.WriteToWebVTT(&b); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "a --> b") {
		t.Error("WriteToWebVTT escapes > now: the guard of WriteVTT can go")
	}
	b.Reset()
	if err := subtitles.WriteToSRT(&b); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "&amp; c") {
		t.Error("WriteToSRT no longer writes entities: its guard can go")
	}
}
