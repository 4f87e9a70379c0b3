package media_test

import (
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
)

var update = flag.Bool("update", false, "write the answers of this computer's ffprobe into testdata")

// now is the day on which the clips' dates are judged.
var now = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)

func at(y int, m time.Month, d, h, min, s, offset int) *time.Time {
	t := time.Date(y, m, d, h, min, s, 0, time.FixedZone("", offset))
	return &t
}

const (
	mp4  = "mov,mp4,m4a,3gp,3g2,mj2"
	mkv  = "matroska,webm"
	none = "[0][0][0][0]"
)

// What each clip is, by the way it was made. Lengths are those of the container,
// which rounds to milliseconds and counts the sound.
var probes = map[string]media.Probe{
	"cfr30":    {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "aac", Duration: 5_000_000, FrameRate: 30, Frames: 150},
	"vfr90k":   {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "aac", Duration: 6_640_000, FrameRate: 160 * 90000 / 597161., Variable: true, Frames: 160},
	"longgop":  {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Duration: 6_667_000, FrameRate: 30, Frames: 200},
	"rotated":  {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 180, Height: 320, Rotation: 90, Duration: 4_000_000, FrameRate: 30, Frames: 120},
	"editlist": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "aac", Duration: 4_300_000, FrameRate: 30, Frames: 180},
	// The sound's lead-in of 1024 samples of 44100 lies before 1.5 s, cut down to 1/44100 s twice.
	"start15": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "aac", Duration: 5_500_000, Start: 1_476_009, FrameRate: 30, Frames: 120},
	// 120 frames in 2402 ticks of 1/600 s: the muxer's rounding of 1001/30000 s.
	"mov":  {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "pcm_s16le", Duration: 4_004_000, FrameRate: 120 * 600 / 2402., Frames: 120},
	"webm": {Format: mkv, Video: "vp9", VideoTag: none, Width: 320, Height: 180, Audio: "opus", Duration: 4_008_000, Start: -7000, FrameRate: 30},
	"mkv":  {Format: mkv, Video: "h264", VideoTag: none, Width: 320, Height: 180, Audio: "aac", Duration: 2_023_000, FrameRate: 30},
	"phone": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 180, Height: 320, Rotation: 90, Audio: "aac", Duration: 2_000_000, FrameRate: 30, Frames: 60,
		RecordedAt: at(2026, 5, 2, 18, 3, 11, 2*3600), RecordedBy: "quicktime", RecordedZone: "+02:00"},
	"dated": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Duration: 1_000_000, FrameRate: 30, Frames: 30,
		RecordedAt: at(2026, 5, 9, 7, 30, 0, 0), RecordedBy: "creation_time"},
	"cover": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Duration: 1_000_000, FrameRate: 30, Frames: 30},
	"wide":  {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 427, Height: 180, Duration: 1_000_000, FrameRate: 30, Frames: 30},
	"hevc": {Format: mp4, Video: "hevc", VideoTag: "hvc1", Width: 320, Height: 180, Audio: "aac", Duration: 2_000_000, FrameRate: 30, Frames: 60,
		NeedsProxy: "The picture is coded as HEVC (H.265), which few browsers play, so this clip needs a proxy: a copy of it in a form that all play."},
	"hevc-silent": {Format: mp4, Video: "hevc", VideoTag: "hvc1", Width: 320, Height: 180, Duration: 2_000_000, FrameRate: 30, Frames: 60,
		NeedsProxy: "The picture is coded as HEVC (H.265), which few browsers play, so this clip needs a proxy: a copy of it in a form that all play."},
	"mpeg4": {Format: mp4, Video: "mpeg4", VideoTag: "mp4v", Width: 320, Height: 180, Duration: 2_000_000, FrameRate: 30, Frames: 60,
		NeedsProxy: "The picture is coded as MPEG-4 part 2, which browsers don't play, so this clip needs a proxy: a copy of it in a form that they play."},
	"mjpeg": {Format: mp4, Video: "mjpeg", VideoTag: "jpeg", PixelFormat: "yuvj420p", Width: 320, Height: 180, Duration: 1_000_000, FrameRate: 30, Frames: 30,
		NeedsProxy: "The picture is coded as Motion JPEG, which browsers don't play, so this clip needs a proxy: a copy of it in a form that they play."},
	"mpegts": {Format: "mpegts", Video: "h264", VideoTag: "[27][0][0][0]", Width: 320, Height: 180, Audio: "aac", Duration: 2_023_223, Start: 1_443_444, FrameRate: 30,
		NeedsProxy: "Browsers can't open MPEG-TS files, so this clip needs a proxy: a copy of it in a form that they play."},
	"avi": {Format: "avi", Video: "h264", VideoTag: "H264", Width: 320, Height: 180, Audio: "mp3", Duration: 2_089_796, FrameRate: 30, Frames: 60,
		NeedsProxy: "Browsers can't open AVI files, so this clip needs a proxy: a copy of it in a form that they play."},
	"ac3": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "ac3", Duration: 1_005_000, FrameRate: 30, Frames: 30,
		Silent: "The sound is coded as AC-3, which browsers don't play: the picture will run in silence."},
	"truncated": {Format: mp4, Video: "h264", VideoTag: "avc1", Width: 320, Height: 180, Audio: "aac", Duration: 5_000_000, FrameRate: 30, Frames: 150},
}

// faults are the kinds of fault of the clips that are none.
var faults = map[string]string{
	"audio": "no-picture", "nomoov": "damaged", "noise": "damaged", "zeros": "damaged", "empty": "empty", "text": "not-video",
	"playlist": "playlist", "ffconcat": "playlist", "sdp": "playlist", "dash": "playlist",
}

func wanted(name string) media.Probe {
	p := probes[name]
	if p.PixelFormat == "" {
		p.PixelFormat = "yuv420p"
	}
	return p
}

// The stored answers need no ffprobe; -update fetches them from the one that is
// installed.
func TestParseProbe(t *testing.T) {
	for name := range probes {
		t.Run(name, func(t *testing.T) {
			golden := filepath.Join("testdata", name+".json")
			if *update {
				clip := mediatest.Make(t, name)
				out, err := exec.Command(mediatest.Tools(t).FFprobe, media.ProbeArgs(clip.Path)...).Output()
				if err == nil {
					err = os.WriteFile(golden, out, 0o644)
				}
				if err != nil {
					t.Fatal(err)
				}
			}
			data, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			got, err := media.ParseProbe(data, now)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(wanted(name), got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestProbeOfClips(t *testing.T) {
	tools := mediatest.Tools(t)
	for name := range probes {
		t.Run(name, func(t *testing.T) {
			clip := mediatest.Make(t, name)
			info, err := os.Stat(clip.Path)
			if err != nil {
				t.Fatal(err)
			}
			want := wanted(name)
			want.Size = info.Size()
			got, err := tools.Probe(t.Context(), clip.Path)
			if err != nil {
				t.Fatal(err)
			}
			// Encoders of other versions may pad the sound a little differently.
			near := cmp.Comparer(func(a, b annotate.Micros) bool { return a-b < 50_000 && b-a < 50_000 })
			if diff := cmp.Diff(want, got, near); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestFaultsOfClips(t *testing.T) {
	tools := mediatest.Tools(t)
	for name, kind := range faults {
		t.Run(name, func(t *testing.T) {
			clip := mediatest.Make(t, name)
			for what, read := range map[string]func() error{
				"Probe":  func() error { _, err := tools.Probe(t.Context(), clip.Path); return err },
				"Frames": func() error { _, err := tools.Frames(t.Context(), clip.Path, nil); return err },
			} {
				err := read()
				var fault *media.Fault
				if !errors.As(err, &fault) || fault.Kind != kind {
					t.Errorf("%s: got %v, want a fault of kind %s", what, err, kind)
					continue
				}
				if strings.Contains(fault.Error(), filepath.Dir(clip.Path)) || fault.Hint == "" {
					t.Errorf("%s: %q names a folder, or has no hint", what, fault)
				}
			}
		})
	}
}

// Should a list get past the first look, ffprobe refuses it by itself.
func TestListsAreRefusedTwice(t *testing.T) {
	tools := mediatest.Tools(t)
	secret := mediatest.Make(t, "mpegts")
	for _, name := range []string{"playlist", "ffconcat", "sdp", "dash"} {
		dir := t.TempDir()
		secret.CopyTo(t, filepath.Join(dir, "secret.ts"))
		list := filepath.Join(dir, "list.mp4")
		mediatest.Make(t, name).CopyTo(t, list)
		for _, args := range [][]string{media.ProbeArgs(list), media.FrameArgs(list)} {
			out, err := exec.Command(tools.FFprobe, args...).Output()
			if err == nil || strings.Contains(string(out), "h264") || strings.Contains(string(out), "packet,") {
				t.Errorf("ffprobe opened a %s: %v, %s", name, err, out)
			}
		}
	}
}

// Names that would be options, patterns or protocols are plain files.
func TestStrangeNames(t *testing.T) {
	tools := mediatest.Tools(t)
	clip := mediatest.Make(t, "dated")
	dir := t.TempDir()
	t.Chdir(dir)
	for _, name := range []string{"-i.mp4", "concat:a|b %d.mp4", "a\nb'\" ß 犬.mp4", "file:x.mp4", "%03d.mp4"} {
		clip.CopyTo(t, filepath.Join(dir, name))
		p, err := tools.Probe(t.Context(), name)
		if err != nil || p.Frames != clip.Frames {
			t.Errorf("Probe(%q) = %d frames, %v, want %d", name, p.Frames, err, clip.Frames)
		}
		table, err := tools.Frames(t.Context(), name, nil)
		if err != nil || len(table.PTS) != clip.Frames {
			t.Errorf("Frames(%q) = %d frames, %v, want %d", name, len(table.PTS), err, clip.Frames)
		}
	}
}

// A cut-off clip gives the frames that are there, and says so.
func TestFramesOfCutOffClips(t *testing.T) {
	tools := mediatest.Tools(t)
	whole := mediatest.Make(t, "cfr30")
	for name, want := range map[string]string{"truncated": "should run to 0:05", "cutmkv": "its end is missing"} {
		table, err := tools.Frames(t.Context(), mediatest.Make(t, name).Path, nil)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if n := len(table.PTS); n < 20 || n >= whole.Frames || !strings.Contains(table.Warning, want) {
			t.Errorf("%s: %d frames, warning %q", name, n, table.Warning)
		}
	}
}
