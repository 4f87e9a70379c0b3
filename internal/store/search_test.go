package store

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// typist stores one dog for each name, with what else is typed around it.
func typist(t *testing.T, s *Store, names ...string) {
	t.Helper()
	for i, name := range names {
		if err := s.Add(t.Context(), Addition{Dog: Dog{ID: fmt.Sprint("n", i), Name: name, Side: "left"}, NewDog: true}); err != nil {
			t.Fatal(err)
		}
	}
}

func found(t *testing.T, s *Store, query string) []string {
	t.Helper()
	list, err := s.Search(t.Context(), query, 100)
	if err != nil {
		t.Fatalf("search %q: %v", query, err)
	}
	texts := []string{}
	for _, f := range list {
		text, shift := f.Text, 0
		for _, m := range f.Marks {
			text = text[:m[0]+shift] + "[" + text[m[0]+shift:m[1]+shift] + "]" + text[m[1]+shift:]
			shift += 2
		}
		texts = append(texts, text)
	}
	slices.Sort(texts)
	return texts
}

func TestSearch(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	typist(t, s, "Tansy", "Zoë of Müllerhof", "Anne-Marie", "O'Hara \"the dog\"", "100 % Lurcher", "<script>alert(1)</script>", "🦮Guide", "🐕 Bramble",
		"犬の散歩", "ДОМ", "Straße", "NEAR OR NOT AND", "text:kind", "it's *wild* (really)", strings.Repeat("long ", 60)+"tail", `back\slash`, "e\u0301lan", "हिन्दी", "שלום", "Tan", "\u202eright")
	for _, c := range []struct {
		query string
		want  []string
	}{
		{"tansy", []string{"[Tansy]"}},
		{"TAN", []string{"[Tan]", "[Tan]sy"}},
		{"ansy", []string{"T[ansy]"}}, // no word begins so: anywhere, then
		{"zoe", []string{"[Zoë] of Müllerhof"}},
		{"Zoë MULLER", []string{"[Zoë] of [Müller]hof"}},
		{"zoe tansy", []string{}},
		{"marie", []string{"Anne-[Marie]"}},
		{"anne-m", []string{"[Anne]-[M]arie"}},
		{"o'hara", []string{"[O]'[Hara] \"the dog\""}},
		{`"the`, []string{`O'Hara "[the] dog"`}},
		{"%", []string{"100 [%] Lurcher"}},
		{"100 %", []string{"[100] [%] Lurcher"}},
		{"100% lur", []string{"[100] % [Lur]cher"}},
		{"<script>", []string{"<[script]>alert(1)</[script]>"}},
		{"alert(1", []string{"<script>[alert]([1])</script>"}},
		{"guide", []string{"🦮[Guide]"}},
		{"🦮", []string{"[🦮]Guide"}},
		{"🐕", []string{"[🐕] Bramble"}},
		{"🐕 bram", []string{"[🐕] [Bram]ble"}},
		{"散歩", []string{"犬の[散歩]"}},
		{"дом", []string{"[ДОМ]"}},
		{"strasse", []string{"[Straße]"}},
		{"straße", []string{"[Straße]"}},
		{"near or not", []string{"[NEAR] [OR] [NOT] AND"}},
		{"NOT tansy", []string{}},
		{"tansy OR bramble", []string{}},
		{"text:kind", []string{"[text]:[kind]"}},
		{"kind:text", []string{"[text]:[kind]"}},
		{"*wild*", []string{"it's *[wild]* (really)"}},
		{"it's", []string{"[it]'[s] *wild* (really)"}},
		{"(", []string{"<script>alert[(]1)</script>", "it's *wild* [(]really)"}},
		{"tail long", []string{strings.Repeat("[long] ", 60) + "[tail]"}},
		{`back\s`, []string{`[back]\[s]lash`}},
		{`\`, []string{`back[\]slash`}},
		{"élan", []string{"[e\u0301lan]"}},
		{"elan", []string{"[e\u0301lan]"}},
		{"हिन्दी", []string{"[हिन्दी]"}},
		{"שלום", []string{"[שלום]"}},
		{"_", []string{}},
		{"'; DROP TABLE typed; --", []string{}},
		{"\x00", []string{}},
		{"", []string{}},
		{"   ", []string{}},
		{"\xff", []string{}},
		{"\u0301", []string{}},
		{strings.Repeat("x", 100_000), []string{}},
		{strings.Repeat("long ", 1000), []string{strings.Repeat("[long] ", 60) + "tail"}},
		{"right", []string{"\u202e[right]"}},
	} {
		if diff := cmp.Diff(c.want, found(t, s, c.query)); diff != "" {
			t.Errorf("search %.40q (-want +got):\n%s", c.query, diff)
		}
	}
}

// Everything that can be typed is found where it stands, by what it is now.
func TestSearchFollows(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	apply(t, s, "reading", put("e1", annotate.Event{ID: "a", Code: "remark", Start: 5, End: 5, Note: "squirrel left", Details: annotate.Details{Device: "hummer", Who: "neighbour"}}, 0))
	d, err := s.Dog(t.Context(), "dog")
	if err != nil {
		t.Fatal(err)
	}
	d.Notes, d.Devices = "shy of bicycles", []Device{{Name: "buzzer", Channel: "tone"}, {Name: "ticker", Channel: "tone"}}
	if err := s.SetDog(t.Context(), d, Act{}); err != nil {
		t.Fatal(err)
	}
	session := Session{ID: "session", Venue: "Quarry Car Park", Handler: "P. Quill", Line: "biothane", Device: "buzzer", Plan: "ten recalls", Notes: "windy"}
	if err := s.SetSession(t.Context(), session); err != nil {
		t.Fatal(err)
	}
	where := func(query string) string {
		t.Helper()
		list, err := s.Search(t.Context(), query, 9)
		if err != nil {
			t.Fatal(err)
		}
		text := []string{}
		for _, f := range list {
			text = append(text, f.Kind+"."+f.Field)
		}
		return strings.Join(text, " ")
	}
	for query, want := range map[string]string{
		"squirrel": "event.note", "hummer": "event.device", "neighb": "event.who", "shy": "dog.notes", "ticker": "dog.device", "tansy": "dog.name",
		"quarry": "session.venue", "biothane": "session.line", "recalls": "session.plan", "windy": "session.notes", "clip": "clip.file",
		"buzzer": "dog.device session.device", "quill": "reading.reader session.handler", "alder": "",
	} {
		if got := where(query); got != want {
			t.Errorf("%q is found in %q, want %q", query, got, want)
		}
	}
	list, err := s.Search(t.Context(), "squirrel", 9)
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 5, 9, 17, 5, 0, 0, time.FixedZone("", 2*3600))
	f := list[0]
	if f.DogID != "dog" || f.SessionID != "session" || f.ClipID != "clip" || f.ReadingID != "reading" || f.EventID != "a" || f.At != 5 ||
		f.Code != "remark" || f.File != "clip 1.mp4" || f.Reader != "P. Quill" || f.Dog != "Tansy" || f.StartedAt == nil || !f.StartedAt.Equal(at) {
		t.Errorf("where the note is: %+v", f)
	}
	apply(t, s, "reading", put("e2", annotate.Event{ID: "a", Code: "remark", Start: 5, End: 5, Note: "heron"}, 1))
	for query, want := range map[string]string{"squirrel": "", "hummer": "", "neighb": "", "heron": "event.note"} {
		if got := where(query); got != want {
			t.Errorf("after the change %q is found in %q, want %q", query, got, want)
		}
	}
	apply(t, s, "reading", annotate.Edit{ID: "e3", Undo: "e2"})
	if got := where("hummer"); got != "event.device" {
		t.Errorf("after the undo the device is found in %q", got)
	}
	apply(t, s, "reading", annotate.Edit{ID: "e4", Remove: []annotate.Ref{{ID: "a", Was: 1}}})
	if got := where("squirrel") + where("hummer"); got != "" {
		t.Errorf("a removed event is found in %q", got)
	}
	if err := s.MoveFootage(t.Context(), "footage", "/films", "june/walk.mp4"); err != nil {
		t.Fatal(err)
	}
	if got := where("walk") + where("clip"); got != "clip.file" {
		t.Errorf("a film with a new name is found in %q", got)
	}
	whole(t, "after all that", s)
}

// Names come first, then the newest outings; the limit cuts the oldest off.
func TestSearchOrder(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	a := Addition{Dog: Dog{ID: "dog", Name: "Alder", Side: "left"}, NewDog: true}
	for i, day := range []int{9, 20, 2} {
		id := fmt.Sprint("s", i)
		at := time.Date(2026, 5, day, 9, 0, 0, 0, time.UTC)
		a.Sessions = append(a.Sessions, Session{ID: id, DogID: "dog", Venue: "Alder Lane"})
		a.Footage = append(a.Footage, Footage{ID: id, Fingerprint: id, Root: "/", Path: id + ".mp4", RecordedAt: &at, Frames: FramesWanted})
		a.Clips = append(a.Clips, NewClip{ID: id, SessionID: id, FootageID: id})
	}
	if err := s.Add(t.Context(), a); err != nil {
		t.Fatal(err)
	}
	for limit, want := range map[int]string{10: "dog s1 s0 s2", 3: "dog s1 s0", 1: "dog", 0: ""} {
		list, err := s.Search(t.Context(), "alder", limit)
		if err != nil {
			t.Fatal(err)
		}
		got := []string{}
		for _, f := range list {
			id := f.SessionID
			if id == "" {
				id = f.DogID
			}
			got = append(got, id)
		}
		if diff := cmp.Diff(want, strings.Join(got, " ")); diff != "" {
			t.Errorf("at most %d (-want +got):\n%s", limit, diff)
		}
	}
}

// Any query is answered, with marks that fit the text; and a text is found by
// itself.
func TestSearchAnything(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.String().Draw(rt, "text")
		query := rapid.OneOf(rapid.Just(text), rapid.String(), rapid.SampledFrom([]string{`"`, "*", "a*b", "NEAR/2", "text:", "-a", "^a", "(a OR", "a\"*\"b"})).Draw(rt, "query")
		if text == "" || !utf8.ValidString(text) || strings.ContainsRune(text, 0) {
			return
		}
		n++
		id := fmt.Sprint("d", n)
		if err := s.Add(t.Context(), Addition{Dog: Dog{ID: id, Name: id + " " + text, Side: "left", Notes: text}, NewDog: true}); err != nil {
			rt.Fatal(err)
		}
		for _, q := range []string{query, text, id} {
			list, err := s.Search(t.Context(), q, 1_000_000)
			if err != nil {
				rt.Fatalf("search %q: %v", q, err)
			}
			self := false
			for _, f := range list {
				self = self || f.DogID == id
				last := 0
				for _, m := range f.Marks {
					if m[0] < last || m[1] <= m[0] || m[1] > len(f.Text) || !utf8.ValidString(f.Text[m[0]:m[1]]) {
						rt.Fatalf("search %q: marks %v of %q", q, f.Marks, f.Text)
					}
					last = m[1]
				}
			}
			if q == id && !self {
				rt.Fatalf("%q isn't found by %q", text, id)
			}
		}
	})
}

// BenchmarkSearch looks among 100,000 notes of events: for a word that one of them
// has, one that all have, a single letter, a piece of a word, and nothing.
func BenchmarkSearch(b *testing.B) {
	s, err := Open(b.Context(), filepath.Join(b.TempDir(), "library.db"), Options{Now: clock()})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	err = s.Add(b.Context(), Addition{Dog: Dog{ID: "dog", Name: "Tansy", Side: "left"}, NewDog: true,
		Sessions: []Session{{ID: "session", DogID: "dog"}}, Footage: []Footage{{ID: "f", Fingerprint: "f", Root: "/", Path: "f.mp4", Frames: FramesWanted}},
		Clips: []NewClip{{ID: "clip", SessionID: "session", FootageID: "f"}}})
	if err != nil {
		b.Fatal(err)
	}
	words := strings.Fields("looked back at the gate while a jogger passed close behind and the line went tight before sniffing under hedge toward water again")
	for r := range 200 {
		reading := &annotate.Reading{ID: fmt.Sprint("r", r), Reader: "P. Quill", Window: annotate.Span{Start: 0, End: 1}, Book: book(1)}
		for e := range annotate.Micros(500) {
			note := fmt.Sprintf("n%d %s %s %s", r*500+int(e), words[int(e)%len(words)], words[(r+int(e)*7)%len(words)], words[(r*3+int(e)*11)%len(words)])
			reading.Events = append(reading.Events, annotate.Event{ID: fmt.Sprint(e), Code: "remark", Start: e, End: e, Rev: 1, Note: note + " kept"})
		}
		if err := s.AddReading(b.Context(), "clip", reading); err != nil {
			b.Fatal(err)
		}
	}
	for _, query := range []string{"n77777", "kept", "n", "ept", "%", "jog hedge", "nothing"} {
		b.Run(query, func(b *testing.B) {
			for b.Loop() {
				if _, err := s.Search(b.Context(), query, 50); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
