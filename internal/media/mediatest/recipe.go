package mediatest

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"os"
	"slices"

	"afterwalk/annotate"
)

// The size of a frame as stored, and the usual rate.
const (
	width  = 320
	height = 180
	rate   = 30
)

// recipe says how a clip is made.
type recipe struct {
	ext     string
	frames  int                 // drawn
	rate    string              // of the drawn frames, 30 if empty
	turn    int                 // degrees clockwise by which they are shown; drawn turned the other way
	sound   bool                // a tone as long as the picture goes with it
	args    []string            // of ffmpeg, between inputs and output
	from    string              // made from this clip in place of drawn frames; args then follow its input
	before  []string            // arguments before that input
	change  func([]byte) []byte // of the finished file, or of nothing where there is nothing to encode
	bare    bool                // no ffmpeg: change makes the file
	first   int                 // number of the first frame shown
	shown   int                 // frames shown; frames if 0, none if -1
	pts     func(k int) annotate.Micros
	version int // of what code does beside args: count up to have it made again
}

func x264(more ...string) []string {
	return append([]string{"-c:v", "libx264", "-preset", "veryfast", "-pix_fmt", "yuv420p", "-crf", "20"}, more...)
}

func x265(pixels string, more ...string) []string {
	return append([]string{"-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=error", "-tag:v", "hvc1", "-pix_fmt", pixels}, more...)
}

func even(k int) annotate.Micros { return us(k, 1, rate) }

// us returns k·num/den seconds, rounded as [annotate.Micros].
func us(k, num, den int) annotate.Micros {
	n := int64(k) * int64(num) * 1e6
	return annotate.Micros((2*n + int64(den)) / (2 * int64(den)))
}

// millis are even times in whole milliseconds, all of Matroska's clock. Its muxer
// shifts everything by the sound codec's lead-in, so that this starts at 0:
// 312 samples of 48000 for Opus, 1024 of 44100 for AAC.
func millis(lead int) func(k int) annotate.Micros {
	return func(k int) annotate.Micros { return annotate.Micros((2*k*1000+rate)/(2*rate)+lead) * 1000 }
}

// jitter is the time of frame k of the uneven clip, in ticks of 1/90000 s: about
// 30 frames a second that come early and late, every ninth missing, and two
// holes of a third of a second. uneven says the same to ffmpeg.
func jitter(k int) int {
	t := k*3000 + k/8*3000 + k*k*37%1200
	if k >= 50 {
		t += 30000
	}
	if k >= 110 {
		t += 30000
	}
	return t
}

const uneven = "settb=1/90000,setpts='N*3000+floor(N/8)*3000+mod(N*N*37,1200)+30000*gte(N,50)+30000*gte(N,110)'"

var exact = []string{"-fps_mode", "passthrough", "-enc_time_base", "1/90000", "-video_track_timescale", "90000"}

var recipes = map[string]recipe{
	// What browsers play.
	"cfr30":    {ext: "mp4", frames: 150, sound: true, args: x264("-g", "48", "-bf", "3", "-c:a", "aac", "-movflags", "+faststart"), pts: even},
	"vfr90k":   {ext: "mp4", frames: 160, sound: true, args: slices.Concat([]string{"-vf", uneven}, x264("-g", "30", "-bf", "2", "-c:a", "aac"), exact), pts: func(k int) annotate.Micros { return us(jitter(k), 1, 90000) }},
	"longgop":  {ext: "mp4", frames: 200, args: x264("-g", "300", "-keyint_min", "300", "-sc_threshold", "0", "-bf", "3"), pts: even},
	"rotated":  {ext: "mp4", frames: 120, turn: 90, args: x264("-g", "30"), change: shownAt(90), pts: even},
	"editlist": {ext: "mp4", from: "source", before: []string{"-ss", "1.7"}, args: []string{"-c", "copy"}, first: 51, shown: 129, pts: even},
	"start15":  {ext: "mp4", frames: 120, sound: true, args: x264("-g", "30", "-bf", "2", "-c:a", "aac", "-output_ts_offset", "1.5"), pts: func(k int) annotate.Micros { return 1_500_000 + even(k) }},
	"mov": {ext: "mov", frames: 120, rate: "30000/1001", sound: true, args: x264("-g", "30", "-bf", "2", "-c:a", "pcm_s16le", "-video_track_timescale", "600"),
		pts: func(k int) annotate.Micros { return us((2*k*1001*600+30000)/(2*30000), 1, 600) }},
	"webm": {ext: "webm", frames: 120, sound: true, args: []string{"-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "400k", "-g", "30", "-pix_fmt", "yuv420p", "-c:a", "libopus"},
		pts: millis(7)},
	"mkv":    {ext: "mkv", frames: 60, sound: true, args: x264("-g", "30", "-c:a", "aac"), pts: millis(23)},
	"phone":  {ext: "mov", frames: 60, turn: 90, sound: true, args: x264("-g", "30", "-c:a", "aac", "-movflags", "use_metadata_tags", "-metadata", "com.apple.quicktime.creationdate=2026-05-02T18:03:11+0200", "-metadata", "creation_time=2026-05-02T16:03:14Z"), change: shownAt(90), pts: even},
	"dated":  {ext: "mp4", frames: 30, args: x264("-metadata", "creation_time=2026-05-09T07:30:00Z"), pts: even},
	"wide":   {ext: "mp4", frames: 30, args: x264("-vf", "setsar=4/3"), pts: even},
	"cover":  {ext: "mp4", from: "dated", before: nil, args: []string{"-f", "lavfi", "-i", "color=red:s=64x64:d=0.04", "-map", "1:v", "-map", "0:v", "-c:v:0", "mjpeg", "-pix_fmt:v:0", "yuvj420p", "-c:v:1", "copy", "-disposition:v:0", "attached_pic"}, shown: 30, pts: even},
	"source": {ext: "mp4", frames: 180, sound: true, args: x264("-g", "60", "-bf", "2", "-c:a", "aac"), pts: even},

	// Long enough to code a training session in: 75 s, of a known day.
	"session": {ext: "mp4", frames: 2250, sound: true, args: x264("-g", "15", "-bf", "2", "-c:a", "aac", "-movflags", "+faststart", "-metadata", "creation_time=2026-05-09T07:30:00Z"), pts: even},

	// What they don't.
	"hevc":        {ext: "mp4", frames: 60, sound: true, args: []string{"-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=error", "-tag:v", "hvc1", "-pix_fmt", "yuv420p", "-c:a", "aac"}, pts: even},
	"hevc-silent": {ext: "mp4", frames: 60, args: []string{"-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=error", "-tag:v", "hvc1", "-pix_fmt", "yuv420p"}, pts: even},
	"mpeg4":       {ext: "mp4", frames: 60, args: []string{"-c:v", "mpeg4", "-q:v", "4"}, pts: even},
	"mjpeg":       {ext: "mov", frames: 30, args: []string{"-c:v", "mjpeg", "-q:v", "4", "-pix_fmt", "yuvj420p"}, pts: even},
	"mpegts":      {ext: "ts", frames: 60, sound: true, args: x264("-g", "30", "-bf", "2", "-c:a", "aac")},
	"avi":         {ext: "avi", frames: 60, sound: true, args: x264("-g", "30", "-bf", "2", "-c:a", "libmp3lame")},
	"ac3":         {ext: "mp4", frames: 30, sound: true, args: x264("-c:a", "ac3"), pts: even},

	// The same again, to be made into proxies: long enough to look at 100 frames.
	"hevc8":       {ext: "mp4", frames: 120, sound: true, args: x265("yuv420p", "-c:a", "aac"), pts: even},
	"hevc10":      {ext: "mov", frames: 120, sound: true, args: x265("yuv420p10le", "-c:a", "aac"), pts: even},
	"hevc-90":     {ext: "mp4", frames: 120, turn: 90, args: x265("yuv420p"), change: shownAt(90), pts: even},
	"hevc-180":    {ext: "mp4", frames: 120, turn: 180, args: x265("yuv420p"), change: shownAt(180), pts: even},
	"hevc-270":    {ext: "mov", frames: 120, turn: 270, args: x265("yuv420p"), change: shownAt(270), pts: even},
	"hevc-vfr":    {ext: "mp4", frames: 160, sound: true, args: slices.Concat([]string{"-vf", uneven}, x265("yuv420p", "-c:a", "aac"), exact), pts: func(k int) annotate.Micros { return us(jitter(k), 1, 90000) }},
	"hevc-cinema": {ext: "mkv", frames: 120, rate: "24000/1001", args: x265("yuv420p"), pts: func(k int) annotate.Micros { return annotate.Micros((2*k*1001+24)/48) * 1000 }},
	"hevc-ntsc":   {ext: "mp4", frames: 120, rate: "60000/1001", sound: true, args: x265("yuv420p", "-c:a", "aac"), pts: func(k int) annotate.Micros { return us(k, 1001, 60000) }},
	"hevc-start":  {ext: "mp4", frames: 120, sound: true, args: x265("yuv420p", "-c:a", "aac", "-output_ts_offset", "1.5"), pts: func(k int) annotate.Micros { return 1_500_000 + even(k) }},
	"hevc-late":   {ext: "mp4", frames: 120, sound: true, args: append([]string{"-vf", "setpts=PTS+0.7/TB"}, x265("yuv420p", "-c:a", "aac")...), pts: func(k int) annotate.Micros { return 700_000 + even(k) }},
	"hevc-pq":     {ext: "mp4", frames: 30, args: x265("yuv420p10le", "-x265-params", "log-level=error:colorprim=bt2020:transfer=smpte2084:colormatrix=bt2020nc"), pts: even},
	"hevc-hlg":    {ext: "mp4", frames: 30, args: x265("yuv420p10le", "-x265-params", "log-level=error:colorprim=bt2020:transfer=arib-std-b67:colormatrix=bt2020nc"), pts: even},
	"hevc-large":  {ext: "mp4", frames: 4, args: append([]string{"-vf", "scale=2560:1440:flags=neighbor"}, x265("yuv420p")...), pts: even},
	"hevc-one":    {ext: "mp4", frames: 1, args: x265("yuv420p"), pts: even},
	"hevc-edit":   {ext: "mp4", from: "hevc8", before: []string{"-ss", "0.4"}, args: []string{"-c", "copy", "-tag:v", "hvc1"}, first: 12, shown: 108, pts: even},
	"ts-long":     {ext: "ts", frames: 120, sound: true, args: x264("-g", "30", "-bf", "2", "-c:a", "aac")},
	"ts-fields":   {ext: "ts", frames: 120, args: x264("-g", "30", "-vf", "setfield=tff", "-flags", "+ildct+ilme", "-x264opts", "tff=1")},
	"avi-long":    {ext: "avi", frames: 120, sound: true, args: x264("-g", "30", "-bf", "2", "-c:a", "libmp3lame")},
	"avi-mpeg4":   {ext: "avi", frames: 120, sound: true, args: []string{"-c:v", "mpeg4", "-bf", "2", "-q:v", "4", "-c:a", "libmp3lame"}},
	"avi-mjpeg":   {ext: "avi", frames: 120, args: []string{"-c:v", "mjpeg", "-q:v", "4", "-pix_fmt", "yuvj420p"}, pts: even},

	// What is no clip, or a broken one.
	"hevc-cut":  {ext: "mp4", from: "hevc8", args: []string{"-c", "copy", "-tag:v", "hvc1", "-movflags", "+faststart"}, change: part(0.6)},
	"hevc-hurt": {ext: "mp4", from: "hevc8", args: []string{"-c", "copy", "-tag:v", "hvc1", "-movflags", "+faststart"}, change: hurt},
	"gutted":    {ext: "mp4", from: "hevc8", args: []string{"-c", "copy", "-tag:v", "hvc1", "-movflags", "+faststart"}, change: gutted, shown: -1},
	"audio":     {ext: "m4a", sound: true, frames: 30, args: []string{"-map", "1:a", "-c:a", "aac"}, shown: -1},
	"truncated": {ext: "mp4", from: "cfr30", args: []string{"-c", "copy", "-movflags", "+faststart"}, change: part(0.5)},
	"cutmkv":    {ext: "mkv", from: "cfr30", args: []string{"-c", "copy"}, change: part(0.5)},
	"nomoov":    {ext: "mp4", from: "cfr30", args: []string{"-c", "copy"}, change: part(0.6), shown: -1},
	"empty":     {ext: "mp4", bare: true, change: is(""), shown: -1},
	"zeros":     {ext: "mp4", bare: true, change: func([]byte) []byte { return make([]byte, 100_000) }, shown: -1},
	"text":      {ext: "mp4", bare: true, change: is("Notes on Tansy, Alder Lane: twelve minutes of heel work, then the bed.\n"), shown: -1},
	"noise": {ext: "mp4", bare: true, change: func([]byte) []byte {
		return append([]byte("\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00mp42isom"), scattered(50_000)...)
	}, shown: -1},
	"playlist": {ext: "mp4", bare: true, change: is("#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\nsecret.ts\n#EXT-X-ENDLIST\n"), shown: -1},
	"ffconcat": {ext: "mp4", bare: true, change: is("ffconcat version 1.0\nfile secret.ts\n"), shown: -1},
	"sdp":      {ext: "mp4", bare: true, change: is("v=0\r\no=- 0 0 IN IP4 127.0.0.1\r\ns=x\r\nm=video 5004 RTP/AVP 96\r\n"), shown: -1},
	"dash":     {ext: "mp4", bare: true, change: is("<?xml version=\"1.0\"?>\n<MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\"><Period/></MPD>\n"), shown: -1},
}

func is(s string) func([]byte) []byte { return func([]byte) []byte { return []byte(s) } }

// part keeps the first share of a file.
func part(share float64) func([]byte) []byte {
	return func(b []byte) []byte { return b[:int(float64(len(b))*share)] }
}

// hurt writes over a stretch in the middle of a file.
func hurt(b []byte) []byte {
	copy(b[len(b)/2:], scattered(len(b)/8))
	return b
}

// gutted writes over everything behind the index at the front of an MP4 file.
func gutted(b []byte) []byte {
	at := bytes.Index(b, []byte("mdat")) + 4
	copy(b[at:], scattered(len(b)-at))
	return b
}

// scattered returns n bytes that follow no pattern, always the same.
func scattered(n int) []byte {
	b := make([]byte, n)
	x := uint32(1)
	for i := range b {
		x = x*1664525 + 1013904223
		b[i] = byte(x >> 24)
	}
	return b
}

// shownAt writes the display matrix of a turn by 90, 180 or 270 degrees clockwise
// into the header of the first track of an MP4 or MOV file (ISO/IEC 14496-12,
// 8.3.2).
func shownAt(degrees int) func([]byte) []byte {
	const one, minus = 1 << 16, 1<<32 - 1<<16
	matrix := map[int][9]uint32{
		90:  {0, one, 0, minus, 0, 0, height << 16, 0, 1 << 30},
		180: {minus, 0, 0, 0, minus, 0, width << 16, height << 16, 1 << 30},
		270: {0, minus, 0, one, 0, 0, 0, width << 16, 1 << 30},
	}[degrees]
	return func(file []byte) []byte {
		at := slices.Index(file, 't')
		for ; at >= 0 && at+88 < len(file); at++ {
			if string(file[at:at+4]) == "tkhd" && file[at+4] == 0 {
				break
			}
		}
		for i, v := range matrix {
			binary.BigEndian.PutUint32(file[at+44+4*i:], v)
		}
		return file
	}
}

// input returns ffmpeg's arguments for what a clip is made from.
func (r recipe) input(source string) []string {
	if r.from != "" {
		return slices.Concat(r.before, []string{"-i", "file:" + source})
	}
	every := r.rate
	if every == "" {
		every = fmt.Sprint(rate)
	}
	in := []string{"-f", "rawvideo", "-pix_fmt", "gray", "-s", fmt.Sprintf("%dx%d", width, height), "-r", every, "-i", "pipe:0"}
	if r.sound {
		in = append(in, "-f", "lavfi", "-i", fmt.Sprintf("sine=frequency=440:sample_rate=44100:duration=%.3f", float64(r.frames)/rate))
	}
	return in
}

// pictures returns the drawn frames one after the other.
func (r recipe) pictures() []byte {
	const size = width * height
	all := make([]byte, r.frames*size)
	for k := range r.frames {
		if r.turn != 0 {
			drawTurned(all[k*size:(k+1)*size], width, height, k, r.turn)
		} else {
			draw(all[k*size:(k+1)*size], width, height, k)
		}
	}
	return all
}

// finish changes a finished file.
func (r recipe) finish(path string) error {
	if r.change == nil {
		return nil
	}
	var b []byte
	if !r.bare {
		var err error
		if b, err = os.ReadFile(path); err != nil {
			return err
		}
	}
	return os.WriteFile(path, r.change(b), 0o600)
}
