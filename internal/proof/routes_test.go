package proof

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"afterwalk/internal/media/mediatest"

	"github.com/google/go-cmp/cmp"
)

// answer is a reply read whole.
type answer struct {
	status int
	header http.Header
	body   string
}

// over sends a request over a connection of its own and reads the reply, of a
// stream only its beginning.
func over(t testing.TB, addr string, r *http.Request) answer {
	t.Helper()
	c, err := net.Dial("tcp", addr)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if err := c.SetDeadline(time.Now().Add(30 * time.Second)); err != nil {
		t.Fatal(err)
	}
	if err := r.Write(c); err != nil {
		t.Fatal(err)
	}
	reply, err := http.ReadResponse(bufio.NewReader(c), r)
	if err != nil {
		t.Fatalf("%s %s: %v", r.Method, r.URL, err)
	}
	if reply.Header.Get("Content-Type") == "text/event-stream" { // has no end, so it isn't closed but cut off
		return answer{reply.StatusCode, reply.Header, ""}
	}
	defer reply.Body.Close()
	body, err := io.ReadAll(reply.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer{reply.StatusCode, reply.Header, string(body)}
}

// Whoever may not ask gets nothing, on any route: other users of the computer,
// other sites, other ports, names that were made to point here.
func TestEveryRouteIsGuarded(t *testing.T) {
	p := start(t)
	reading := p.add(mediatest.Make(t, "cfr30").Path)
	at := p.places(reading)
	addr := p.server.Addr()
	host, port, _ := net.SplitHostPort(addr)
	start, err := url.Parse(p.server.StartURL())
	if err != nil {
		t.Fatal(err)
	}
	good := "afterwalk=" + start.Query().Get("start")
	home, err := os.UserHomeDir()
	if err != nil {
		t.Fatal(err)
	}

	// What goes into each route's path, and what is asked and sent.
	fill := func(r route) string {
		path := strings.Replace(at.fill(t, r.path), "*", "css/base.css", 1)
		if path == "/api/choose" {
			path += "?path=" + url.QueryEscape(home)
		}
		return path
	}
	request := func(r route, change func(*http.Request)) *http.Request {
		var body io.Reader
		kind := ""
		if r.method == http.MethodPost {
			kind, body = "application/json", strings.NewReader(fmt.Sprintf(`{"id":%q,"base":0,"put":[{"event":{"id":%q,"code":"marker","start_us":0,"end_us":0},"was":0}]}`, newID(), newID()))
			if !strings.HasPrefix(r.path, "/api/") {
				kind, body = "application/x-www-form-urlencoded", strings.NewReader("reader=P.+Quill&venue=Mill+Meadow")
			}
		}
		q, err := http.NewRequest(r.method, "http://"+addr+fill(r), body)
		if err != nil {
			t.Fatal(err)
		}
		q.Header.Set("Cookie", good)
		if kind != "" {
			q.Header.Set("Content-Type", kind)
		}
		q.Close = true
		if change != nil {
			change(q)
		}
		return q
	}
	set := func(pairs ...string) func(*http.Request) {
		return func(q *http.Request) {
			for i := 0; i < len(pairs); i += 2 {
				q.Header.Set(pairs[i], pairs[i+1])
			}
		}
	}
	from := func(host string) func(*http.Request) { return func(q *http.Request) { q.Host = host } }
	strangers := []struct {
		who    string
		change func(*http.Request)
		want   int
	}{
		{"without the cookie", func(q *http.Request) { q.Header.Del("Cookie") }, 403},
		{"with another's cookie", set("Cookie", "afterwalk=AAAAAAAAAAAAAAAAAAAAAAAAAA"), 403},
		{"with a part of the cookie", set("Cookie", good[:len(good)-1]), 403},
		{"by a name that points here", from("walks.example:" + port), 421},
		{"by a name that points here, and from it", func(q *http.Request) {
			q.Host = "walks.example:" + port
			q.Header.Set("Origin", "http://walks.example:"+port)
		}, 421},
		{"at another port's address", from(host + ":1"), 421},
		{"at the address without its port", from(host), 421},
		{"with two hosts in one", from(addr + "@walks.example"), 421},
		{"from another site", set("Origin", "http://walks.example", "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "cors", "Sec-Fetch-Dest", "empty"), 403},
		{"from another site by an old browser", set("Origin", "http://walks.example"), 403},
		{"from a sandboxed frame", set("Origin", "null"), 403},
		{"from another port of this computer", set("Origin", "http://"+host+":1", "Sec-Fetch-Site", "same-site", "Sec-Fetch-Mode", "cors", "Sec-Fetch-Dest", "empty"), 403},
		{"as another site's picture", set("Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "image"), 403},
		{"as another site's film", set("Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "video"), 403},
		{"in another site's frame", set("Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"), 403},
	}
	names := []string{"Tansy", "cfr30", at.clip, reading, "I. Varga", filepath.Base(home)}
	routes, asked := routesOf(t, p.server.Handler()), 0
	for _, r := range routes {
		before := p.state(at)
		for _, s := range strangers {
			asked++
			got := over(t, addr, request(r, s.change))
			if got.status != s.want {
				t.Errorf("%s %s %s: %d, want %d", r.method, r.path, s.who, got.status, s.want)
			}
			for _, name := range names {
				if strings.Contains(got.body, name) {
					t.Errorf("%s %s %s: the refusal names %q", r.method, r.path, s.who, name)
				}
			}
			if got.header.Get("Set-Cookie") != "" || got.header.Get("Access-Control-Allow-Origin") != "" {
				t.Errorf("%s %s %s: the refusal has headers %v", r.method, r.path, s.who, got.header)
			}
		}
		if diff := cmp.Diff(before, p.state(at)); diff != "" {
			t.Errorf("%s %s: a stranger has changed the library:\n%s", r.method, r.path, diff)
		}
	}
	// The same request of a page of ours is answered. What takes things away comes
	// last, and finds some of them gone.
	takesAway := func(r route) bool {
		return r.method == http.MethodPost && regexp.MustCompile(`/(bin|merge|undo|restore|stop|forget)\b`).MatchString(r.path)
	}
	for _, last := range []bool{false, true} {
		for _, r := range routes {
			if takesAway(r) != last {
				continue
			}
			own := over(t, addr, request(r, set("Sec-Fetch-Site", "same-origin")))
			// What is sent fits few of the forms, so these may refuse it; the guard may not.
			fine := own.status < 500 && own.status != 403 && own.status != 421
			if !fine || r.method != http.MethodPost && own.status >= 400 {
				t.Errorf("%s %s of a page of ours: %d\n%s", r.method, r.path, own.status, own.body)
			}
		}
		if n := len(p.readings(t, at.clip)); !last && n != 2 {
			t.Errorf("%d readings, want 2: one made before, one by our own request", n)
		}
	}
	t.Logf("%d routes, %d requests of strangers", len(routes), asked)
}

// state returns what a stranger could have changed, as text.
func (p *program) state(at places) string {
	p.t.Helper()
	ctx := p.t.Context()
	var all []any
	note := func(v any, err error) {
		if err != nil {
			p.t.Fatal(err)
		}
		all = append(all, v)
	}
	r := p.reading(at.reading)
	note(fmt.Sprint(r.Revision, r.Finished, r.Window, len(r.Events)), nil)
	dogs, err := p.lib.Dogs(ctx)
	note(dogs, err)
	sessions, err := p.lib.Sessions(ctx, at.dog)
	note(sessions, err)
	readings, err := p.lib.Readings(ctx, at.clip)
	note(readings, err)
	binned, err := p.lib.BinContents(ctx)
	note(binned, err)
	settings, err := p.lib.Settings(ctx)
	note(settings, err)
	b, err := json.MarshalIndent(all, "", " ")
	if err != nil {
		p.t.Fatal(err)
	}
	return string(b)
}

// readings returns the ids of a clip's readings.
func (p *program) readings(t testing.TB, clip string) (ids []string) {
	t.Helper()
	list, err := p.lib.Readings(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range list {
		ids = append(ids, r.ID)
	}
	return ids
}

// Requests as no browser writes them get no file either.
func TestRawRequests(t *testing.T) {
	t.Setenv("HOME", t.TempDir()) // what the chooser may show
	t.Setenv("USERPROFILE", os.Getenv("HOME"))
	p := start(t)
	outside := filepath.Join(t.TempDir(), "outside.mp4")
	mediatest.Make(t, "mpegts").CopyTo(t, outside)
	inside := filepath.Join(os.Getenv("HOME"), "walk.mp4")
	mediatest.Make(t, "cfr30").CopyTo(t, inside)
	for name, to := range map[string]string{"link.mp4": outside, "folder": filepath.Dir(outside)} {
		if err := os.Symlink(to, filepath.Join(os.Getenv("HOME"), name)); err != nil {
			t.Skip(err) // a system where not everybody may make links
		}
	}
	reading := p.add(inside)
	clip, err := p.lib.ReadingClip(t.Context(), reading)
	if err != nil {
		t.Fatal(err)
	}
	addr := p.server.Addr()
	_, token, _ := strings.Cut(p.server.StartURL(), "?start=")
	opens := watchOpens(t, outside)
	host, cookie := "Host: "+addr+"\r\n", "Cookie: afterwalk="+token+"\r\n"
	get := func(path string) string {
		return "GET " + path + " HTTP/1.1\r\n" + host + cookie + "Connection: close\r\n\r\n"
	}
	post := func(path, body string) string {
		return fmt.Sprintf("POST %s HTTP/1.1\r\n%s%sContent-Type: application/json\r\nContent-Length: %d\r\nConnection: close\r\n\r\n%s", path, host, cookie, len(body), body)
	}
	tests := []struct {
		name, send string
		want       []int
	}{
		{"our own", get("/media/" + clip), []int{200}},
		{"no host, old protocol", "GET / HTTP/1.0\r\n" + cookie + "\r\n", []int{421}},
		{"no host", "GET / HTTP/1.1\r\n" + cookie + "\r\n", []int{400}},
		{"two hosts", "GET / HTTP/1.1\r\n" + host + "Host: walks.example\r\n" + cookie + "\r\n", []int{400}},
		{"another's address in the first line", "GET http://walks.example/ HTTP/1.1\r\n" + host + cookie + "\r\n", []int{421}},
		{"a tunnel", "CONNECT walks.example:80 HTTP/1.1\r\n" + host + cookie + "\r\n", []int{400, 404, 405, 421, 403}},
		{"two cookies, none right", "GET / HTTP/1.1\r\n" + host + "Cookie: afterwalk=x\r\nCookie: afterwalk=y\r\n\r\n", []int{403}},
		{"up from the assets", get("/assets/../templates/desk.html"), []int{301, 307, 400, 404}},
		{"up from the assets, in disguise", get("/assets/%2e%2e/%2e%2e/templates/desk.html"), []int{301, 307, 400, 404}},
		{"up from the assets, one name", get("/assets/..%2f..%2f..%2fetc%2fpasswd"), []int{400, 404}},
		{"a path for a clip", get("/media/" + url.PathEscape(outside)), []int{404}},
		{"up from a clip", get("/media/" + clip + "/../../" + url.PathEscape(outside)), []int{404}},
		{"the chooser above its places", get("/api/choose?path=/"), []int{403}},
		{"the chooser beside its places", get("/api/choose?path=" + url.QueryEscape(filepath.Dir(outside))), []int{403}},
		{"the chooser up from its place", get("/api/choose?path=" + url.QueryEscape(os.Getenv("HOME")+"/../"+filepath.Base(filepath.Dir(outside)))), []int{403}},
		{"the chooser through a link", get("/api/choose?path=" + url.QueryEscape(filepath.Join(os.Getenv("HOME"), "folder"))), []int{403}},
		{"adding from outside", post("/api/add", fmt.Sprintf(`{"dog":"Tansy","paths":[%q]}`, outside)), []int{422}},
		{"adding through a link", post("/api/add", fmt.Sprintf(`{"dog":"Tansy","paths":[%q]}`, filepath.Join(os.Getenv("HOME"), "link.mp4"))), []int{422}},
		{"adding through a linked folder", post("/api/add", fmt.Sprintf(`{"dog":"Tansy","paths":[%q]}`, filepath.Join(os.Getenv("HOME"), "folder", "outside.mp4"))), []int{422}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, err := net.Dial("tcp", addr)
			if err != nil {
				t.Fatal(err)
			}
			defer c.Close()
			if err := c.SetDeadline(time.Now().Add(30 * time.Second)); err != nil {
				t.Fatal(err)
			}
			if _, err := io.WriteString(c, tt.send); err != nil {
				t.Fatal(err)
			}
			reply, err := http.ReadResponse(bufio.NewReader(c), nil)
			if err != nil {
				t.Fatal(err)
			}
			defer reply.Body.Close()
			for _, want := range tt.want {
				if reply.StatusCode == want {
					return
				}
			}
			body, _ := io.ReadAll(io.LimitReader(reply.Body, 1000))
			t.Errorf("%d, want one of %v\n%s", reply.StatusCode, tt.want, body)
		})
	}
	if opens != nil {
		if n := opens(); n != 0 {
			t.Errorf("the file outside was opened or read %d times", n)
		}
	}
	// A clip's file that has become a link to elsewhere is not followed.
	if err := os.Remove(inside); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, inside); err != nil {
		t.Fatal(err)
	}
	q, err := http.NewRequest(http.MethodGet, "http://"+addr+"/media/"+clip, nil)
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Cookie", "afterwalk="+token)
	q.Close = true
	if got := over(t, addr, q); got.status != http.StatusNotFound {
		t.Errorf("a clip whose file has become a link: %d, want 404", got.status)
	}
	if opens != nil {
		if n := opens(); n != 0 {
			t.Errorf("the file outside was opened or read %d times", n)
		}
	}
}
