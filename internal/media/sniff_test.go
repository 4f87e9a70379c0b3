package media_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
)

func transportStream(size int) string {
	b := make([]byte, 4096)
	for i := size - 188; i < len(b); i += size {
		b[i] = 0x47
	}
	return string(b)
}

func TestJudge(t *testing.T) {
	for _, c := range []struct{ name, head, kind string }{
		{"MP4", "\x00\x00\x00\x20ftypisom\x00\x00\x02\x00", ""},
		{"QuickTime without ftyp", "\x00\x00\x00\x08wide\x00\x01\x00\x00mdat", ""},
		{"index first", "\x00\x00\x10\x00moov\x00\x00\x00\x6cmvhd", ""},
		{"a long first box", "\x00\x00\x00\x01mdat\x00\x00\x00\x01\x00\x00\x00\x00", ""},
		{"fragment", "\x00\x00\x00\x18stypmsdh", ""},
		{"Matroska, WebM", "\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01", ""},
		{"AVI", "RIFF\x00\x10\x00\x00AVI LIST", ""},
		{"MPEG-TS", transportStream(188), ""},
		{"MPEG-TS of camcorders", transportStream(192), ""},
		{"nothing", "", "empty"},
		{"zeros", string(make([]byte, 4096)), "damaged"},
		{"HLS", "#EXTM3U\n", "playlist"},
		{"HLS after a byte order mark and blank lines", "\xef\xbb\xbf\r\n #extm3u\n", "playlist"},
		{"ffconcat", "ffconcat version 1.0\n", "playlist"},
		{"SDP", "v=0\r\n", "playlist"},
		{"DASH", "<?xml version='1.0'?><!-- x --><MPD>", "playlist"},
		{"list of stations", "[playlist]\nFile1=a.mp4", "playlist"},
		{"photo of a phone", "\x00\x00\x00\x18ftypheic\x00\x00\x00\x00", "not-video"},
		{"photo", "\xff\xd8\xff\xe0\x00\x10JFIF", "not-video"},
		{"Windows Media", "\x30\x26\xb2\x75\x8e\x66\xcf\x11\xa6\xd9", "not-video"},
		{"program stream", "\x00\x00\x01\xba\x44\x00\x04", "not-video"},
		{"text", "Heel work at Alder Lane\n", "not-video"},
		{"text with a box name", "The freeway", "not-video"},
		{"WAV", "RIFF\x00\x10\x00\x00WAVEfmt ", "no-picture"},
		{"one byte", "G", "not-video"},
	} {
		fault := media.Judge([]byte(c.head))
		got := ""
		if fault != nil {
			got = fault.Kind
			if fault.Message == "" || fault.Hint == "" {
				t.Errorf("%s: the fault says too little: %+v", c.name, fault)
			}
		}
		if got != c.kind {
			t.Errorf("%s: got %q, want %q", c.name, got, c.kind)
		}
	}
}

// No text gets through to ffprobe, whatever it is.
func FuzzJudge(f *testing.F) {
	f.Add([]byte("#EXTM3U\n"))
	f.Add([]byte("<?xml version='1.0'?><MPD>"))
	f.Add([]byte("RIFF1234AVI "))
	f.Add([]byte("Six free tins"))
	f.Fuzz(func(t *testing.T, head []byte) {
		text := bytes.IndexFunc(head, func(r rune) bool { return r < ' ' && r != '\n' && r != '\r' && r != '\t' }) < 0
		if text && !bytes.HasPrefix(head, []byte("RIFF")) && media.Judge(head) == nil {
			t.Fatalf("a text gets through: %q", head)
		}
	})
}

func TestUnreadable(t *testing.T) {
	tools := mediatest.Tools(t)
	dir := t.TempDir()
	locked := filepath.Join(dir, "locked.mp4")
	if err := os.WriteFile(locked, []byte("x"), 0); err != nil {
		t.Fatal(err)
	}
	for name, path := range map[string]string{"a folder": dir, "no such file": filepath.Join(dir, "gone.mp4"), "a file of others": locked} {
		if f, err := os.Open(path); path == locked && err == nil {
			f.Close()
			continue // root may read everything
		}
		_, err := tools.Probe(t.Context(), path)
		var fault *media.Fault
		if !errors.As(err, &fault) || fault.Kind != "unreadable" {
			t.Errorf("%s: got %v, want an unreadable fault", name, err)
		}
	}
}
