package library

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// hostile are names that have tripped programs up.
var hostile = []string{
	`O'Hara "the dog"`, "100 % <b>wild</b>", "'; DROP TABLE dogs; --", "🐕‍🦺 Bramble", strings.Repeat("ß", nameLimit), "שלום", "犬の散歩", `back\slash`, "a & b; c", "NEAR OR *",
}

// Whatever a dog is called, it can be renamed, found, put into the bin, brought back
// and merged, and that taken back.
func TestHostileDogs(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	oneClip(t, l)
	id := dogOf(t, l, "Tansy")
	for _, name := range hostile {
		d, err := l.Dog(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		d.Name, d.Notes, d.Devices = " "+name+" ", name, []store.Device{{Name: name, Channel: "collar"}}
		if err := l.SetDog(t.Context(), d); err != nil {
			t.Fatalf("%.20q: %v", name, err)
		}
		if d, err = l.Dog(t.Context(), id); err != nil || d.Name != name || d.Notes != name || d.Devices[0].Name != name {
			t.Errorf("%.20q reads back as %+v, %v", name, d, err)
		}
		hits, err := l.Search(t.Context(), name, 0)
		if err != nil || len(hits) != 3 || hits[0].Kind != "dog" || hits[0].Field != "name" || len(hits[0].Marks) == 0 {
			t.Errorf("%.20q is found as %+v, %v", name, hits, err)
		}
		other, err := l.NewDog(t.Context(), "other")
		if err != nil {
			t.Fatal(err)
		}
		act, err := l.MergeDogs(t.Context(), id, other)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := l.Dog(t.Context(), id); !errors.Is(err, annotate.ErrNotFound) {
			t.Errorf("%.20q is there after the merge: %v", name, err)
		}
		if err := l.Undo(t.Context(), act); err != nil {
			t.Errorf("%.20q: undo of the merge: %v", name, err)
		}
		for _, what := range []string{id, other} {
			if _, err := l.Bin(t.Context(), "dog", what); err != nil {
				t.Fatal(err)
			}
		}
		if err := l.Restore(t.Context(), "dog", id); err != nil {
			t.Errorf("%.20q: restore: %v", name, err)
		}
		if d, err = l.Dog(t.Context(), id); err != nil || d.Name != name {
			t.Errorf("%.20q came back as %+v, %v", name, d, err)
		}
	}
	well(t, l)
}

func dogOf(t *testing.T, l *Library, name string) string {
	t.Helper()
	dogs, err := l.Dogs(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range dogs {
		if d.Name == name {
			return d.ID
		}
	}
	t.Fatalf("there is no %s", name)
	return ""
}

func TestSetDogRefuses(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	oneClip(t, l)
	if _, err := l.NewDog(t.Context(), "Bramble"); err != nil {
		t.Fatal(err)
	}
	good, err := l.Dog(t.Context(), dogOf(t, l, "Tansy"))
	if err != nil {
		t.Fatal(err)
	}
	collar := func(level float64) []store.Device {
		return []store.Device{{Name: "x", Channel: "collar", LevelMax: &level}}
	}
	for _, c := range []struct {
		name   string
		change func(d *store.Dog)
		fields string // of the problems
	}{
		{"nothing", func(*store.Dog) {}, ""},
		{"no name", func(d *store.Dog) { d.Name = " \t" }, "name"},
		{"a long name", func(d *store.Dog) { d.Name = strings.Repeat("x", nameLimit+1) }, "name"},
		{"a control sign", func(d *store.Dog) { d.Name = "a\x00b" }, "name"},
		{"not UTF-8", func(d *store.Dog) { d.Name = "a\xff" }, "name"},
		{"another dog's name", func(d *store.Dog) { d.Name = "  BRAMBLE" }, "name"},
		{"no side", func(d *store.Dog) { d.Side = "" }, "side"},
		{"behind", func(d *store.Dog) { d.Side = "behind" }, "side"},
		{"long notes", func(d *store.Dog) { d.Notes = strings.Repeat("ß", notesLimit+1) }, "notes"},
		{"notes of just that length", func(d *store.Dog) { d.Notes = strings.Repeat("ß", notesLimit) }, ""},
		{"a negative limit", func(d *store.Dog) { d.WearLimitS = new(-1.0) }, "wear_min"},
		{"a limit of a day", func(d *store.Dog) { d.WearLimitS = new(86_400.0) }, ""},
		{"a longer limit", func(d *store.Dog) { d.WearLimitS = new(86_401.0) }, "wear_min"},
		{"no number", func(d *store.Dog) { d.WearLimitS = new(math.NaN()) }, "wear_min"},
		{"a device without name and channel", func(d *store.Dog) { d.Devices = []store.Device{{}} }, "device-0-name device-0-channel"},
		{"one device twice", func(d *store.Dog) { d.Devices = append(collar(9), collar(9)...) }, "device-1-name"},
		{"one name on two channels", func(d *store.Dog) {
			d.Devices = append(collar(9), store.Device{Name: "x", Channel: "tone"})
		}, ""},
		{"a negative level", func(d *store.Dog) { d.Devices = collar(-1) }, "device-0-max"},
		{"a level without end", func(d *store.Dog) { d.Devices = collar(math.Inf(1)) }, "device-0-max"},
		{"a ceiling at the highest level", func(d *store.Dog) {
			d.Devices, d.Ceilings = collar(9), map[string]float64{"collar@x": 9}
		}, ""},
		{"a ceiling above it", func(d *store.Dog) {
			d.Devices, d.Ceilings = collar(9), map[string]float64{"collar@x": 9.5}
		}, "ceiling collar@x"},
		{"a negative ceiling", func(d *store.Dog) { d.Ceilings = map[string]float64{"leash": -0.5} }, "ceiling leash"},
		{"a ceiling that is no number", func(d *store.Dog) { d.Ceilings = map[string]float64{"leash": math.NaN()} }, "ceiling leash"},
		{"all at once", func(d *store.Dog) { d.Name, d.Side, d.WearLimitS = "", "", new(-1.0) }, "name side wear_min"},
	} {
		d := good
		c.change(&d)
		err := l.SetDog(t.Context(), d)
		var p annotate.Problems
		errors.As(err, &p)
		var fields []string
		for _, q := range p {
			fields = append(fields, q.Field)
			if q.Message == "" || q.Hint == "" {
				t.Errorf("%s: a problem without words: %+v", c.name, q)
			}
		}
		if got := strings.Join(fields, " "); got != c.fields || (err == nil) != (c.fields == "") {
			t.Errorf("%s: %v, want problems of %q", c.name, err, c.fields)
		}
		if c.fields != "" {
			if now, err := l.Dog(t.Context(), good.ID); err != nil || now.Name != good.Name || now.Side != good.Side {
				t.Errorf("%s: refused, but the dog is now %+v, %v", c.name, now, err)
			}
		}
	}
	if err := l.SetDog(t.Context(), store.Dog{ID: "none", Name: "x", Side: "left"}); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("a dog that isn't there: %v", err)
	}
}

// What a dog is reaches its readings in memory, so that those of one session always
// say the same; a new name can be taken back as long as it fits.
func TestSetDogReachesReadings(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	if _, err := l.Apply(t.Context(), id, remark("e", "a", 1), nil); err != nil {
		t.Fatal(err)
	}
	dog := dogOf(t, l, "Tansy")
	d, err := l.Dog(t.Context(), dog)
	if err != nil {
		t.Fatal(err)
	}
	began := time.Now().Add(-time.Hour)
	d.Name, d.Side, d.Ceilings, d.WearLimitS = "Tansy of Alder", "right", map[string]float64{"collar": 12}, new(900.0)
	if err := l.SetDog(t.Context(), d); err != nil {
		t.Fatal(err)
	}
	r, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if r.Dog.Name != "Tansy of Alder" || r.Side != "right" || r.Dog.Ceilings["collar"] != 12 || r.Dog.WearLimitS == nil || *r.Dog.WearLimitS != 900 {
		t.Errorf("the reading in memory has %+v on the %s", r.Dog, r.Side)
	}
	if out, err := l.Apply(t.Context(), id, annotate.Edit{ID: "u", Undo: "e"}, nil); err != nil || out.Reading.Dog.Name != "Tansy of Alder" {
		t.Errorf("an edit after that: %v", err)
	}
	acts, err := l.Acts(t.Context(), []string{ActRename}, began)
	if err != nil || len(acts) != 1 || acts[0].Title != "Tansy is called Tansy of Alder now." {
		t.Fatalf("acts: %+v, %v", acts, err)
	}
	if err := l.SetDog(t.Context(), d); err != nil { // the same again is no new name
		t.Fatal(err)
	}
	if acts, err := l.Acts(t.Context(), nil, began); err != nil || len(acts) != 1 {
		t.Errorf("%d acts, %v; want 1", len(acts), err)
	}
	if _, err := l.NewDog(t.Context(), "tansy"); err != nil {
		t.Fatal(err)
	}
	var p annotate.Problems
	if err := l.Undo(t.Context(), acts[0].ID); !errors.As(err, &p) || !strings.Contains(p[0].Message, "Another dog has the old name") {
		t.Errorf("undo while the name is taken: %v", err)
	}
	if _, err := l.Bin(t.Context(), "dog", dogOf(t, l, "tansy")); err != nil {
		t.Fatal(err)
	}
	if err := l.Undo(t.Context(), acts[0].ID); err != nil {
		t.Fatal(err)
	}
	if r, err := l.Reading(t.Context(), id); err != nil || r.Dog.Name != "Tansy" || r.Side != "right" {
		t.Errorf("after the undo: %+v on the %s, %v; want the name alone back", r.Dog, r.Side, err)
	}
}

// Sessions of two dogs that overlap in time stay two, readings follow, and undo
// brings both dogs back in memory as well.
func TestMergeDogs(t *testing.T) {
	folder := t.TempDir()
	l := start(t, t.TempDir(), &prober{probes: map[string]media.Probe{"a.mp4": recorded(0), "b.mp4": recorded(0.5), "both.mp4": recorded(1)}})
	film := func(name string) string { return write(t, filepath.Join(folder, name), name) }
	clips := map[string]string{}
	for dog, names := range map[string][]string{"Tansy": {"a.mp4", "both.mp4"}, "Tanzy": {"b.mp4", "both.mp4"}} {
		var paths []string
		for _, n := range names {
			paths = append(paths, film(n))
		}
		report, err := l.Add(t.Context(), AddRequest{Dog: dog, Paths: paths}, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range report.Files {
			clips[dog+" "+names[i]] = f.ClipID
		}
	}
	readings := map[string]string{}
	for which, clip := range clips {
		id, err := l.NewReading(t.Context(), clip, which)
		if err != nil {
			t.Fatal(err)
		}
		readings[which] = id
	}
	dogs := func() string {
		t.Helper()
		var list []string
		for which, id := range readings {
			r, err := l.Reading(t.Context(), id)
			if err != nil {
				t.Fatal(err)
			}
			clip, err := l.ReadingClip(t.Context(), id)
			if err != nil {
				t.Fatal(err)
			}
			own := "its own clip"
			if clip != clips[which] {
				own = "another clip"
			}
			list = append(list, fmt.Sprintf("%s: %s, %s", which, r.Dog.Name, own))
		}
		slices.Sort(list)
		return strings.Join(list, "\n")
	}
	before := dogs()
	act, err := l.MergeDogs(t.Context(), dogOf(t, l, "Tanzy"), dogOf(t, l, "Tansy"))
	if err != nil {
		t.Fatal(err)
	}
	want := "Tansy a.mp4: Tansy, its own clip\nTansy both.mp4: Tansy, its own clip\nTanzy b.mp4: Tansy, its own clip\nTanzy both.mp4: Tansy, another clip"
	if diff := cmp.Diff(want, dogs()); diff != "" {
		t.Errorf("after the merge (-want +got):\n%s", diff)
	}
	if got := sessionsOf(t, l, "Tansy"); got != "a+both b" {
		t.Errorf("sessions: %q", got)
	}
	well(t, l)
	if err := l.Undo(t.Context(), act); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before, dogs()); diff != "" {
		t.Errorf("after the undo (-want +got):\n%s", diff)
	}
	well(t, l)
	tansy := dogOf(t, l, "Tansy")
	if _, err := l.MergeDogs(t.Context(), tansy, tansy); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("merged with itself: %v", err)
	}
	if _, err := l.MergeDogs(t.Context(), tansy, "none"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("merged with none: %v", err)
	}
}

// A film that was moved and given another name has that name in readings in memory.
func TestMovedFilmIsCalledSo(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	if _, err := l.Reading(t.Context(), id); err != nil {
		t.Fatal(err)
	}
	clip, err := l.ReadingClip(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	c, err := l.Clip(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	if err := l.moved(t.Context(), c.Footage.ID, t.TempDir(), "walk.mp4"); err != nil {
		t.Fatal(err)
	}
	if r, err := l.Reading(t.Context(), id); err != nil || r.Clip.File != "walk.mp4" {
		t.Errorf("the reading says %q, %v", r.Clip.File, err)
	}
}
