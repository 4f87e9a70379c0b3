package proof

import (
	"encoding/binary"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"afterwalk/internal/media/mediatest"
)

// secret stands in a file that nobody chose.
const secret = "the spare key lies under the blue pot"

// badFiles are files that can't be added, made from clips of mediatest, and a
// part of what has to be said of each.
var badFiles = map[string]struct{ clip, says string }{
	"noise.mp4":       {"noise", "The file is damaged"},
	"never.mp4":       {"zeros", "The file begins with nothing but zeros"},
	"cut off.mp4":     {"nomoov", "its index (moov) is missing"},
	"empty.mov":       {"empty", "The file is empty"},
	"sound only.mp4":  {"audio", "The file has sound only"},
	"notes.mp4":       {"text", "This is not a video file"},
	"list.mp4":        {"playlist", "This is a list of other files"},
	"joined.webm":     {"ffconcat", "This is a list of other files"},
	"call.mkv":        {"sdp", "This is a list of other files"},
	"pieces.mov":      {"dash", "This is a list of other files"},
	"half of it.webm": {"", "This is not a video file"},
}

// goodFiles are files that are added, though something is to be said of some.
var goodFiles = map[string]struct{ clip, says string }{
	"walk.mp4":      {"cfr30", ""},
	"half.mp4":      {"truncated", ""},
	"half.mkv":      {"cutmkv", ""},
	"new phone.mp4": {"hevc", "HEVC (H.265), which few browsers play, so this clip needs a proxy"},
	"silent.mp4":    {"hevc-silent", "HEVC (H.265), which few browsers play, so this clip needs a proxy"},
	"old.avi":       {"avi", "Browsers can't open AVI files, so this clip needs a proxy"},
	"quiet.mp4":     {"ac3", "The sound is coded as AC-3, which browsers don't play"},
}

// strangeNames are names that a camera doesn't give but people do.
var strangeNames = []string{
	`it's "heel" at 100% #1, why?.mp4`,
	`<img src=x onerror=document.title='gotcha'>.mp4`,
	`"><b id=gotcha>&amp;.mp4`,
	`{{.Dog.Name}} ${1+1} %2e%2e%2fsecret.ts.mp4`,
	"🐕‍🦺 מילה قط.mp4",
	strings.Repeat("n", 196) + ".mp4",
	strings.Repeat("ü", 120) + ".mp4",
	"-i.mp4",
	"concat:walk.mp4|secret.ts.mp4",
	"two\nlines\ttab.mp4",
	`back\slash.mp4`,
	"not utf8 \xff\xfe.mp4",
	" space .mp4",
}

// lists are texts that have a player open another file; %s is the secret's path.
var lists = map[string]string{
	"absolute.mp4": "#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\n%s\n#EXT-X-ENDLIST\n",
	"url.mp4":      "#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\nfile://%s\n#EXT-X-ENDLIST\n",
	"key.mp4":      "#EXTM3U\n#EXT-X-KEY:METHOD=AES-128,URI=\"file://%s\"\n#EXTINF:10,\nother.ts\n#EXT-X-ENDLIST\n",
	"map.mp4":      "#EXTM3U\n#EXT-X-MAP:URI=\"%s\"\n#EXTINF:10,\nother.ts\n#EXT-X-ENDLIST\n",
	"concat.mp4":   "ffconcat version 1.0\nfile '%s'\n",
	"marked.mp4":   "\xef\xbb\xbf\r\n#EXTM3U\n#EXTINF:10,\n%s\n",
	"dash.mp4":     "<MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\"><Period><AdaptationSet><Representation><BaseURL>%s</BaseURL></Representation></AdaptationSet></Period></MPD>",
	"image.mp4":    "<svg xmlns='http://www.w3.org/2000/svg'><image href='file://%s'/></svg>",
	"script.mp4":   "AVS\nimport(%q)\n",
}

// wildFootage is a folder of footage as it comes, and one with lists.
type wildFootage struct {
	folder, lists string
	secret        string            // path of the file that nobody chose
	wants         map[string]string // by path: part of what is said, "" for nothing
	good          map[string]bool   // by path: is added
}

// wildIn makes such folders below home.
func wildIn(t testing.TB, home string) *wildFootage {
	t.Helper()
	w := &wildFootage{folder: filepath.Join(home, "Mill Meadow <9 May>"), lists: filepath.Join(home, "lists"), wants: map[string]string{}, good: map[string]bool{}}
	for _, dir := range []string{w.folder, w.lists} {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	file := func(dir, name string, content []byte) (path string) {
		t.Helper()
		path = filepath.Join(dir, name)
		if err := os.WriteFile(path, content, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	content := func(clip string) []byte {
		t.Helper()
		b, err := os.ReadFile(mediatest.Make(t, clip).Path)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	for name, f := range badFiles {
		b := []byte("WEBM, or so the name says")
		if f.clip != "" {
			b = content(f.clip)
		}
		w.wants[file(w.folder, name, b)] = f.says
	}
	for name, f := range goodFiles {
		path := file(w.folder, name, content(f.clip))
		w.wants[path], w.good[path] = f.says, true
	}
	for i, name := range strangeNames {
		if runtime.GOOS == "windows" && (strings.ContainsAny(name, "<>:\"|?*\n\t\\") || !utf8.ValidString(name)) {
			continue
		}
		path := file(w.folder, name, boxed(content("dated"), i))
		w.wants[path], w.good[path] = "", true
	}
	// The secret is a film that could be read, should anybody open it.
	w.secret = file(w.lists, "secret.ts", append(content("mpegts"), secret...))
	for name, text := range lists {
		w.wants[file(w.lists, name, fmt.Appendf(nil, text, w.secret))] = "This is"
	}
	for _, clip := range []string{"playlist", "ffconcat"} { // they name secret.ts beside them
		w.wants[file(w.lists, clip+".mp4", content(clip))] = "This is a list of other files"
	}
	return w
}

// boxed appends an empty box with a number, so that the film is the same and the
// file is not.
func boxed(film []byte, n int) []byte {
	film = binary.BigEndian.AppendUint32(slices.Clone(film), 12)
	return binary.BigEndian.AppendUint32(append(film, "free"...), uint32(n))
}

// chosen are the paths to give: the folder, and each list by itself.
func (w *wildFootage) chosen() []string {
	paths := []string{w.folder}
	for path := range w.wants {
		if filepath.Dir(path) == w.lists {
			paths = append(paths, path)
		}
	}
	return paths
}
