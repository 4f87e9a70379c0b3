package server

import (
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
		{"to the end of a long file", "bytes=0-", 100 * mib, "bytes=0-4194303"},
		{"to the end from the middle", "bytes=1000-", 100 * mib, "bytes=1000-4195303"},
		{"to the end of a short file", "bytes=0-", 10, "bytes=0-9"},
		{"short range", "bytes=5-9", 100 * mib, "bytes=5-9"},
		{"exactly the cap", "bytes=0-4194303", 100 * mib, "bytes=0-4194303"},
		{"one more than the cap", "bytes=0-4194304", 100 * mib, "bytes=0-4194303"},
		{"end behind the file's", "bytes=8-5000", 10, "bytes=8-9"},
		{"one byte", "bytes=9-9", 10, "bytes=9-9"},
		{"last bytes", "bytes=-3", 10, "bytes=7-9"},
		{"more last bytes than there are", "bytes=-30", 10, "bytes=0-9"},
		{"very many last bytes", "bytes=-50000000", 100 * mib, "bytes=54857600-59051903"},
		{"first of several", "bytes=0-1, 4-5", 10, "bytes=0-1"},
		{"first of several that is there", "bytes=20-30,4-", 10, "bytes=4-9"},
		{"first of several, cut", "bytes=0-, 4-5", 100 * mib, "bytes=0-4194303"},
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
