package store

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"afterwalk/annotate"
)

// some draws at most n of a list.
func some[T any](rt *rapid.T, list []T, n int, label string) []T {
	all := rapid.Permutation(list).Draw(rt, label)
	return all[:rapid.IntRange(0, min(n, len(all))).Draw(rt, label)]
}

func sound(t *testing.T, rt *rapid.T, what string, s *Store) {
	c, err := s.Check(t.Context())
	if err != nil || len(c.Problems) > 0 {
		rt.Fatalf("check %s: %v, %v", what, c.Problems, err)
	}
}

// randomLibrary stores two dogs with sessions, clips and readings, and returns
// their kinds and ids but the dogs'.
func randomLibrary(t *testing.T, rt *rapid.T, s *Store) (things [][2]string) {
	if err := s.AddBook(t.Context(), book(1)); err != nil {
		rt.Fatal(err)
	}
	b, err := s.NewestBook(t.Context())
	if err != nil {
		rt.Fatal(err)
	}
	footage := map[string]bool{}
	level := rapid.Float64Range(0, 100)
	for dog := range 2 {
		a := Addition{Dog: Dog{ID: fmt.Sprint("d", dog), Name: fmt.Sprint("Dog ", dog), Side: "left", Ceilings: map[string]float64{}}, NewDog: true}
		a.Dog.Notes = rapid.SampledFrom([]string{"", "<b>wild</b> at 100 %", "likes 'ham'"}).Draw(rt, "notes")
		for _, scale := range some(rt, []string{"collar", "leash", "collar@one"}, 3, "scales") {
			a.Dog.Ceilings[scale] = level.Draw(rt, "ceiling")
		}
		if rapid.Bool().Draw(rt, "limit") {
			a.Dog.WearLimitS = new(level.Draw(rt, "limit"))
		}
		if rapid.Bool().Draw(rt, "device") {
			a.Dog.Devices = []Device{{Name: rapid.SampledFrom([]string{"one", "two"}).Draw(rt, "name"), Channel: "collar"}}
		}
		var sessions []string
		for i := range rapid.IntRange(1, 3).Draw(rt, "sessions") {
			id := fmt.Sprintf("d%d-s%d", dog, i)
			sessions = append(sessions, id)
			things = append(things, [2]string{"session", id})
			a.Sessions = append(a.Sessions, Session{ID: id, DogID: a.Dog.ID, Venue: rapid.SampledFrom([]string{"", "Alder Lane", "“%”"}).Draw(rt, "venue")})
		}
		for f := range 4 {
			if !rapid.Bool().Draw(rt, "has") {
				continue
			}
			film := fmt.Sprint("f", f)
			if !footage[film] {
				footage[film] = true
				a.Footage = append(a.Footage, Footage{ID: film, Fingerprint: film, Root: "/films", Path: film + ".mp4", Duration: 9_000_000, Frames: FramesWanted})
			}
			c := NewClip{ID: fmt.Sprintf("d%d-%s", dog, film), SessionID: rapid.SampledFrom(sessions).Draw(rt, "session"), FootageID: film}
			if rapid.Bool().Draw(rt, "window") {
				from := annotate.Micros(rapid.IntRange(0, 8_000_000).Draw(rt, "from"))
				c.Window = &annotate.Span{Start: from, End: from + 1_000_000}
			}
			a.Clips = append(a.Clips, c)
			things = append(things, [2]string{"clip", c.ID})
		}
		if err := s.Add(t.Context(), a); err != nil {
			rt.Fatal(err)
		}
		for _, c := range a.Clips {
			if rapid.Bool().Draw(rt, "frames") {
				if err := s.SetFrames(t.Context(), c.FootageID, FrameTable{PTS: []annotate.Micros{0, 1_000_000, 2_000_000, 5_000_000}, End: 9_000_000}); err != nil {
					rt.Fatal(err)
				}
			}
			for i := range rapid.IntRange(0, 2).Draw(rt, "readings") {
				r := &annotate.Reading{ID: fmt.Sprintf("%s-r%d", c.ID, i), Reader: "P. Quill", Window: annotate.Span{Start: 0, End: 1_000_000}, Book: b}
				if _, state, err := s.Frames(t.Context(), c.ID); err == nil && state == FramesReady {
					table, _, _ := s.Frames(t.Context(), c.ID)
					r.Window = table.FirstWindow(c.Window)
				}
				if err := s.AddReading(t.Context(), c.ID, r); err != nil {
					rt.Fatal(err)
				}
				things = append(things, [2]string{"reading", r.ID})
				at := annotate.Micros(100)
				if c.Window != nil {
					at = c.Window.Start
				}
				if rapid.Bool().Draw(rt, "coded") {
					apply(t, s, r.ID, put("edit "+r.ID, annotate.Event{ID: "e", Code: "remark", Start: at, End: at, Note: rapid.SampledFrom([]string{"", "'; DROP TABLE dogs"}).Draw(rt, "note")}, 0))
				}
			}
		}
	}
	return things
}
