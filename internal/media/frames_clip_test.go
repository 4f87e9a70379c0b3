package media_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/media/mediatest"
)

// Times are known from how each clip was made; none comes from ffprobe.
func TestFramesOfClips(t *testing.T) {
	tools := mediatest.Tools(t)
	for _, name := range append(mediatest.Playable(), "mkv", "phone", "cover", "hevc", "hevc-silent", "mpeg4", "mjpeg", "ac3") {
		t.Run(name, func(t *testing.T) {
			clip := mediatest.Make(t, name)
			last := -1.0
			table, err := tools.Frames(t.Context(), clip.Path, func(done float64) {
				if done < last || done > 1 {
					t.Errorf("progress went from %v to %v", last, done)
				}
				last = done
			})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(clip.PTS, table.PTS); diff != "" {
				t.Errorf("times differ from those it was made with (-want +got):\n%s", diff)
			}
			// The last frame lasts about as long as the others.
			if length := table.End - table.PTS[len(table.PTS)-1]; length < 10_000 || length > 80_000 {
				t.Errorf("the last frame lasts %d µs", length)
			}
			if table.Warning != "" {
				t.Errorf("warning %q for a sound clip", table.Warning)
			}
			if last != 1 {
				t.Errorf("progress ended at %v, want 1", last)
			}
		})
	}
}
