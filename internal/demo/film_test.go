package demo

import (
	"encoding/binary"
	"fmt"
	"math"
	"os/exec"
	"testing"

	"afterwalk/annotate"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
	"afterwalk/internal/demo/scene"
	"afterwalk/internal/media/mediatest"
)

// decoded returns what ffmpeg makes of a film.
func decoded(t *testing.T, args ...string) []byte {
	t.Helper()
	out, err := exec.Command(mediatest.Tools(t).FFmpeg, append([]string{"-v", "error"}, args...)...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Frame k of a film shows moment k of the outing, not one close by.
func TestFilmsShowWhatWasPlayed(t *testing.T) {
	mediatest.Tools(t)
	films, err := unpack(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	camera := scene.NewCamera(1280, 720)
	fields := map[string]paint.Picture{}
	for i, o := range outing.Clips() {
		run, table := outing.Play(o), facts()[i].Frames
		field, ok := fields[o.Venue]
		if !ok {
			field = scene.Field(camera, o.Venue)
			fields[o.Venue] = field
		}
		k := 104 + 7*i // they move then
		middle := (table.PTS[k-1] + table.PTS[k]).Seconds() / 2
		film := decoded(t, "-ss", fmt.Sprintf("%.6f", middle), "-i", "file:"+films[i], "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "rgba", "pipe:1")
		if len(film) != 1280*720*4 {
			t.Fatalf("%s, frame %d: %d bytes decoded", o.Name, k, len(film))
		}
		off := map[int]float64{} // by frame, sum of differences
		for _, j := range []int{k - 3, k, k + 3} {
			p := paint.New(1280, 720)
			scene.Draw(p, camera, field, run.Frames[j])
			for row := 0; row < 720; row += 4 { // some rows will do
				for b := row * 1280 * 4; b < (row+1)*1280*4; b++ {
					off[j] += math.Abs(float64(film[b]) - float64(p.Pix[b]))
				}
			}
		}
		if mean := off[k] / float64(len(film)/4); mean > 3 {
			t.Errorf("%s, frame %d is %.1f levels off what was played", o.Name, k, mean)
		}
		if off[k] >= off[k-3] || off[k] >= off[k+3] {
			t.Errorf("%s, frame %d is nearer to another moment: %v", o.Name, k, off)
		}
	}
}

// What the handler says is heard when it is said.
func TestFilmsAreHeardInTime(t *testing.T) {
	mediatest.Tools(t)
	films, err := unpack(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	const rate = 8000
	for i, s := range Stories() {
		sound := decoded(t, "-i", "file:"+films[i], "-af", fmt.Sprintf("aresample=%d:async=1:first_pts=0", rate), "-ac", "1", "-f", "s16le", "pipe:1")
		loudness := func(from, to float64) float64 {
			sum, n := 0.0, 0
			for k := int(from * rate); k < int(to*rate); k++ {
				v := float64(int16(binary.LittleEndian.Uint16(sound[2*k:])))
				sum += v * v
				n++
			}
			return math.Sqrt(sum / float64(n))
		}
		spoken := map[string]bool{"name": true, "heel": true, "sit": true, "down": true, "come": true, "place": true, "marker": true, "release": true, "praise": true, "voice": true, "tone": true}
		last := -annotate.Second
		for _, e := range events(t, s.Truth) {
			if !spoken[e.Code] {
				continue
			}
			quiet := e.Start-last > annotate.Second
			last = e.Start
			at := (e.Start + annotate.Second/100).Seconds()
			if during, before := loudness(at, at+0.12), loudness(at-0.06, at-0.02); quiet && during < 1.5*before || during < 800 {
				t.Errorf("%s: %s at %.2f s is as loud as %.0f, before it %.0f", s.Name, e.Code, at, during, before)
			}
		}
	}
}
