package media

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The largest picture of a proxy: what its longer and its shorter side may be.
const (
	proxyLong  = 1280
	proxyShort = 720
)

// maxPixels is the largest picture that is decoded: 8K has 33 million. A file may
// claim any size, and memory is set aside by that.
const maxPixels = 64 << 20

// timing says what a proxy does with the times of its source.
type timing struct {
	// free: the proxy begins at its own 0. Otherwise times are those of the source.
	free bool
	// toZero moves the picture's first frame to 0 by itself, for containers that
	// count frames from 0 but decode them later (AVI).
	toZero bool
}

// proxyArgs returns ffmpeg's arguments for a proxy of s: H.264 with a keyframe at
// least every 15 frames, AAC, the index at the front.
//
// Every frame keeps its own time (passthrough; the encoder and the file count in
// a multiple of the source's ticks); where times are those of the source, nothing
// is subtracted from them. ffmpeg turns pictures upright by itself before the
// filters. Names of codecs and filters are ffmpeg's.
func proxyArgs(s source, absolute, to string, t timing, sound, tonemap bool) []string {
	args := []string{"-nostdin", "-v", "error", "-y", "-progress", "pipe:1", "-stats_period", "0.5",
		"-format_whitelist", containers, "-protocol_whitelist", "file", "-max_pixels", strconv.Itoa(maxPixels)}
	if !t.free {
		args = append(args, "-copyts")
	}
	args = append(args, "-i", input(absolute), "-map", "0:V:0")
	if sound && s.Audio != "" {
		args = append(args, "-map", "0:a:0", "-c:a", "aac", "-b:a", "128k")
		if s.channels > 2 {
			args = append(args, "-ac", "2")
		}
	}
	ticks := strconv.FormatInt(proxyTicks(s.base), 10)
	return append(args, "-map_metadata", "-1", "-map_chapters", "-1", "-vf", proxyFilters(s, t, tonemap),
		"-c:v", "libx264", "-preset", "veryfast", "-crf", "23", "-maxrate", "8M", "-bufsize", "16M", "-pix_fmt", "yuv420p", "-g", "15",
		"-fps_mode", "passthrough", "-enc_time_base", "-1", "-video_track_timescale", ticks, "-movie_timescale", ticks,
		"-movflags", "+faststart", "-f", "mp4", input(to))
}

// proxyTicks returns how many ticks a second a proxy counts in: the least multiple
// of the source's own that is at least 90000, so that every time is exact; 1e6
// where a source counts finer than that.
func proxyTicks(b timeBase) int64 {
	if !b.valid() {
		return 90000
	}
	if b.den > 1e6 {
		return 1e6
	}
	return (90000 + b.den - 1) / b.den * b.den
}

// proxyFilters returns the chain that a proxy's pictures go through.
func proxyFilters(s source, t timing, tonemap bool) string {
	var chain []string
	if t.toZero {
		chain = append(chain, "setpts=PTS-STARTPTS")
	}
	if s.interlaced {
		chain = append(chain, "bwdif=mode=send_frame:deint=interlaced")
	}
	chain = append(chain, scaling(s.Width, s.Height))
	switch {
	case s.transfer == "smpte2084" && tonemap:
		// Light up to 10,000 cd/m² is brought down to what a usual screen shows.
		chain = append(chain, "zscale=t=linear:npl=100,format=gbrpf32le,zscale=p=bt709,tonemap=tonemap=hable:desat=0,zscale=t=bt709:m=bt709:r=tv")
	case s.transfer == "smpte2084" || s.transfer == "arib-std-b67":
		// HLG is made to be watched as it is, on a usual screen too.
		chain = append(chain, "scale=in_color_matrix=bt2020:out_color_matrix=bt709", "setparams=color_primaries=bt709:color_trc=bt709:colorspace=bt709")
	}
	return strings.Join(append(chain, "format=yuv420p", "setsar=1"), ",")
}

// scaling returns the filter that brings a picture, w × h as it is displayed, to
// its size in the proxy.
func scaling(w, h int) string {
	if w <= 0 || h <= 0 { // nobody knows before it is decoded
		return fmt.Sprintf("scale=w='min(%d,iw)':h='min(%d,ih)':force_original_aspect_ratio=decrease:force_divisible_by=2", proxyLong, proxyShort)
	}
	w, h = proxySize(w, h)
	return fmt.Sprintf("scale=%d:%d", w, h)
}

// proxySize returns the size of a proxy's picture for one of w × h square pixels:
// as large, or as fits into 1280 × 720 (720 × 1280 upright); both even.
func proxySize(w, h int) (width, height int) {
	long, short := float64(max(w, h)), float64(min(w, h))
	share := min(1, proxyLong/long, proxyShort/short)
	even := func(n int) int { return max(2, int(math.Round(float64(n)*share/2))*2) }
	return even(w), even(h)
}
