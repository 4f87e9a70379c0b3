package store

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
)

func TestNameKey(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"Tansy", " tansy ", true},
		{"Tansy  of  Mill", "TANSY OF MILL", true},
		{"Zoë", "Zoe\u0308", true}, // composed and not
		{"Straße", "STRASSE", true},
		{"Tansy", "Tansi", false},
		{"Zoë", "Zoe", false},
	} {
		if got := NameKey(c.a) == NameKey(c.b); got != c.same {
			t.Errorf("NameKey(%q) == NameKey(%q) is %t, want %t", c.a, c.b, got, c.same)
		}
	}
}

// Names are data, whatever signs are in them.
func TestHostileNames(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	names := []string{
		`O'Hara "the dog"`, "100 %", "what?", "#1", "'; DROP TABLE dogs; --", "🐕‍🦺 Bramble", "<script>alert(1)</script>", `back\slash`,
		strings.Repeat("ß", 300), "שלום", "a\u202eb",
	}
	for i, name := range names {
		id := string(rune('a' + i))
		if err := s.Add(t.Context(), Addition{Dog: Dog{ID: id, Name: name, Side: "left"}, NewDog: true}); err != nil {
			t.Fatalf("add %q: %v", name, err)
		}
		d, err := s.DogNamed(t.Context(), "  "+name+" ")
		if err != nil || d.ID != id || d.Name != name {
			t.Errorf("DogNamed(%q) = %+v, %v", name, d, err)
		}
	}
	if list, err := s.Dogs(t.Context()); err != nil || len(list) != len(names) {
		t.Errorf("%d dogs, %v; want %d", len(list), err, len(names))
	}
	if err := s.Add(t.Context(), Addition{Dog: Dog{ID: "z", Name: "WHAT?", Side: "left"}, NewDog: true}); !errors.Is(err, ErrTaken) {
		t.Errorf("a second dog of the same name: %v, want ErrTaken", err)
	}
}

func TestFootageReadsBack(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	at := time.Date(2026, 5, 9, 17, 5, 0, 0, time.FixedZone("", 2*3600))
	want := Clip{ID: "clip", SessionID: "session", DogID: "dog", Footage: Footage{
		ID: "footage", Fingerprint: "v1-abc", Root: "/films", Path: "may/clip 1.mp4", Size: 1234, Format: "mov,mp4", Video: "h264", Audio: "aac",
		Width: 1280, Height: 720, Rotation: 90, FrameRate: 29.97, Variable: true, Duration: 60_000_000, Start: 20_000,
		RecordedAt: &at, RecordedBy: "quicktime", RecordedZone: "+02:00", Frames: FramesWanted, Silent: "The sound is AC-3.",
	}}
	got, err := s.Clip(t.Context(), "clip")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("clip (-want +got):\n%s", diff)
	}
	if h := got.Footage.RecordedAt.Format("15:04 -07:00"); h != "17:05 +02:00" {
		t.Errorf("the recording time reads %s, want it in the zone it was recorded in", h)
	}
	session, err := s.Session(t.Context(), "session")
	if err != nil || session.StartedAt == nil || !session.StartedAt.Equal(at) {
		t.Errorf("session: %+v, %v; want it to start at %v", session, err, at)
	}
	dogs, err := s.Dogs(t.Context())
	if err != nil || len(dogs) != 1 || dogs[0].Sessions != 1 || dogs[0].Clips != 1 || dogs[0].LastSession == nil || !dogs[0].LastSession.Equal(at) {
		t.Errorf("dogs: %+v, %v", dogs, err)
	}
	if dogs[0].Ceilings["collar"] != 30 {
		t.Errorf("ceilings: %v", dogs[0].Ceilings)
	}
}

// Clips stand by recording time, the undated last, then by name; sessions by
// date, the undated last.
func TestOrder(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	day := func(d, h int) *time.Time { return new(time.Date(2026, 5, d, h, 0, 0, 0, time.UTC)) }
	a := Addition{Dog: Dog{ID: "dog", Name: "Bramble", Side: "left"}, NewDog: true}
	for _, id := range []string{"none", "late", "early"} {
		a.Sessions = append(a.Sessions, Session{ID: id, DogID: "dog"})
	}
	for _, f := range []struct {
		id, session, path string
		at                *time.Time
	}{
		{"n2", "none", "x/b.mp4", nil}, {"n1", "none", "y/a.mp4", nil},
		{"l3", "late", "c.mp4", day(20, 12)}, {"l2", "late", "b.mp4", day(20, 11)}, {"l1", "late", "a.mp4", day(20, 11)}, {"l4", "late", "0.mp4", nil},
		{"e1", "early", "a.mp4", day(2, 9)},
	} {
		a.Footage = append(a.Footage, Footage{ID: f.id, Fingerprint: f.id, Root: "/films", Path: f.path, RecordedAt: f.at, Frames: FramesReady})
		a.Clips = append(a.Clips, NewClip{ID: f.id, SessionID: f.session, FootageID: f.id})
	}
	if err := s.Add(t.Context(), a); err != nil {
		t.Fatal(err)
	}
	sessions, err := s.Sessions(t.Context(), "dog")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, v := range sessions {
		clips, err := s.Clips(t.Context(), v.ID)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, v.ID+":")
		for i, c := range clips {
			one, err := s.Clip(t.Context(), c.ID)
			if err != nil || c.Position != i || one.Position != i {
				t.Errorf("clip %s has position %d in the list and %d alone (%v), want %d", c.ID, c.Position, one.Position, err, i)
			}
			got = append(got, c.ID)
		}
	}
	if diff := cmp.Diff(strings.Fields("early: e1 late: l1 l2 l3 l4 none: n1 n2"), got); diff != "" {
		t.Errorf("order (-want +got):\n%s", diff)
	}
	dogs, err := s.Dogs(t.Context())
	if err != nil || !dogs[0].LastSession.Equal(*day(20, 11)) {
		t.Errorf("the last session is of %v (%v), want that of its first clip, %v", dogs[0].LastSession, err, day(20, 11))
	}
}

func TestFramesPack(t *testing.T) {
	for _, c := range []FrameTable{
		{PTS: []annotate.Micros{0}, End: 1},
		{PTS: []annotate.Micros{-66_667, 0, 33_367, 66_733}, End: 100_100},
		{PTS: []annotate.Micros{1_478_000, 1_478_001, 900_000_000_000}, End: 900_000_033_333},
	} {
		b, err := c.pack()
		if err != nil {
			t.Fatal(err)
		}
		got, err := unpack(b)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c, got); diff != "" {
			t.Errorf("packed and unpacked (-want +got):\n%s", diff)
		}
		for n := range b {
			if _, err := unpack(b[:n]); err == nil {
				t.Errorf("the first %d of %d bytes are taken for a table", n, len(b))
			}
		}
		if _, err := unpack(append(b, 0)); err == nil {
			t.Error("a table with a byte too many is taken")
		}
	}
	for _, c := range []FrameTable{{}, {PTS: []annotate.Micros{5}, End: 5}, {PTS: []annotate.Micros{5, 5}, End: 6}, {PTS: []annotate.Micros{5, 4}, End: 6}} {
		if _, err := c.pack(); err == nil {
			t.Errorf("%+v was packed; times have to rise", c)
		}
	}
	// 20 minutes at 30 frames a second, as a phone writes them: about 3 bytes a frame.
	long := FrameTable{End: 1_200_000_000}
	for i := range annotate.Micros(36_000) {
		long.PTS = append(long.PTS, i*100_000/3)
	}
	if b, err := long.pack(); err != nil || len(b) > 120_000 {
		t.Errorf("36,000 frames take %d bytes (%v), want at most 120,000", len(b), err)
	}
}

func FuzzUnpack(f *testing.F) {
	b, err := FrameTable{PTS: []annotate.Micros{-5, 0, 33_367}, End: 66_733}.pack()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Add([]byte{1, 0xff, 0xff, 0xff, 0xff, 0x0f, 0})
	f.Fuzz(func(t *testing.T, b []byte) {
		table, err := unpack(b)
		if err == nil && len(table.PTS) == 0 {
			t.Error("a table without frames was read")
		}
	})
}

// The table's end and start become the clip's; a reading that nobody has coded in
// follows, one that somebody has doesn't.
func TestSetFrames(t *testing.T) {
	s := openTest(t, filepath.Join(t.TempDir(), "library.db"))
	fill(t, s)
	addReading(t, s, "coded")
	apply(t, s, "coded", put("edit", annotate.Event{ID: "a", Code: "remark", Start: 59_990_000, End: 59_990_000}, 0))
	if _, state, err := s.Frames(t.Context(), "clip"); err != nil || state != FramesWanted {
		t.Fatalf("before: %v, %v", state, err)
	}
	want := FrameTable{PTS: []annotate.Micros{33_000, 66_000, 99_000}, End: 59_900_000, Warning: "Cut off."}
	if err := s.SetFrames(t.Context(), "footage", want); err != nil {
		t.Fatal(err)
	}
	got, state, err := s.Frames(t.Context(), "clip")
	if err != nil || state != FramesReady {
		t.Fatalf("after: %v, %v", state, err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("frames (-want +got):\n%s", diff)
	}
	clip, err := s.Clip(t.Context(), "clip")
	if err != nil || clip.Footage.Duration != 59_900_000 || clip.Footage.Start != 33_000 || clip.Footage.Warning != "Cut off." {
		t.Errorf("clip: %+v, %v", clip.Footage, err)
	}
	for id, want := range map[string]struct {
		window   annotate.Span
		duration annotate.Micros
	}{
		"reading": {annotate.Span{Start: 33_000, End: 66_000}, 59_900_000},
		"coded":   {annotate.Span{Start: 20_000, End: 20_001}, 59_990_000}, // nothing coded lies outside its clip
	} {
		r, err := s.Reading(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		if r.Window != want.window || r.Clip.Duration != want.duration {
			t.Errorf("%s: window %v, clip %d µs; want %v, %d µs", id, r.Window, r.Clip.Duration, want.window, want.duration)
		}
		if p := r.Validate(); len(p) > 0 {
			t.Errorf("%s breaks rules: %v", id, p)
		}
	}
	if c, err := s.Check(t.Context()); err != nil || len(c.Problems) > 0 {
		t.Errorf("check: %v, %v", c.Problems, err)
	}
}
