package media

import (
	"errors"
	"fmt"
	"testing"
	"time"
)

func TestRotation(t *testing.T) {
	for _, c := range []struct {
		side, tag string
		want      int
	}{
		{"", "", 0}, {"-90", "", 90}, {"90", "", 270}, {"180", "", 180}, {"-180", "", 180}, {"-270", "", 270}, {"0", "", 0},
		{"", "90", 90}, {"", "270", 270}, {"", "-90", 270}, {"-90", "180", 90},
		{"-90.000000", "", 90}, {"45", "", 0}, {"nan", "", 0}, {"-nan", "", 0}, {"1e300", "", 0}, {"", "upright", 0},
	} {
		s := stream{Tags: map[string]string{"rotate": c.tag}}
		if c.side != "" {
			s.SideData = append(s.SideData, struct {
				Rotation text `json:"rotation"`
			}{text(c.side)})
		}
		if got := rotation(&s); got != c.want {
			t.Errorf("rotation(side data %q, tag %q) = %d, want %d", c.side, c.tag, got, c.want)
		}
	}
}

func TestVariable(t *testing.T) {
	for _, c := range []struct {
		average, smallest text
		fields            string
		want              bool
	}{
		{"30/1", "30/1", "progressive", false},
		{"30000/1001", "30000/1001", "", false},
		{"36000/1201", "30000/1001", "progressive", false}, // a rounded length
		{"14400000/597161", "90000/1", "progressive", true},
		{"17982/600", "600/1", "", true},
		{"25/1", "50/1", "tt", false}, // fields
		{"25/1", "50/1", "progressive", true},
		{"0/0", "90000/1", "", false},
		{"", "", "", false},
	} {
		if got := variable(&stream{Average: c.average, Smallest: c.smallest, Fields: c.fields}); got != c.want {
			t.Errorf("variable(average %s, smallest %s, fields %q) = %v, want %v", c.average, c.smallest, c.fields, got, c.want)
		}
	}
}

func TestRecorded(t *testing.T) {
	now := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name, apple, file, track string
		want                     string // UTC; "" none
		by, zone                 string
	}{
		{"Apple's first, with its zone", "2026-05-02T18:03:11+0200", "2026-05-02T16:03:14.000000Z", "", "2026-05-02T16:03:11Z", "quicktime", "+02:00"},
		{"zone with a colon, west", "2026-05-02T08:03:11-07:30", "", "", "2026-05-02T15:33:11Z", "quicktime", "-07:30"},
		{"Apple's in UTC", "2026-05-02T16:03:11Z", "", "", "2026-05-02T16:03:11Z", "quicktime", ""},
		{"the file's", "", "2026-05-02T16:03:14.000000Z", "2026-05-02T16:03:15.000000Z", "2026-05-02T16:03:14Z", "creation_time", ""},
		{"the track's", "", "", "2026-05-02T16:03:15.000000Z", "2026-05-02T16:03:15Z", "creation_time", ""},
		{"a clock that was never set: 1904", "", "1904-01-01T00:00:00.000000Z", "", "", "", ""},
		{"1970, then the track's", "", "1970-01-01T00:00:00.000000Z", "2026-05-02T16:03:15.000000Z", "2026-05-02T16:03:15Z", "creation_time", ""},
		{"1980", "", "1980-01-06T00:00:00.000000Z", "", "", "", ""},
		{"from the future: 1904 taken for 1970", "", "2092-05-01T16:03:14.000000Z", "", "", "", ""},
		{"no zone, no date", "2026-05-02T18:03:11", "2026-05-02", "yesterday", "", "", ""},
		{"none", "", "", "", "", "", ""},
	} {
		var a answer
		a.Format.Tags = map[string]string{"com.apple.quicktime.creationdate": c.apple, "creation_time": c.file}
		at, by, zone := recorded(a, &stream{Tags: map[string]string{"creation_time": c.track}}, now)
		got := ""
		if at != nil {
			got = at.UTC().Format(time.RFC3339Nano)
		}
		if got != c.want || by != c.by || zone != c.zone {
			t.Errorf("%s: got %q by %q, zone %q, want %q by %q, zone %q", c.name, got, by, zone, c.want, c.by, c.zone)
		}
	}
}

func TestPlayable(t *testing.T) {
	for _, c := range []struct {
		format, video, audio string
		proxy, silent        bool
	}{
		{"mov,mp4,m4a,3gp,3g2,mj2", "h264", "aac", false, false},
		{"mov,mp4,m4a,3gp,3g2,mj2", "h264", "pcm_s16le", false, false},
		{"mov,mp4,m4a,3gp,3g2,mj2", "av1", "", false, false},
		{"matroska,webm", "vp8", "vorbis", false, false},
		{"matroska,webm", "h264", "eac3", false, true},
		{"mov,mp4,m4a,3gp,3g2,mj2", "h264", "amr_nb", false, true},
		{"mov,mp4,m4a,3gp,3g2,mj2", "hevc", "ac3", true, false},
		{"mov,mp4,m4a,3gp,3g2,mj2", "", "aac", true, false},
		{"mpegts", "h264", "aac", true, false},
		{"avi", "mpeg4", "mp3", true, false},
	} {
		p := Probe{Format: c.format, Video: c.video, Audio: c.audio}
		p.NeedsProxy = needsProxy(p)
		if proxy, quiet := p.NeedsProxy != "", silent(p) != ""; proxy != c.proxy || quiet != c.silent {
			t.Errorf("%s %s %s: needs a proxy %v, silent %v, want %v, %v", c.format, c.video, c.audio, proxy, quiet, c.proxy, c.silent)
		}
	}
}

// Whatever ffprobe answers, a probe makes sense or a fault says why not.
func FuzzParseProbe(f *testing.F) {
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"streams":[{"codec_type":"video","width":1e400,"sample_aspect_ratio":"0:1","side_data_list":[{"rotation":-90}],"nb_frames":"-5"}],"format":{"duration":"nan","start_time":9e99}}`))
	f.Add([]byte(`{"streams":[{"codec_type":"video","width":1920,"height":1080,"sample_aspect_ratio":"4:3","avg_frame_rate":"30/0"}],"format":{"tags":{"creation_time":"0000-00-00T00:00:00Z"}}}`))
	f.Fuzz(func(t *testing.T, in []byte) {
		p, err := parseProbe(in, time.Unix(1780000000, 0))
		var fault *Fault
		if err != nil {
			if !errors.As(err, &fault) || fault.Message == "" {
				t.Fatalf("error %v is no fault", err)
			}
			return
		}
		if p.Width < 0 || p.Height < 0 || p.Width > 100<<16 || p.Height > 100<<16 || p.Duration < 0 || p.Frames < 0 || p.FrameRate < 0 || p.Rotation%90 != 0 || p.Rotation < 0 || p.Rotation > 270 {
			t.Fatalf("no sense in %s", fmt.Sprintf("%+v", p))
		}
	})
}
