package media_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
)

const track = "stream,30/1,1/1000,0,200,6\n"

func TestParseFrames(t *testing.T) {
	for _, c := range []struct {
		name, in, messages string
		want               media.FrameTable
	}{
		{"decoding order is sorted", "packet,0,40,1,K_\npacket,120,40,2,__\npacket,40,40,3,__\npacket,80,40,4,__\nstream,25/1,1/1000,0,160,4\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000, 80_000, 120_000}, End: 160_000}},
		{"frames never shown are dropped", "packet,-80,40,1,KD\npacket,-40,40,2,_D\npacket,0,40,3,__\npacket,40,40,4,__\npacket,80,40,5,_D_\nstream,25/1,1/1000,0,80,5\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000}},
		{"doubled packets, blank lines, trailing commas, other sections, line ends of Windows",
			"packet,0,40,1,K_,\r\npacket,0,40,1,K_\n\n\nprogram,stream,25/1,1/1000,0,80,N/A\npacket,40,40,2,__,side_data,\nstream,25/1,1/1000,0,80,N/A\nformat,x\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000}},
		{"no length known: the usual interval", "packet,0,N/A,1,K_\npacket,40,N/A,2,__\npacket,80,N/A,2,__\nstream,25/1,1/1000,0,N/A,N/A\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000, 80_000}, End: 120_000}},
		{"a last length that can't be: the usual interval", "packet,0,1,1,K_\npacket,40,1,2,__\npacket,80,1,2,__\nstream,25/1,1/1000,0,9000,3\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000, 80_000}, End: 120_000}},
		{"uneven frames: the track's end", "packet,0,N/A,1,K_\npacket,40,N/A,2,__\npacket,90,N/A,2,__\nstream,25/1,1/1000,0,127,3\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000, 90_000}, End: 127_000}},
		{"a single frame: the mean rate", "packet,5,N/A,1,K_\nstream,25/1,1/1000,N/A,N/A,N/A\n", "",
			media.FrameTable{PTS: []annotate.Micros{5_000}, End: 45_000}},
		{"two ticks in one microsecond are one frame", "packet,0,1,1,K_\npacket,1,1,1,__\npacket,40000000,1,2,__\nstream,25/1,1/1000000000,N/A,N/A,N/A\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000}},
		{"some without time", "packet,0,40,1,K_\npacket,N/A,40,2,__\npacket,80,40,3,__\nstream,25/1,1/1000,0,120,3\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 80_000}, End: 120_000, Warning: "1 frames have no time of their own and are left out; stepping passes over them."}},
		{"cut off by ffprobe's word", "packet,0,40,1,K_\npacket,40,40,2,__\nstream,25/1,1/1000,0,N/A,N/A\n", "[mov @ 0x1] stream 0, offset 0x1: partial file\n",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000, Warning: "The file is cut off: its end is missing. What is there can be coded; copy it from the camera again if you can."}},
		{"cut off by count and time", "packet,0,40,1,K_\npacket,40,40,2,__\nstream,25/1,1/1000,0,61000,1525\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000, Warning: "The file is cut off: it should run to 1:01, but its picture ends at 0:00. What is there can be coded; copy it from the camera again if you can."}},
		{"fewer frames by an edit list are not cut off", "packet,0,40,1,K_\npacket,40,40,2,__\nstream,25/1,1/1000,0,80,1525\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000}},
		{"a line longer than any buffer is passed over", "packet,0,40,1,K_\npacket," + strings.Repeat("9", 200_000) + ",40,2,__\npacket,40,40,3,__\nstream,25/1,1/1000,0,80,2\n", "",
			media.FrameTable{PTS: []annotate.Micros{0, 40_000}, End: 80_000}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := media.ParseFrames(strings.NewReader(c.in), c.messages)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestParseFramesFaults(t *testing.T) {
	for _, c := range []struct{ name, in, kind string }{
		{"no packet times at all", "packet,N/A,1,5,K_\npacket,N/A,1,9,__\n" + track, "no-timestamps"},
		{"no tick length", "packet,0,1,5,K_\nstream,25/1,0/0,0,1,1\n", "no-timestamps"},
		{"no packets", track, "damaged"},
		{"only packets that are never shown", "packet,0,1,5,KD\n" + track, "damaged"},
		{"no track", "", "no-picture"},
		{"times beyond measure", "packet,9223372036854775807,1,5,K_\nstream,25/1,1/1,0,1,1\n", "damaged"},
	} {
		_, err := media.ParseFrames(strings.NewReader(c.in), "")
		var fault *media.Fault
		if !errors.As(err, &fault) || fault.Kind != c.kind {
			t.Errorf("%s: got %v, want a fault of kind %s", c.name, err, c.kind)
		}
	}
}

// Whatever ffprobe writes, a table is sorted, without doubles, and ends after its
// last frame.
func FuzzParseFrames(f *testing.F) {
	f.Add([]byte("packet,0,40,1,K_\npacket,120,40,2,__\npacket,40,N/A,3,_D\n\nprogram,stream\n"+track), "partial file")
	f.Add([]byte("packet,-9223372036854775808,9223372036854775807,1,K_\npacket,9223372036854775807,1,1,\nstream,0/0,1/90000,9223372036854775807,9223372036854775807,1\n"), "")
	f.Add([]byte("packet,,,,\nstream,,,,,\nstream,1/1,4294967295/1,1,1,1\npacket,1,1,1,_\npacket,2,1,1,_"), "")
	f.Fuzz(func(t *testing.T, in []byte, messages string) {
		table, err := media.ParseFrames(strings.NewReader(string(in)), messages)
		if err != nil {
			var fault *media.Fault
			if !errors.As(err, &fault) || fault.Message == "" {
				t.Fatalf("error %v is no fault", err)
			}
			return
		}
		n := len(table.PTS)
		if n == 0 || !slices.IsSorted(table.PTS) || len(slices.Compact(slices.Clone(table.PTS))) != n || table.End <= table.PTS[n-1] {
			t.Fatalf("table is not in order: %+v", table)
		}
	})
}
