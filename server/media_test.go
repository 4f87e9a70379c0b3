package server

import (
	"bytes"
	"encoding/binary"
	"math"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"afterwalk/internal/store"
)

func TestCapRange(t *testing.T) {
	const mib = 1 << 20
	tests := []struct {
		name, header string
		size         int64
		want         string
	}{
		{"to the end of a long file", "bytes=0-", 100 * mib, "bytes=0-1048575"},
		{"to the end from the middle", "bytes=1000-", 100 * mib, "bytes=1000-1049575"},
		{"to the end of a short file", "bytes=0-", 10, "bytes=0-9"},
		{"short range", "bytes=5-9", 100 * mib, "bytes=5-9"},
		{"exactly the cap", "bytes=0-1048575", 100 * mib, "bytes=0-1048575"},
		{"one more than the cap", "bytes=0-1048576", 100 * mib, "bytes=0-1048575"},
		{"end behind the file's", "bytes=8-5000", 10, "bytes=8-9"},
		{"one byte", "bytes=9-9", 10, "bytes=9-9"},
		{"last bytes", "bytes=-3", 10, "bytes=7-9"},
		{"more last bytes than there are", "bytes=-30", 10, "bytes=0-9"},
		{"very many last bytes", "bytes=-50000000", 100 * mib, "bytes=54857600-55906175"},
		{"first of several", "bytes=0-1, 4-5", 10, "bytes=0-1"},
		{"first of several that is there", "bytes=20-30,4-", 10, "bytes=4-9"},
		{"first of several, cut", "bytes=0-, 4-5", 100 * mib, "bytes=0-1048575"},
		{"behind the end", "bytes=10-", 10, "bytes=10-"},
		{"no last bytes", "bytes=-0", 10, "bytes=-0"},
		{"empty file", "bytes=0-", 0, "bytes=0-"},
		{"turned round", "bytes=5-4", 10, "bytes=5-4"},
		{"not a number", "bytes=a-b", 10, "bytes=a-b"},
		{"signed", "bytes=+1-2", 10, "bytes=+1-2"},
		{"too long a number", "bytes=99999999999999999999-", 10, "bytes=99999999999999999999-"},
		{"no hyphen", "bytes=5", 10, "bytes=5"},
		{"other unit", "frames=0-5", 10, "frames=0-5"},
		{"nothing", "bytes=", 10, "bytes="},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := capRange(tt.header, tt.size); got != tt.want {
				t.Errorf("capRange(%q, %d) = %q, want %q", tt.header, tt.size, got, tt.want)
			}
		})
	}
}

func TestMediaType(t *testing.T) {
	const mp4 = "mov,mp4,m4a,3gp,3g2,mj2"
	tests := []struct{ format, path, want string }{
		{mp4, "walk.mp4", "video/mp4"},
		{mp4, "walk.MOV", "video/mp4"},
		{mp4, "no ending", "video/mp4"},
		{"matroska,webm", "walk.WebM", "video/webm"},
		{"matroska,webm", "walk.mkv", "video/x-matroska"},
		{"mpegts", "walk.ts", "video/mp2t"},
		{"avi", "walk.avi", "video/x-msvideo"},
		{"", "walk.html", "application/octet-stream"},
	}
	for _, tt := range tests {
		if got := mediaType(store.Footage{Format: tt.format, Path: tt.path}); got != tt.want {
			t.Errorf("mediaType(%q, %q) = %q, want %q", tt.format, tt.path, got, tt.want)
		}
	}
}

func TestMedia(t *testing.T) {
	const mib = 1 << 20
	const size = 9*mib + 123
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "walk.mp4", size)
	content, err := os.ReadFile(filepath.Join(f.home, "walk.mp4"))
	if err != nil {
		t.Fatal(err)
	}
	etag := f.send("HEAD", "/media/"+clip.ID, "").Header().Get("ETag")
	if etag == "" {
		t.Fatal("no ETag")
	}
	tests := []struct {
		name, method string
		header       map[string]string
		status       int
		from, to     int // bytes in the body, [from, to)
		contentRange string
	}{
		{"no range", "GET", nil, 200, 0, size, ""},
		{"from the start", "GET", map[string]string{"Range": "bytes=0-"}, 206, 0, mib, "bytes 0-1048575/9437307"},
		{"from the middle", "GET", map[string]string{"Range": "bytes=5000000-"}, 206, 5000000, 5000000 + mib, "bytes 5000000-6048575/9437307"},
		{"the rest", "GET", map[string]string{"Range": "bytes=9000000-"}, 206, 9000000, size, "bytes 9000000-9437306/9437307"},
		{"short", "GET", map[string]string{"Range": "bytes=10-19"}, 206, 10, 20, "bytes 10-19/9437307"},
		{"last bytes", "GET", map[string]string{"Range": "bytes=-7"}, 206, size - 7, size, "bytes 9437300-9437306/9437307"},
		{"two ranges", "GET", map[string]string{"Range": "bytes=0-9,20-29"}, 206, 0, 10, "bytes 0-9/9437307"},
		{"behind the end", "GET", map[string]string{"Range": "bytes=9437307-"}, 416, 0, 0, "bytes */9437307"},
		{"broken", "GET", map[string]string{"Range": "bytes=x"}, 416, 0, 0, ""},
		{"same file still", "GET", map[string]string{"Range": "bytes=0-9", "If-Range": etag}, 206, 0, 10, "bytes 0-9/9437307"},
		{"file has changed", "GET", map[string]string{"Range": "bytes=0-9", "If-Range": `"other"`}, 200, 0, size, ""},
		{"known already", "GET", map[string]string{"If-None-Match": etag}, 304, 0, 0, ""},
		{"head", "HEAD", nil, 200, 0, 0, ""},
		{"head of a range", "HEAD", map[string]string{"Range": "bytes=0-"}, 206, 0, 0, "bytes 0-1048575/9437307"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := f.request(tt.method, "/media/"+clip.ID, "")
			for k, v := range tt.header {
				r.Header.Set(k, v)
			}
			w := httptest.NewRecorder()
			f.Handler().ServeHTTP(w, r)
			if w.Code != tt.status || w.Header().Get("Content-Range") != tt.contentRange {
				t.Fatalf("%s %v = %d, %q, want %d, %q", tt.method, tt.header, w.Code, w.Header().Get("Content-Range"), tt.status, tt.contentRange)
			}
			if tt.status < 400 && !bytes.Equal(w.Body.Bytes(), content[tt.from:tt.to]) {
				t.Errorf("%s %v sends %d bytes, want [%d, %d) of the file", tt.method, tt.header, w.Body.Len(), tt.from, tt.to)
			}
			if tt.status == 200 || tt.status == 206 {
				if got := w.Header().Get("Content-Type"); got != "video/mp4" {
					t.Errorf("content type = %q, want video/mp4", got)
				}
				if w.Header().Get("Accept-Ranges") != "bytes" || w.Header().Get("ETag") != etag {
					t.Errorf("headers = %v, want byte ranges and the ETag", w.Header())
				}
			}
		})
	}
	if w := f.send("POST", "/media/"+clip.ID, ""); w.Code != 405 {
		t.Errorf("POST = %d, want 405", w.Code)
	}
}

func TestMediaOfMissingFile(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	if err := os.Remove(filepath.Join(f.home, "walk.mp4")); err != nil {
		t.Fatal(err)
	}
	w := f.send("GET", "/media/"+clip.ID, "")
	if w.Code != 404 || !strings.Contains(w.Body.String(), "walk.mp4 is not where it was") {
		t.Errorf("media of a missing file = %d %s, want 404 that says so", w.Code, w.Body)
	}
}

func TestFrames(t *testing.T) {
	hold := make(chan struct{})
	f := newFixture(t, facts{hold: hold})
	clip := f.add(t, "Tansy", "walk.mp4", 100)
	url := "/api/clips/" + clip.ID + "/frames"
	w := f.send("GET", url, "")
	if got := decoded(t, w); w.Code != 202 || got["state"] != "wanted" || got["message"] == "" {
		t.Errorf("frames before they are read = %d %s, want 202 wanted", w.Code, w.Body)
	}
	close(hold)
	if err := f.lib.WaitFrames(t.Context()); err != nil {
		t.Fatal(err)
	}
	w = f.send("GET", url, "")
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/octet-stream" || w.Body.Len() != 301*8 {
		t.Fatalf("frames = %d %s, %d bytes, want 301 numbers", w.Code, w.Header().Get("Content-Type"), w.Body.Len())
	}
	at := func(i int) float64 {
		return math.Float64frombits(binary.LittleEndian.Uint64(w.Body.Bytes()[8*i:]))
	}
	if at(0) != 0 || at(1) != 33333 || at(299) != 9966666 || at(300) != 1e7 {
		t.Errorf("frames start at %v, %v … %v and end at %v, want 0, 33333 … 9966666, 10000000", at(0), at(1), at(299), at(300))
	}
	r := f.request("GET", url, "")
	r.Header.Set("If-None-Match", w.Header().Get("ETag"))
	again := httptest.NewRecorder()
	f.Handler().ServeHTTP(again, r)
	if again.Code != 304 {
		t.Errorf("frames with their ETag = %d, want 304", again.Code)
	}
}
