package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"
	"strings"
)

// sniffed is how much of a file's beginning is looked at.
const sniffed = 4096

// sniff opens path, looks at its first bytes and returns its size. It returns a
// [Fault] for everything that is none of the containers that ffprobe is allowed
// to open (MP4 and MOV, Matroska and WebM, MPEG-TS, AVI), so that no playlist
// ever reaches it.
func sniff(path string) (size int64, err error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return 0, &Fault{Kind: "unreadable", Message: "This is not a file.", Hint: "Choose a video file, or a folder of them."}
	}
	var f *os.File
	if err == nil {
		f, err = os.Open(path)
	}
	if err != nil {
		return 0, unreadable(err)
	}
	defer f.Close()
	head := make([]byte, sniffed)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return 0, unreadable(err)
	}
	if fault := judge(head[:n]); fault != nil {
		return 0, fault
	}
	return info.Size(), nil
}

func unreadable(err error) *Fault {
	f := &Fault{Kind: "unreadable", Message: "The file can't be read.", Hint: "See that the drive is connected and the file can be opened.", Cause: err}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.Message, f.Hint = "The file is not there.", "It may have been moved or renamed, or its drive is not connected."
	case errors.Is(err, fs.ErrPermission):
		f.Message, f.Hint = "This computer's user may not read the file.", "Change its permissions, or copy it to a folder of your own."
	}
	return f
}

// judge returns what is wrong with a file that begins with head, nil if it may
// be a video of a kind that is read here.
func judge(head []byte) *Fault {
	if len(head) == 0 {
		return &Fault{Kind: "empty", Message: "The file is empty.", Hint: "Copy it from the camera again."}
	}
	if len(bytes.Trim(head, "\x00")) == 0 {
		return &Fault{Kind: "damaged", Message: "The file begins with nothing but zeros: its content was never written.", Hint: "Copy it from the camera again."}
	}
	if playlist(head) {
		return &Fault{Kind: "playlist", Message: "This is a list of other files, not a video.", Hint: "Add the video files that it names."}
	}
	if !plainText(head) && isoMedia(head) {
		if still(head) {
			return &Fault{Kind: "not-video", Message: "This is a photo, not a video.", Hint: "Choose a video file."}
		}
		return nil
	}
	if bytes.HasPrefix(head, []byte("\x1a\x45\xdf\xa3")) || transport(head) {
		return nil
	}
	if riff(head, "AVI ") {
		return nil
	}
	for _, k := range otherKinds {
		if bytes.HasPrefix(head, []byte(k.magic)) {
			return &Fault{Kind: "not-video", Message: "This is " + k.name + ", a kind of video file that can't be read here.", Hint: "Convert it to MP4 first."}
		}
	}
	if riff(head, "WAVE") || bytes.HasPrefix(head, []byte("ID3")) || bytes.HasPrefix(head, []byte("fLaC")) {
		return &Fault{Kind: "no-picture", Message: "This is a sound file; it has no picture.", Hint: "Choose a video file."}
	}
	return &Fault{Kind: "not-video", Message: "This is not a video file.", Hint: "Choose an MP4, MOV, WebM, MKV, MPEG-TS or AVI file."}
}

// otherKinds are videos, but none that ffprobe is allowed to open.
var otherKinds = []struct{ magic, name string }{
	{"\x30\x26\xb2\x75\x8e\x66\xcf\x11", "Windows Media"},
	{"FLV\x01", "Flash Video"},
	{"OggS", "Ogg"},
	{"\x00\x00\x01\xba", "an MPEG program stream"},
	{"\x00\x00\x01\xb3", "a bare MPEG picture stream"},
	{".RMF", "RealMedia"},
}

// playlist reports whether head begins a text that makes a player open other
// files: HLS, ffconcat, SDP, DASH and the older lists.
func playlist(head []byte) bool {
	head = bytes.TrimPrefix(head, []byte("\xef\xbb\xbf"))
	text := strings.ToLower(string(bytes.TrimLeft(head, " \t\r\n")))
	for _, p := range []string{"#ext", "ffconcat", "v=0\r", "v=0\n", "[playlist]", "[reference]", "<mpd", "<asx", "<smil"} {
		if strings.HasPrefix(text, p) {
			return true
		}
	}
	if strings.HasPrefix(text, "<?xml") {
		for _, p := range []string{"<mpd", "<smil", "<playlist", "<smoothstreamingmedia"} {
			if strings.Contains(text, p) {
				return true
			}
		}
	}
	return false
}

// plainText reports whether there is no control character in head.
func plainText(head []byte) bool {
	return bytes.IndexFunc(head, func(r rune) bool { return r < ' ' && r != '\n' && r != '\r' && r != '\t' }) < 0
}

// isoMedia reports whether head begins with a box of the MP4 and MOV family.
func isoMedia(head []byte) bool {
	if len(head) < 8 {
		return false
	}
	switch string(head[4:8]) {
	case "ftyp", "styp", "moov", "moof", "mdat", "sidx", "free", "skip", "wide", "pnot", "udta", "uuid":
		n := binary.BigEndian.Uint32(head)
		return n <= 1 || n >= 8 // 0: to the file's end, 1: a long size follows
	}
	return false
}

// still reports whether an ftyp box names a photo as its major brand.
func still(head []byte) bool {
	if len(head) < 12 || string(head[4:8]) != "ftyp" {
		return false
	}
	switch string(head[8:12]) {
	case "heic", "heix", "mif1", "avif", "jxl ", "crx ":
		return true
	}
	return false
}

// transport reports whether head looks like MPEG-TS: packets of 188 bytes, or of
// 192 with a time before each (camcorders), that begin with 0x47.
func transport(head []byte) bool {
	for _, form := range []struct{ first, size int }{{0, 188}, {4, 192}} {
		seen := 0
		for i := form.first; i < len(head); i += form.size {
			if head[i] != 0x47 {
				seen = 0
				break
			}
			seen++
		}
		if seen >= 3 {
			return true
		}
	}
	return false
}

func riff(head []byte, kind string) bool {
	return len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == kind
}

// isAVI reports whether the file at path is an AVI.
func isAVI(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 12)
	_, err = io.ReadFull(f, head)
	return err == nil && riff(head, "AVI ")
}
