package server

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/library"
)

func TestPieces(t *testing.T) {
	long := strings.Repeat("é", 100) + "stay" + strings.Repeat("ü", 300)
	for _, tt := range []struct {
		name  string
		text  string
		marks [][2]int
		want  []piece
	}{
		{"none", "heel", nil, []piece{{"heel", false}}},
		{"all", "heel", [][2]int{{0, 4}}, []piece{{"heel", true}}},
		{"two", "sit, stay, sit", [][2]int{{0, 3}, {11, 14}}, []piece{{"sit", true}, {", stay, ", false}, {"sit", true}}},
		{"empty text", "", nil, nil},
		{"behind the end, backwards, inside another, through a letter", "üb", [][2]int{{0, 9}, {2, 1}, {1, 2}, {2, 3}, {2, 3}}, []piece{{"ü", false}, {"b", true}}},
		{"long, in the middle", long, [][2]int{{200, 204}}, []piece{
			{"…", false}, {strings.Repeat("é", 60), false}, {"stay", true}, {strings.Repeat("ü", 176), false}, {"…", false}}},
		{"long, without a mark", strings.Repeat("x", 400), nil, []piece{{strings.Repeat("x", 180), false}, {"…", false}}},
	} {
		if diff := cmp.Diff(tt.want, pieces(tt.text, tt.marks)); diff != "" {
			t.Errorf("%s (-want +got)\n%s", tt.name, diff)
		}
	}
}

func TestHitHref(t *testing.T) {
	h := library.Hit{DogID: "d", SessionID: "s", ClipID: "c", ReadingID: "r", EventID: "e", At: 35_604_000}
	for kind, want := range map[string]string{
		"dog": "/dogs/d", "session": "/sessions/s", "clip": "/sessions/s#clip-c", "reading": "/desk/r", "event": "/desk/r#t=35.604",
	} {
		h.Kind = kind
		if got := hitHref(h); got != want {
			t.Errorf("a %s leads to %q, want %q", kind, got, want)
		}
	}
}

func TestSearchPage(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "20260509 walk.mp4", 100)
	id := f.read(t, clip)
	f.edit(t, id, fmt.Sprintf(`{"id":%q,"base":0,"put":[{"event":{"id":"e","code":"ex-sit","start_us":1500000,"end_us":3000000,"details":{},"note":"looked at the <b>bicycle</b> twice"},"was":0}]}`, newID()))
	session, err := f.lib.Session(t.Context(), clip.SessionID)
	if err != nil {
		t.Fatal(err)
	}
	session.Venue, session.Notes = "Mill Meadow", "A bicycle stood by the gate."
	if err := f.lib.SetSession(t.Context(), session); err != nil {
		t.Fatal(err)
	}

	p := f.page(t, "/search?q=bicycl")
	p.sound(t)
	got := map[string]string{}
	for _, n := range p.all(".hits li a") {
		section := n.Parent.Parent.Parent
		got[attr(section, "aria-labelledby")] = attr(n, "href")
	}
	want := map[string]string{"found-session": "/sessions/" + clip.SessionID, "found-event": "/desk/" + id + "#t=1.5"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("where the hits lead (-want +got)\n%s", diff)
	}
	for _, n := range p.all("mark") {
		if got := text(n); !strings.EqualFold(got, "bicycl") && !strings.EqualFold(got, "bicycle") {
			t.Errorf("%q is marked", got)
		}
	}
	if len(p.all("mark")) != 2 {
		t.Errorf("%d marks, want 2", len(p.all("mark")))
	}
	if got := text(p.one(t, "h1")); got != "2 hits for “bicycl”" {
		t.Errorf("headed %q", got)
	}
	if got := attr(p.one(t, "#search"), "value"); got != "bicycl" {
		t.Errorf("the field has %q, want what was searched for", got)
	}

	for _, query := range []string{"nothing of the kind", hostile, `"`, "*", "a:b OR NOT", "\x00", strings.Repeat("x", 2000)} {
		p := f.page(t, "/search?q="+url.QueryEscape(query))
		p.sound(t)
		if len(p.all(".hits")) == 0 && !strings.Contains(text(p.one(t, "main")), "Try fewer words") {
			t.Errorf("%.20q: the page says %q, want what to try", query, text(p.one(t, "main")))
		}
	}
	empty := f.page(t, "/search")
	empty.sound(t)
	if got := text(empty.one(t, "main")); !strings.Contains(got, "everything that was typed") {
		t.Errorf("without a query the page says %q", got)
	}
	if _, ok := attribute(empty.one(t, "#search"), "data-slash"); !ok {
		t.Error("the key / leads nowhere")
	}
}
