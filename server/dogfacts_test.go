package server

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"afterwalk/internal/store"
)

// factsSent is a form as the page sends it: one device with a ceiling, one ceiling
// of a channel.
func factsSent() url.Values {
	return url.Values{
		"name": {"Tansy"}, "side": {"right"}, "notes": {"Pulls.\r\nSince May."}, "wear_min": {"90"},
		"device_name": {"brown box"}, "device_channel": {"stim"}, "device_max": {"100"}, "device_ceiling": {"12,5"},
		"ceiling_scale": {"leash"}, "ceiling_level": {"3"}, "do": {"save"},
	}
}

func TestDogFacts(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	path := "/dogs/" + clip.DogID
	w := f.send("POST", path, factsSent().Encode())
	if w.Code != 303 || w.Header().Get("Location") != path+"?saved=1#facts" {
		t.Fatalf("POST = %d %q %s", w.Code, w.Header().Get("Location"), w.Body)
	}
	got, err := f.lib.Dog(t.Context(), clip.DogID)
	if err != nil {
		t.Fatal(err)
	}
	limit, most := 5400.0, 100.0
	want := store.Dog{
		ID: clip.DogID, Name: "Tansy", Side: "right", Notes: "Pulls.\nSince May.", WearLimitS: &limit,
		Devices:  []store.Device{{Name: "brown box", Channel: "stim", LevelMax: &most}},
		Ceilings: map[string]float64{"stim@brown box": 12.5, "leash": 3},
	}
	if diff := cmp.Diff(want, got, cmpopts.IgnoreFields(store.Dog{}, "CreatedAt")); diff != "" {
		t.Errorf("stored (-want +got)\n%s", diff)
	}
	p := f.page(t, path+"?saved=1")
	p.sound(t)
	if !strings.Contains(text(p.one(t, "#facts [role=status]")), "saved") {
		t.Error("the page doesn't say that it is saved")
	}
	for id, want := range map[string]string{
		"device-0-name": "brown box", "device-0-max": "100", "device-0-ceiling": "12.5", "ceiling-0-level": "3", "wear_min": "90",
	} {
		if got := attr(p.one(t, "#"+id), "value"); got != want {
			t.Errorf("%s shows %q, want %q", id, got, want)
		}
	}
	if got := text(p.one(t, "#device-0-channel option[selected]")); got != "stim" {
		t.Errorf("the channel chosen is %q", got)
	}
	if got := text(p.one(t, "#facts .cautions")); !strings.Contains(got, "Law where you are first") || !strings.Contains(got, "not settings to copy") {
		t.Errorf("beside the devices stands %q, want the cautions", got)
	}
}

// Rows come and go without a script; nothing is stored by that, and what was typed
// stays.
func TestFactsRows(t *testing.T) {
	f := newFixture(t, facts{})
	path := "/dogs/" + f.add(t, "Tansy", "walk.mp4", 100).DogID
	form := factsSent()
	form["name"] = []string{hostile}
	form["device_name"] = []string{"brown box", `<i>"second"`}
	form["device_channel"] = []string{"stim", "tone"}
	form["device_max"] = []string{"not a number", ""}
	form["device_ceiling"] = []string{"", "4"}
	for _, tt := range []struct {
		do       string
		names    string
		ceilings int
		focus    string
	}{
		{"add-device", `brown box|<i>"second"|`, 1, "device-2-name"},
		{"device-0", `<i>"second"`, 1, "add-device"},
		{"device-1", `brown box`, 1, "add-device"},
		{"add-ceiling", `brown box|<i>"second"`, 2, "ceiling-1-scale"},
		{"ceiling-0", `brown box|<i>"second"`, 0, "add-ceiling"},
	} {
		form.Set("do", tt.do)
		w := f.send("POST", path, form.Encode())
		if w.Code != 200 {
			t.Fatalf("%s = %d %s", tt.do, w.Code, w.Body)
		}
		p := parsePage(t, w.Body.String())
		p.sound(t)
		var names []string
		for _, n := range p.all("input[name=device_name]") {
			names = append(names, attr(n, "value"))
		}
		if got := strings.Join(names, "|"); got != tt.names {
			t.Errorf("%s: devices %q, want %q", tt.do, got, tt.names)
		}
		if n := len(p.all("select[name=ceiling_scale]")); n != tt.ceilings {
			t.Errorf("%s: %d ceilings, want %d", tt.do, n, tt.ceilings)
		}
		if got := attr(p.one(t, "[autofocus]"), "id"); got != tt.focus {
			t.Errorf("%s: the focus goes to %q, want %q", tt.do, got, tt.focus)
		}
		if got := attr(p.one(t, "#name"), "value"); got != strings.TrimSpace(hostile) {
			t.Errorf("%s: the name is %q, want what was typed", tt.do, got)
		}
		if !strings.Contains(text(p.one(t, "#facts [role=status]")), "Not saved yet") {
			t.Errorf("%s: the page doesn't say that nothing is saved", tt.do)
		}
	}
	dogs, err := f.lib.Dogs(t.Context())
	if err != nil || len(dogs) != 1 || dogs[0].Name != "Tansy" || len(dogs[0].Devices) > 0 {
		t.Errorf("adding rows stored %+v, %v", dogs, err)
	}
}

func TestFactsRefused(t *testing.T) {
	f := newFixture(t, facts{})
	path := "/dogs/" + f.add(t, "Tansy", "walk.mp4", 100).DogID
	other := f.add(t, "Bramble", "other.mp4", 100).DogID
	rows := func(n int, value string) []string { return strings.Split(strings.Repeat(value+"|", n-1)+value, "|") }
	for name, tt := range map[string]struct {
		set   map[string][]string
		wrong string
	}{
		"no name":               {map[string][]string{"name": {" "}}, "name"},
		"long name":             {map[string][]string{"name": {strings.Repeat("x", 301)}}, "name"},
		"no side":               {map[string][]string{"side": {"above"}}, "side"},
		"long notes":            {map[string][]string{"notes": {strings.Repeat("x", maxText+1)}}, "notes"},
		"time in words":         {map[string][]string{"wear_min": {"an hour"}}, "wear_min"},
		"no time":               {map[string][]string{"wear_min": {"0"}}, "wear_min"},
		"more than a day":       {map[string][]string{"wear_min": {"1441"}}, "wear_min"},
		"device without a name": {map[string][]string{"device_name": {""}}, "device-0-name"},
		"device does nothing":   {map[string][]string{"device_channel": {""}}, "device-0-channel"},
		"level in words":        {map[string][]string{"device_max": {"lots"}}, "device-0-max"},
		"negative ceiling":      {map[string][]string{"device_ceiling": {"-1"}}, "device-0-ceiling"},
		"ceiling above it":      {map[string][]string{"device_ceiling": {"101"}}, "device-0-ceiling"},
		"twice": {map[string][]string{"device_name": rows(2, "brown box"), "device_channel": rows(2, "stim"),
			"device_max": rows(2, ""), "device_ceiling": rows(2, "")}, "device-1-name"},
		"ceiling for nothing": {map[string][]string{"ceiling_scale": {""}}, "ceiling-0-scale"},
		"ceiling in words":    {map[string][]string{"ceiling_level": {"low"}}, "ceiling-0-level"},
		"two for one":         {map[string][]string{"ceiling_scale": {"leash", "leash"}, "ceiling_level": {"1", "2"}}, "ceiling-1-scale"},
		"another dog's name":  {map[string][]string{"name": {" bramble "}}, "name"},
	} {
		t.Run(name, func(t *testing.T) {
			form := factsSent()
			for k, v := range tt.set {
				form[k] = v
			}
			w := f.send("POST", path, form.Encode())
			if w.Code != 422 {
				t.Fatalf("POST = %d, want 422", w.Code)
			}
			p := parsePage(t, w.Body.String())
			p.sound(t)
			says := p.one(t, "p.wrong-text")
			if got := attr(says, "id"); got != tt.wrong+"-wrong" {
				t.Fatalf("%q is said of %q, want of %q", text(says), got, tt.wrong)
			}
			if tt.wrong != "side" {
				field := p.one(t, "#"+tt.wrong)
				if attr(field, "aria-invalid") != "true" || !strings.Contains(attr(field, "aria-describedby"), tt.wrong+"-wrong") {
					t.Error("the field isn't tied to what is wrong with it")
				}
				if got := attr(p.one(t, "[autofocus]"), "id"); got != tt.wrong {
					t.Errorf("the focus goes to %q", got)
				}
			}
			if got := text(p.one(t, "#notes")); tt.wrong != "notes" && got != "Pulls. Since May." {
				t.Errorf("what was typed became %q", got)
			}
			if name == "another dog's name" {
				want := path + "/merge?into=" + other
				if got := attr(p.one(t, "#name-wrong a"), "href"); got != want {
					t.Errorf("it offers %q, want %q", got, want)
				}
			}
		})
	}
	dog, err := f.lib.Dog(t.Context(), strings.TrimPrefix(path, "/dogs/"))
	if err != nil || dog.Name != "Tansy" || dog.Side != "left" || dog.Notes != "" {
		t.Errorf("a refused form stored %+v, %v", dog, err)
	}
}

func TestRename(t *testing.T) {
	f := newFixture(t, facts{})
	path := "/dogs/" + f.add(t, "Tansy", "walk.mp4", 100).DogID
	form := factsSent()
	form.Set("name", hostile)
	w := f.send("POST", path, form.Encode())
	if w.Code != 303 || !strings.HasPrefix(w.Header().Get("Location"), path+"?act=") {
		t.Fatalf("POST = %d %q", w.Code, w.Header().Get("Location"))
	}
	p := f.page(t, w.Header().Get("Location"))
	p.sound(t)
	if got := text(p.one(t, "h1")); got != strings.Join(strings.Fields(hostile), " ") {
		t.Errorf("headed %q", got)
	}
	w = f.send("POST", attr(p.one(t, ".done form"), "action"), url.Values{"back": {path}}.Encode())
	if w.Code != 303 {
		t.Fatalf("undo = %d %s", w.Code, w.Body)
	}
	if got := text(f.page(t, path).one(t, "h1")); got != "Tansy" {
		t.Errorf("after the undo the dog is called %q", got)
	}
}

func TestNewDog(t *testing.T) {
	f := newFixture(t, facts{})
	w := f.send("POST", "/dogs", url.Values{"name": {" " + hostile + " "}}.Encode())
	if w.Code != 303 {
		t.Fatalf("POST = %d %s", w.Code, w.Body)
	}
	p := f.page(t, w.Header().Get("Location"))
	p.sound(t)
	if got := text(p.one(t, "#charts .nothing")); !strings.Contains(got, "add one, then code it") {
		t.Errorf("a dog without clips says %q", got)
	}
	u, err := url.Parse(attr(p.one(t, "#charts a.button"), "href"))
	if err != nil || u.Query().Get("dog") != strings.TrimSpace(hostile) {
		t.Errorf("it leads to %v, %v, want to adding its clips", u, err)
	}
	dogs := f.page(t, "/")
	dogs.sound(t)
	if got := text(dogs.one(t, ".dogs li")); !strings.Contains(got, "no clips yet") {
		t.Errorf("the list says %q", got)
	}
	for name, want := range map[string]string{"": "missing", strings.Repeat("x", 301): "too long", strings.ToUpper(hostile): "There is a dog of that name"} {
		w := f.send("POST", "/dogs", url.Values{"name": {name}}.Encode())
		p := parsePage(t, w.Body.String())
		if w.Code != 422 {
			t.Errorf("%.20q = %d, want 422", name, w.Code)
			continue
		}
		p.sound(t)
		if got := text(p.one(t, "#new-dog-wrong")); !strings.Contains(got, want) {
			t.Errorf("%.20q: %q, want %q", name, got, want)
		}
		if got := attr(p.one(t, "#new-dog"), "value"); got != name {
			t.Errorf("the field has %q, want what was typed", got)
		}
	}
}

func TestMerge(t *testing.T) {
	f := newFixture(t, facts{})
	from := f.add(t, hostile[:250], "20260502 walk.mp4", 100)
	f.read(t, from)
	f.add(t, hostile[:250], "20260509 walk.mp4", 200)
	into := f.add(t, "Tansy", "20260502 walk.mp4", 100) // the same film
	path := "/dogs/" + from.DogID + "/merge"
	choose := f.page(t, path)
	choose.sound(t)
	if len(choose.all("#will")) > 0 || text(choose.one(t, "#into option")) != "Tansy" {
		t.Error("the page doesn't begin with the choice")
	}
	p := f.page(t, path+"?into="+into.DogID)
	p.sound(t)
	says := text(p.one(t, ".happens"))
	for _, want := range []string{"2 sessions", "2 clips", "1 reading become Tansy's", "1 film is a clip of both", "No film is touched"} {
		if !strings.Contains(says, want) {
			t.Errorf("it says %q, want %q in it", says, want)
		}
	}
	w := f.send("POST", path, url.Values{"into": {into.DogID}}.Encode())
	if w.Code != 303 || !strings.HasPrefix(w.Header().Get("Location"), "/dogs/"+into.DogID+"?act=") {
		t.Fatalf("POST = %d %q %s", w.Code, w.Header().Get("Location"), w.Body)
	}
	done := f.page(t, w.Header().Get("Location"))
	done.sound(t)
	if got := text(done.one(t, ".title .facts")); !strings.Contains(got, "2 clips") {
		t.Errorf("the dog that stays has %q, want the 2 films", got)
	}
	if w := f.send("GET", "/dogs/"+from.DogID, ""); w.Code != 404 {
		t.Errorf("the merged dog = %d", w.Code)
	}
	w = f.send("POST", attr(done.one(t, ".done form"), "action"), url.Values{"back": {"/dogs/" + from.DogID}}.Encode())
	if w.Code != 303 {
		t.Fatalf("undo = %d %s", w.Code, w.Body)
	}
	if got := text(f.page(t, "/dogs/"+from.DogID).one(t, ".title .facts")); !strings.Contains(got, "2 clips") {
		t.Errorf("after the undo the dog has %q", got)
	}
	for _, body := range []string{"", "into=" + from.DogID} {
		if w := f.send("POST", path, body); w.Code != 422 {
			t.Errorf("merging into %q = %d, want 422", body, w.Code)
		}
	}
	alone := newFixture(t, facts{})
	only := alone.add(t, "Tansy", "walk.mp4", 100)
	if got := text(alone.page(t, "/dogs/"+only.DogID+"/merge").one(t, "main")); !strings.Contains(got, "no other dog") {
		t.Errorf("a dog alone: %q", got)
	}
}

func TestWaits(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "a.mp4", 100)
	f.add(t, "Tansy", "b.mp4", 200)
	f.finish(t, f.read(t, f.add(t, "Tansy", "c.mp4", 300)))
	f.read(t, clip)
	f.read(t, clip)
	want := "1 clip not read yet, 2 readings not finished"
	if got := text(f.page(t, "/").one(t, ".dogs .waits")); got != want {
		t.Errorf("the list says %q, want %q", got, want)
	}
	if got := text(f.page(t, "/dogs/"+clip.DogID).one(t, "p.waits")); !strings.Contains(got, want) {
		t.Errorf("the dog's page says %q, want %q in it", got, want)
	}
}

func TestJobsPage(t *testing.T) {
	hold := make(chan struct{})
	f := newFixture(t, facts{hold: hold})
	empty := f.page(t, "/jobs")
	empty.sound(t)
	if _, hidden := attribute(empty.one(t, "#idle"), "hidden"); hidden || len(empty.all(".job")) > 0 {
		t.Error("without jobs the page doesn't say so")
	}
	f.add(t, hostile[:200], "a.mp4", 100)
	f.add(t, hostile[:200], "b.mp4", 200)
	p := f.page(t, "/jobs")
	p.sound(t)
	if got := len(p.all("#running .job")); got != 2 {
		t.Fatalf("%d jobs under way, want 2", got)
	}
	if got := text(p.one(t, ".foot nav")); !strings.Contains(got, "(2 under way)") {
		t.Errorf("the foot says %q", got)
	}
	stop := attr(p.all("#running form")[0], "action") // the newest: it waits
	if w := f.send("POST", stop, ""); w.Code != 303 {
		t.Fatalf("stop = %d %s", w.Code, w.Body)
	}
	p = f.page(t, "/jobs")
	p.sound(t)
	ended := text(p.one(t, "#ended .job"))
	if !strings.Contains(ended, "b.mp4") || !strings.Contains(ended, "stopped") || !strings.Contains(ended, "before it began") {
		t.Errorf("what ended says %q, want its name, its state and its words", ended)
	}
	close(hold)
	if err := f.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(len(f.page(t, "/jobs").all("#ended .job"))); got != "2" {
		t.Errorf("%s jobs have ended, want 2", got)
	}
}
