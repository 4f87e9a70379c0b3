package proof

import (
	"net/http"
	"reflect"
	"strings"
	"testing"
)

// route is an address that the server's router knows.
type route struct{ method, path string }

// routesOf asks the router itself, so that no route can be forgotten here.
func routesOf(t testing.TB, h http.Handler) (list []route) {
	t.Helper()
	all := reflect.ValueOf(h).MethodByName("Routes").Call(nil)[0]
	for i := range all.Len() {
		r := all.Index(i).Elem()
		list = append(list, route{r.FieldByName("Method").String(), r.FieldByName("Path").String()})
	}
	if len(list) < 20 {
		t.Fatalf("only %d routes: %v", len(list), list)
	}
	return list
}

// places holds what stands for the parameters of routes.
type places struct {
	dog, session, clip, footage, reading, job, act string
}

// places returns what belongs to a reading, with the newest job and act.
func (p *program) places(reading string) places {
	p.t.Helper()
	ctx := p.t.Context()
	at := places{reading: reading, job: "0", act: "0"}
	var err error
	if at.clip, err = p.lib.ReadingClip(ctx, reading); err != nil {
		p.t.Fatal(err)
	}
	c, err := p.lib.Clip(ctx, at.clip)
	if err != nil {
		p.t.Fatal(err)
	}
	at.dog, at.session, at.footage = c.DogID, c.SessionID, c.Footage.ID
	if jobs := p.lib.Jobs(); len(jobs) > 0 {
		at.job = jobs[0].ID
	}
	return at
}

// fill puts the parameters into a route's path. One that it knows nothing for
// fails the test: say it here, and every walk over the site takes it in.
func (at places) fill(t testing.TB, path string) string {
	t.Helper()
	id := map[string]string{
		"dogs": at.dog, "charts": at.dog, "sessions": at.session, "clips": at.clip, "media": at.clip, "readings": at.reading,
		"desk": at.reading, "jobs": at.job, "acts": at.act, "bin": at.session, "inbox": at.footage,
	}
	parts := strings.Split(path, "/")
	noun := ""
	for i, part := range parts {
		name, ok := strings.CutPrefix(part, ":")
		if !ok {
			if _, known := id[part]; known {
				noun = part
			}
			continue
		}
		switch name {
		case "id":
			parts[i] = id[noun]
		case "file":
			parts[i] = "escalation.svg"
		case "version":
			parts[i] = "1"
		case "kind":
			parts[i] = "session"
		default:
			parts[i] = ""
		}
		if parts[i] == "" {
			t.Fatalf("nothing is known to stand for %s in the route %s: add it to places", part, path)
		}
	}
	return strings.Join(parts, "/")
}

// pages returns the path of every page that the server has: of all routes that
// are asked by GET, those that answer with HTML.
func (p *program) pages(at places) (paths []string) {
	p.t.Helper()
	c := newClient(p.t, p.server.StartURL())
	for _, r := range routesOf(p.t, p.server.Handler()) {
		if r.method != http.MethodGet || strings.HasPrefix(r.path, "/api/") || strings.HasSuffix(r.path, "*") {
			continue
		}
		path := at.fill(p.t, r.path)
		reply, err := c.http.Get(c.base + path)
		if err != nil {
			p.t.Fatal(err)
		}
		reply.Body.Close()
		kind := reply.Header.Get("Content-Type")
		switch {
		case reply.StatusCode >= 400:
			p.t.Errorf("GET %s answers %s", path, reply.Status)
		case reply.StatusCode == http.StatusOK && strings.HasPrefix(kind, "text/html"):
			paths = append(paths, path)
		}
	}
	if len(paths) < 6 {
		p.t.Fatalf("only %d pages: %v", len(paths), paths)
	}
	return paths
}
