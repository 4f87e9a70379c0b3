package library

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

func TestNewReading(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	clip := oneClip(t, l)
	id, err := l.NewReading(t.Context(), clip, "  I. Varga ")
	if err != nil {
		t.Fatal(err)
	}
	r, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if r.Reader != "I. Varga" || r.Dog.Name != "Tansy" || r.Side != "left" || r.Clip.File != "clip.mp4" || r.Clip.Fingerprint == "" ||
		r.Clip.Duration != 59_900_000 || r.Window != (annotate.Span{Start: 0, End: 100_000}) || r.Coded != nil || r.Finished || r.Revision != 0 {
		t.Errorf("a new reading: %+v", r)
	}
	if p := r.Validate(); len(p) > 0 {
		t.Errorf("a new reading breaks rules: %v", p)
	}
	if got, err := l.ReadingClip(t.Context(), id); err != nil || got != clip {
		t.Errorf("its clip is %s, %v; want %s", got, err, clip)
	}
	if list, err := l.Readings(t.Context(), clip); err != nil || len(list) != 1 || list[0].ID != id || list[0].BookVersion != 1 {
		t.Errorf("readings: %+v, %v", list, err)
	}
	if _, err := l.NewReading(t.Context(), "none", "I. Varga"); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("of no clip: %v, want ErrNotFound", err)
	}
	if _, err := l.NewReading(t.Context(), clip, "  "); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("of nobody: %v, want ErrInvalid", err)
	}
}

// A session's facts are a reading's too, at once and without an edit.
func TestSetSession(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	id := oneReading(t, l)
	if _, err := l.Apply(t.Context(), id, remark("e", "a", 0), nil); err != nil {
		t.Fatal(err)
	}
	clip, err := l.Clip(t.Context(), second0(l.ReadingClip(t.Context(), id)))
	if err != nil {
		t.Fatal(err)
	}
	s, err := l.Session(t.Context(), clip.SessionID)
	if err != nil {
		t.Fatal(err)
	}
	s.Venue, s.Handler, s.Plan, s.Notes = "Mill Meadow", "P. Quill", "stays", "wind\nfrom the north"
	if err := l.SetSession(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	if got, err := l.Session(t.Context(), s.ID); err != nil || cmp.Diff(s, got) != "" {
		t.Errorf("session: %+v, %v", got, err)
	}
	r, err := l.Reading(t.Context(), id)
	if err != nil || r.Venue != "Mill Meadow" || r.Handler != "P. Quill" || len(r.Events) != 1 || len(r.History.Done) != 1 {
		t.Errorf("reading: %+v, %v", r, err)
	}
	if out, err := l.Apply(t.Context(), id, annotate.Edit{ID: "u", Undo: "e"}, nil); err != nil || len(out.Reading.Events) != 0 {
		t.Errorf("undo afterwards: %+v, %v", out, err)
	}
	if err := l.SetSession(t.Context(), store.Session{ID: "none"}); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("no such session: %v, want ErrNotFound", err)
	}
}

// made is a reading as it comes from a file.
func made(id string) *annotate.Reading {
	return &annotate.Reading{
		ID: id, Clip: annotate.Clip{File: "elsewhere.mp4", Fingerprint: "other", Duration: 70 * annotate.Second}, Dog: annotate.Dog{Name: "TANSY"},
		Reader: "P. Quill", Venue: "Quarry Car Park", Window: annotate.Span{Start: 0, End: 30 * annotate.Second}, Chosen: "fixed", Finished: true, Book: testBook(),
		Events: []annotate.Event{
			{ID: "b", Code: "ahead", Start: 2_000_000, End: 3_000_000},
			{ID: "a", Code: "remark", Start: 1_000_000, End: 1_000_000, Note: "first"},
		},
	}
}

func TestImportReading(t *testing.T) {
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	clip := oneClip(t, l)
	in := made("01890000-0000-7000-8000-000000000001")
	id, err := l.ImportReading(t.Context(), clip, in)
	if err != nil || id != in.ID {
		t.Fatalf("import: %q, %v; want its own id", id, err)
	}
	if in.Events[0].Rev != 0 || in.Events[0].ID != "b" || in.Revision != 0 {
		t.Errorf("the reading that was given has changed: %+v", in)
	}
	r, err := l.Reading(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if r.Clip.File != "clip.mp4" || r.Clip.Duration != 59_900_000 || r.Dog.Name != "Tansy" || r.Venue != "Quarry Car Park" || !r.Finished || r.Revision != 1 ||
		len(r.Events) != 2 || r.Events[0].ID != "a" || r.Events[0].Rev != 1 || len(r.History.Done) != 0 {
		t.Errorf("imported: %+v", r)
	}
	// It can be edited like any other, and the import isn't undone by undoing all.
	if out, err := l.Apply(t.Context(), id, annotate.Edit{ID: "rm", Remove: []annotate.Ref{{ID: "a", Was: 1}}}, nil); err != nil || len(out.Reading.Events) != 1 || out.Reading.Revision != 2 {
		t.Errorf("an edit: %+v, %v", out.Reading, err)
	}
	if out, err := l.Apply(t.Context(), id, annotate.Edit{ID: "undo", Undo: "rm"}, nil); err != nil || len(out.Reading.Events) != 2 || len(out.Reading.History.Done) != 0 {
		t.Errorf("its undo: %+v, %v", out.Reading, err)
	}

	// Taken or unfit ids are replaced; event ids stay, each reading has its own.
	seen := map[string]bool{id: true}
	for _, own := range []string{in.ID, "", "a/b", "<script>", strings.Repeat("x", 65)} {
		again := made(own)
		id, err := l.ImportReading(t.Context(), clip, again)
		if err != nil || seen[id] || !fitsAddress(id) || id == own {
			t.Errorf("import with the id %q: %q, %v; want a new id", own, id, err)
		}
		seen[id] = true
	}

	broken := made("broken")
	broken.Events[0].Code = "none"
	long := made("long")
	long.Events[0].End = 65 * annotate.Second // inside its own clip, beyond the library's
	for _, r := range []*annotate.Reading{broken, long} {
		if _, err := l.ImportReading(t.Context(), clip, r); !errors.Is(err, annotate.ErrInvalid) {
			t.Errorf("import of the %s one: %v, want ErrInvalid", r.ID, err)
		}
	}
	if _, err := l.ImportReading(t.Context(), "none", made("x")); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("import for no clip: %v, want ErrNotFound", err)
	}
	if list, err := l.Readings(t.Context(), clip); err != nil || len(list) != len(seen) {
		t.Errorf("%d readings, %v; want %d", len(list), err, len(seen))
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = start(t, dir, &prober{})
	if r, err = l.Reading(t.Context(), in.ID); err != nil || len(r.Events) != 2 || r.Revision != 3 {
		t.Errorf("after a restart: %+v, %v", r, err)
	}
	well(t, l)
}

// A reading of the very same file may know its length better than the container.
func TestImportBeforeFrames(t *testing.T) {
	hold := make(chan struct{})
	defer close(hold)
	l := start(t, t.TempDir(), &prober{hold: map[string]chan struct{}{"clip.mp4": hold}})
	path := write(t, filepath.Join(t.TempDir(), "clip.mp4"), "a clip")
	clip := add(t, l, path)[0].ClipID
	r := made("x")
	r.Events[0].End = 65 * annotate.Second
	if _, err := l.ImportReading(t.Context(), clip, r); !errors.Is(err, annotate.ErrInvalid) {
		t.Errorf("of another file: %v, want ErrInvalid", err)
	}
	r.Clip.Fingerprint = mustPrint(t, path)
	if _, err := l.ImportReading(t.Context(), clip, r); err != nil {
		t.Errorf("of the same file: %v", err)
	}
	if got, err := l.Reading(t.Context(), "x"); err != nil || len(got.Validate()) > 0 {
		t.Errorf("it breaks rules: %v, %v", got.Validate(), err)
	}
}

func TestFindClips(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	dir := t.TempDir()
	a := write(t, filepath.Join(dir, "x", "clip.mp4"), "a")
	write(t, filepath.Join(dir, "y", "clip.mp4"), "b")
	write(t, filepath.Join(dir, "y", "other.mp4"), "c")
	files := add(t, l, dir)
	for _, c := range []struct {
		name, print, file string
		want              []string
	}{
		{"by fingerprint", mustPrint(t, a), "", []string{files[0].ClipID}},
		{"by fingerprint though the name says otherwise", mustPrint(t, a), "other.mp4", []string{files[0].ClipID}},
		{"by name", "", "other.mp4", []string{files[2].ClipID}},
		{"by name where the fingerprint is of another program", "sha1:xyz", "other.mp4", []string{files[2].ClipID}},
		{"several of a name", "", "clip.mp4", []string{files[0].ClipID, files[1].ClipID}},
		{"none", "x", "none.mp4", nil},
		{"nothing to go by", "", "", nil},
	} {
		clips, err := l.FindClips(t.Context(), c.print, c.file)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, clip := range clips {
			got = append(got, clip.ID)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// One reading counts for each clip: the agreed one, else the first finished.
func TestCounting(t *testing.T) {
	p := &prober{probes: map[string]media.Probe{"a.mp4": recorded(1000), "b.mp4": recorded(0), "c.mp4": recorded(5)}}
	dir := t.TempDir()
	l := start(t, dir, p)
	films := t.TempDir()
	for _, name := range []string{"a", "b", "c", "undated"} {
		write(t, filepath.Join(films, name+".mp4"), name)
	}
	files := add(t, l, films)
	clip := map[string]string{"a": files[0].ClipID, "b": files[1].ClipID, "c": files[2].ClipID}
	reading := map[string]string{}
	for _, name := range []string{"a1", "a2", "a3", "b1", "b2"} {
		id, err := l.NewReading(t.Context(), clip[name[:1]], name)
		if err != nil {
			t.Fatal(err)
		}
		reading[name] = id
	}
	finish := func(name string, yes bool) {
		t.Helper()
		e := annotate.Edit{ID: newID(), Set: &annotate.Facts{Finished: &yes}}
		if _, err := l.Apply(t.Context(), reading[name], e, nil); err != nil {
			t.Fatal(err)
		}
	}
	counting := func() string {
		t.Helper()
		dogs, err := l.Dogs(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		list, err := l.Counting(t.Context(), dogs[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, c := range list {
			if len(c.Clips) != len(c.Readings) {
				t.Fatalf("%d clips and %d readings", len(c.Clips), len(c.Readings))
			}
			for i, r := range c.Readings {
				name := "-"
				if r != nil {
					name = r.Reader
				}
				out = append(out, strings.TrimSuffix(nameOf(c.Clips[i].Footage), ".mp4")+":"+name)
			}
			out = append(out, "|")
		}
		return strings.Join(out, " ")
	}
	if got, want := counting(), "b:- c:- | a:- | undated:- |"; got != want {
		t.Errorf("none finished: %s, want %s", got, want)
	}
	finish("a2", true)
	finish("a1", true)
	finish("b1", true)
	finish("b1", false)
	finish("b2", true)
	finish("b1", true)
	if got, want := counting(), "b:b2 c:- | a:a2 | undated:- |"; got != want {
		t.Errorf("finished: %s, want %s", got, want)
	}
	if _, err := byHand(t, dir).Exec(`UPDATE readings SET agreed = 1 WHERE id = ?`, reading["a3"]); err != nil {
		t.Fatal(err)
	}
	if got, want := counting(), "b:b2 c:- | a:a3 | undated:- |"; got != want {
		t.Errorf("one agreed: %s, want %s", got, want)
	}
	// What was loaded for counting can be edited and has its history.
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = start(t, dir, p)
	counting()
	if r, err := l.Reading(t.Context(), reading["a2"]); err != nil || len(r.History.Done) != 1 {
		t.Errorf("after counting: %+v, %v; want its history", r, err)
	}
	counting()
	finish("b2", false)
	if got, want := counting(), "b:b1 c:- | a:a3 | undated:- |"; got != want {
		t.Errorf("the first one reopened: %s, want %s", got, want)
	}
}

func TestBooks(t *testing.T) {
	dir := t.TempDir()
	l, err := Open(t.Context(), Config{Dir: dir, Prober: &prober{}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Book(t.Context()); !errors.Is(err, annotate.ErrNotFound) {
		t.Errorf("the book of a library without one: %v, want ErrNotFound", err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l = start(t, dir, &prober{})
	_ = l.Close()
	newer := testBook()
	newer.Version, newer.Name = 2, "Newer"
	l, err = Open(t.Context(), Config{Dir: dir, Prober: &prober{}, DefaultBook: newer})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if b, err := l.Book(t.Context()); err != nil || b.Version != 1 {
		t.Errorf("the book of a library that has one: %v, %v; want it kept", b, err)
	}
}

// A default book without id and version becomes version 1 of the library's own.
func TestFirstBookHasIDAndVersion(t *testing.T) {
	plain := testBook()
	plain.ID, plain.Version = "", 0
	dir := t.TempDir()
	var first string
	for range 2 { // the second start finds it
		l, err := Open(t.Context(), Config{Dir: dir, DefaultBook: plain})
		if err != nil {
			t.Fatal(err)
		}
		b, err := l.Book(t.Context())
		if err != nil || b.ID == "" || b.Version != 1 || first != "" && b.ID != first {
			t.Errorf("the library's book: id %q, version %d, %v; want an id of its own that stays, and version 1", b.ID, b.Version, err)
		}
		first = b.ID
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if plain.ID != "" || plain.Version != 0 {
		t.Errorf("the book that was given became %q version %d", plain.ID, plain.Version)
	}
}
