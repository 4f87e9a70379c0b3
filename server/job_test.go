package server

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// jobNow returns what the server says of a job.
func (f fixture) jobNow(t *testing.T, id string) job {
	t.Helper()
	var list struct{ Jobs []job }
	if err := json.Unmarshal(f.send("GET", "/api/jobs", "").Body.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	for _, j := range list.Jobs {
		if j.ID == id {
			return j
		}
	}
	t.Fatalf("job %s is not in the list: %+v", id, list.Jobs)
	return job{}
}

// await waits until a job is in a state, hearing of every change.
func (f fixture) await(t *testing.T, id string, ok func(job) bool) job {
	t.Helper()
	notices, cancel := f.lib.Watch()
	defer cancel()
	for {
		if j := f.jobNow(t, id); ok(j) {
			return j
		}
		select {
		case <-notices:
		case <-time.After(20 * time.Second):
			t.Fatalf("job %s is %+v after 20 s", id, f.jobNow(t, id))
		}
	}
}

func over(j job) bool { return j.State == "done" || j.State == "failed" || j.State == "stopped" }

func TestAddByPage(t *testing.T) {
	f := newFixture(t, facts{})
	paths := []string{f.clipFile(t, "walk.mp4", 100), f.clipFile(t, "hevc.mov", 100), f.clipFile(t, "list.mp4", 100)}
	body, err := json.Marshal(addRequest{Dog: "  Tansy ", Paths: paths})
	if err != nil {
		t.Fatal(err)
	}
	w := f.send("POST", "/api/add", string(body))
	if w.Code != 200 {
		t.Fatalf("POST /api/add = %d %s", w.Code, w.Body)
	}
	j := f.await(t, decoded(t, w)["job"].(string), over)
	if j.Kind != "add" || j.State != "done" || j.Done != 1 || j.Report == nil || len(j.Report.Files) != 3 {
		t.Fatalf("job = %+v, want done with three files", j)
	}
	for i, want := range []struct{ clip, problem bool }{{true, false}, {true, true}, {false, true}} {
		file := j.Report.Files[i]
		if file.Path != paths[i] || (file.Clip != "") != want.clip || (file.Problem != "") != want.problem {
			t.Errorf("file %d = %+v, want clip %t, problem %t", i, file, want.clip, want.problem)
		}
	}
	dogs, err := f.lib.Dogs(t.Context())
	if err != nil || len(dogs) != 1 || dogs[0].Name != "Tansy" {
		t.Errorf("dogs = %+v, %v, want Tansy", dogs, err)
	}
	w = f.send("GET", "/clips/"+j.Report.Files[0].Clip, "")
	if w.Code != 303 || !strings.HasSuffix(w.Header().Get("Location"), "#clip-"+j.Report.Files[0].Clip) {
		t.Errorf("GET /clips/… = %d %s, want 303 to its session", w.Code, w.Header().Get("Location"))
	}
}

func TestAddRefused(t *testing.T) {
	f := newFixture(t, facts{})
	w := f.send("POST", "/api/add", `{"dog":"","paths":["/etc/passwd"]}`)
	var got errorReply
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	var fields []string
	for _, p := range got.Problems {
		fields = append(fields, p.Field)
	}
	if w.Code != 422 || cmp.Diff([]string{"dog", "paths"}, fields) != "" {
		t.Errorf("POST /api/add = %d with problems of %v, want 422 of dog and paths", w.Code, fields)
	}
	if dogs, err := f.lib.Dogs(t.Context()); err != nil || len(dogs) != 0 {
		t.Errorf("dogs = %v, %v, want none", dogs, err)
	}
}

func TestStopJob(t *testing.T) {
	hold := make(chan struct{})
	defer close(hold)
	f := newFixture(t, facts{hold: hold})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	id := ""
	for _, j := range f.lib.Jobs() {
		if j.Kind == "frames" && j.ClipID == clip.ID {
			id = j.ID
		}
	}
	if id == "" {
		t.Fatalf("no job reads the frames: %+v", f.lib.Jobs())
	}
	if w := f.send("POST", "/api/jobs/"+id+"/stop", ""); w.Code != 204 {
		t.Fatalf("stop = %d %s", w.Code, w.Body)
	}
	if j := f.await(t, id, over); j.State != "stopped" {
		t.Errorf("job = %+v, want stopped", j)
	}
	if w := f.send("POST", fmt.Sprintf("/api/jobs/%s/stop", newID()), ""); w.Code != 404 {
		t.Errorf("stop of no job = %d, want 404", w.Code)
	}
}
