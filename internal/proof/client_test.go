package proof

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/google/uuid"
)

// client talks to the server as a page does, without being one.
type client struct {
	t    testing.TB
	http *http.Client
	base string
}

// newClient returns a client that has opened the start address.
func newClient(t testing.TB, startURL string) *client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &client{t: t, http: &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	c.base, _, _ = strings.Cut(startURL, "/?start=")
	reply, err := c.http.Get(startURL)
	if err != nil {
		t.Fatal(err)
	}
	reply.Body.Close()
	if reply.StatusCode != http.StatusSeeOther {
		t.Fatalf("the start address answers %s", reply.Status)
	}
	t.Cleanup(c.http.CloseIdleConnections)
	return c
}

// ask sends a request, body as JSON if there is one, and returns the whole reply.
func (c *client) ask(ctx context.Context, method, path string, body any) (status int, reply []byte, err error) {
	var send io.Reader
	if body != nil {
		b, err := json.Marshal(body)
		if err != nil {
			return 0, nil, err
		}
		send = bytes.NewReader(b)
	}
	r, err := http.NewRequestWithContext(ctx, method, c.base+path, send)
	if err != nil {
		return 0, nil, err
	}
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	got, err := c.http.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer got.Body.Close()
	reply, err = io.ReadAll(got.Body)
	return got.StatusCode, reply, err
}

// get returns the reply to a GET that has to succeed.
func (c *client) get(path string) []byte {
	c.t.Helper()
	status, reply, err := c.ask(c.t.Context(), http.MethodGet, path, nil)
	if err != nil || status != http.StatusOK {
		c.t.Fatalf("GET %s: %d, %v\n%s", path, status, err, reply)
	}
	return reply
}

// reading begins a reading of a clip as the form on the session's page does, and
// returns its id.
func (c *client) reading(clip, reader string) string {
	c.t.Helper()
	reply, err := c.http.PostForm(c.base+"/clips/"+clip+"/readings", url.Values{"reader": {reader}})
	if err != nil {
		c.t.Fatal(err)
	}
	defer reply.Body.Close()
	id, ok := strings.CutPrefix(reply.Header.Get("Location"), "/desk/")
	if !ok || reply.StatusCode != http.StatusSeeOther {
		text, _ := io.ReadAll(reply.Body)
		c.t.Fatalf("a new reading: %s, to %q\n%s", reply.Status, reply.Header.Get("Location"), text)
	}
	return id
}

// edit is an edit as pages send it.
type edit struct {
	ID     string   `json:"id"`
	Base   int64    `json:"base"`
	Put    []put    `json:"put,omitempty"`
	Remove []remove `json:"remove,omitempty"`
	Undo   string   `json:"undo,omitempty"`
	Redo   string   `json:"redo,omitempty"`
}

type put struct {
	Event coded `json:"event"`
	Was   rev   `json:"was"`
}

type remove struct {
	ID  string `json:"id"`
	Was rev    `json:"was"`
}

// coded is an event as pages and server hand it to each other.
type coded struct {
	ID      string         `json:"id,omitempty"`
	Code    string         `json:"code"`
	Start   int64          `json:"start_us"`
	End     *int64         `json:"end_us"` // nil while open
	Details map[string]any `json:"details,omitempty"`
	Note    string         `json:"note,omitempty"`
	Rev     rev            `json:"rev,omitempty"`
}

// rev is the revision of an event; 0 while the page waits for it.
type rev int64

// UnmarshalJSON takes what a page has in place of a number while it waits for 0.
func (r *rev) UnmarshalJSON(b []byte) error {
	n, err := strconv.ParseInt(string(b), 10, 64)
	*r = rev(n)
	if b[0] == '{' {
		return nil
	}
	return err
}

// momentAt returns a new event without length.
func momentAt(code string, at int64) coded {
	return coded{ID: newID(), Code: code, Start: at, End: &at}
}

// String is the event in one line, without its id and revision.
func (e coded) String() string {
	end := "open"
	if e.End != nil {
		end = fmt.Sprint(*e.End)
	}
	return fmt.Sprintf("%s %d-%s %v %q", e.Code, e.Start, end, e.Details, e.Note) // a map's keys are printed sorted
}

// acknowledged is what the server says of an edit that it has stored.
type acknowledged struct {
	Revision int64   `json:"revision"`
	Repeated bool    `json:"repeated"`
	Changed  []coded `json:"changed"`
	Undo     string  `json:"undo"`
	Redo     string  `json:"redo"`
}

func newID() string { return uuid.Must(uuid.NewV7()).String() }
