package media

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"time"

	"afterwalk/annotate"
)

// answer is ffprobe's JSON, as far as it is read.
type answer struct {
	Format struct {
		Name     string            `json:"format_name"`
		Duration text              `json:"duration"`
		Start    text              `json:"start_time"`
		Size     text              `json:"size"`
		Tags     map[string]string `json:"tags"`
	} `json:"format"`
	Streams []stream `json:"streams"`
}

// stream is one track of an answer.
type stream struct {
	Type        string            `json:"codec_type"`
	Codec       string            `json:"codec_name"`
	Tag         string            `json:"codec_tag_string"`
	PixelFormat string            `json:"pix_fmt"`
	Width       text              `json:"width"`
	Height      text              `json:"height"`
	Aspect      text              `json:"sample_aspect_ratio"`
	Fields      string            `json:"field_order"`
	Transfer    string            `json:"color_transfer"`
	Base        text              `json:"time_base"`
	Channels    text              `json:"channels"`
	Average     text              `json:"avg_frame_rate"`
	Smallest    text              `json:"r_frame_rate"`
	Duration    text              `json:"duration"`
	Frames      text              `json:"nb_frames"`
	Tags        map[string]string `json:"tags"`
	Disposition struct {
		Cover text `json:"attached_pic"`
	} `json:"disposition"`
	SideData []struct {
		Rotation text `json:"rotation"`
	} `json:"side_data_list"`
}

// text is a number or string of the answer as written: ffprobe gives some
// numbers as strings.
type text string

// UnmarshalJSON takes a string or anything else as it stands.
func (t *text) UnmarshalJSON(b []byte) error {
	var s string
	if json.Unmarshal(b, &s) != nil {
		s = string(b)
	}
	*t = text(s)
	return nil
}

// number returns a finite number and whether there is one.
func (t text) number() (float64, bool) {
	f, err := strconv.ParseFloat(string(t), 64)
	return f, err == nil && !math.IsNaN(f) && !math.IsInf(f, 0)
}

// count returns a whole number from 0 to a million million, else 0.
func (t text) count() int {
	n, err := strconv.ParseInt(string(t), 10, 64)
	if err != nil || n < 0 || n > 1e12 {
		return 0
	}
	return int(n)
}

// ratio returns a/b of "a/b" or "a:b"; 0 if it is not a positive number.
func (t text) ratio() float64 {
	a, b, ok := strings.Cut(strings.Replace(string(t), ":", "/", 1), "/")
	if !ok {
		return 0
	}
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil || !(x > 0) || !(y > 0) || math.IsInf(x/y, 0) {
		return 0
	}
	return x / y
}

// micros returns seconds as Micros; 0 if there are none, or more than a year.
func (t text) micros() annotate.Micros {
	s, ok := t.number()
	if !ok || math.Abs(s) > 366*24*3600 {
		return 0
	}
	return annotate.FromSeconds(s)
}

// parseProbe reads ffprobe's answer. Size is left to the caller. Dates after now
// by more than a day are not believed. The error is a [Fault].
func parseProbe(data []byte, now time.Time) (Probe, error) {
	s, err := parseSource(data, now)
	return s.Probe, err
}

// source is a Probe with what a proxy needs to know besides.
type source struct {
	Probe
	base       timeBase // of the picture's track
	interlaced bool
	transfer   string // how light is coded, as ffprobe names it
	channels   int    // of the first sound track
}

// parseSource is parseProbe with what a proxy needs to know besides.
func parseSource(data []byte, now time.Time) (source, error) {
	var a answer
	if err := json.Unmarshal(data, &a); err != nil {
		return source{}, &Fault{Kind: "unreadable", Message: "What ffprobe says of the file makes no sense.",
			Hint: "See that ffprobe is of version 4 or newer.", Cause: err}
	}
	var video, audio *stream
	for i := range a.Streams {
		s := &a.Streams[i]
		switch {
		case s.Type == "video" && s.Disposition.Cover != "1" && video == nil:
			video = s
		case s.Type == "audio" && audio == nil:
			audio = s
		}
	}
	if video == nil {
		if audio != nil {
			return source{}, &Fault{Kind: "no-picture", Message: "The file has sound only; there is no picture in it.",
				Hint: "Choose the video that was recorded with it."}
		}
		return source{}, &Fault{Kind: "not-video", Message: "There is no picture and no sound in the file.",
			Hint: "Choose a video file."}
	}
	p := Probe{
		Format: a.Format.Name, Video: video.Codec, VideoTag: video.Tag, PixelFormat: video.PixelFormat,
		Duration: max(0, a.Format.Duration.micros()), Start: a.Format.Start.micros(),
		FrameRate: video.Average.ratio(), Frames: video.Frames.count(),
	}
	if p.Duration == 0 {
		p.Duration = max(0, video.Duration.micros())
	}
	more := source{interlaced: interlaced(video), transfer: video.Transfer}
	more.base.num, more.base.den, _ = fraction([]byte(video.Base))
	if audio != nil {
		p.Audio = audio.Codec
		more.channels = audio.Channels.count()
	}
	p.Variable = variable(video)
	p.Rotation = rotation(video)
	p.Width, p.Height = displayed(video, p.Rotation)
	p.RecordedAt, p.RecordedBy, p.RecordedZone = recorded(a, video, now)
	p.NeedsProxy = needsProxy(p)
	p.Silent = silent(p)
	more.Probe = p
	return more, nil
}

// interlaced reports whether a track's frames are made of two fields.
func interlaced(s *stream) bool {
	switch s.Fields {
	case "tt", "bb", "tb", "bt":
		return true
	}
	return false
}

// variable reports whether a track's frames come at uneven intervals: then the
// rate that would hold every one of them is higher than the average. Half a
// percent is left for averages over a trimmed or rounded length. Interlaced
// tracks may count fields, twice the frames.
func variable(s *stream) bool {
	average, smallest := s.Average.ratio(), s.Smallest.ratio()
	if average == 0 || smallest == 0 {
		return false
	}
	if interlaced(s) && math.Abs(smallest/average-2) < 0.01 {
		return false
	}
	return math.Abs(smallest/average-1) > 0.005
}

// rotation returns the clockwise turn at which a track is shown: 0, 90, 180 or
// 270. ffprobe's side data count counter-clockwise, the older tag clockwise.
// Turns that are no quarter turns are not carried out by browsers: 0.
func rotation(s *stream) int {
	turn, ok := 0.0, false
	for _, d := range s.SideData {
		if r, is := d.Rotation.number(); is {
			turn, ok = -r, true
			break
		}
	}
	if !ok {
		turn, ok = text(s.Tags["rotate"]).number()
	}
	if !ok || math.Abs(turn) > 3600 || math.Mod(turn, 90) != 0 {
		return 0
	}
	return ((int(turn) % 360) + 360) % 360
}

// displayed returns a track's width and height in square pixels, upright; like
// the browser it stretches the shorter side of a pixel that is not square.
func displayed(s *stream, rotation int) (width, height int) {
	w, h := min(s.Width.count(), 1<<16), min(s.Height.count(), 1<<16)
	if r := s.Aspect.ratio(); r > 1 && r < 100 {
		w = int(math.Round(float64(w) * r))
	} else if r > 0.01 && r < 1 {
		h = int(math.Round(float64(h) / r))
	}
	if rotation == 90 || rotation == 270 {
		w, h = h, w
	}
	return w, h
}
