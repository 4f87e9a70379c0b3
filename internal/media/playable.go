package media

import "strings"

// pictures are the codecs whose picture browsers play; found by trial in
// Chromium for all but their rarer pixel formats.
var pictures = map[string]bool{"h264": true, "vp8": true, "vp9": true, "av1": true}

// sounds are the codecs whose sound browsers play; PCM of every kind as well.
var sounds = map[string]bool{"aac": true, "mp3": true, "opus": true, "vorbis": true, "flac": true}

// names are what people call a codec or container where it isn't ffmpeg's name.
var names = map[string]string{
	"hevc": "HEVC (H.265)", "mpeg4": "MPEG-4 part 2", "mjpeg": "Motion JPEG", "mpeg2video": "MPEG-2", "mpeg1video": "MPEG-1",
	"prores": "ProRes", "dvvideo": "DV", "h263": "H.263", "ac3": "AC-3", "eac3": "E-AC-3", "dts": "DTS", "alac": "ALAC", "amr_nb": "AMR", "amr_wb": "AMR",
	"mpegts": "MPEG-TS", "avi": "AVI",
}

func called(codec string) string {
	if n := names[codec]; n != "" {
		return n
	}
	if codec == "" {
		return "unknown"
	}
	return codec
}

// needsProxy says why a browser can't play the picture, "" if it can.
func needsProxy(p Probe) string {
	switch {
	case p.Format == "mpegts" || p.Format == "avi":
		return "Browsers can't open " + called(p.Format) + " files, so this clip needs a proxy: a copy of it in a form that they play."
	case p.Video == "hevc":
		return "The picture is coded as HEVC (H.265), which few browsers play, so this clip needs a proxy: a copy of it in a form that all play."
	case !pictures[p.Video]:
		return "The picture is coded as " + called(p.Video) + ", which browsers don't play, so this clip needs a proxy: a copy of it in a form that they play."
	}
	return ""
}

// silent says why a browser plays the picture without the sound, "" if it
// doesn't.
func silent(p Probe) string {
	if p.NeedsProxy != "" || p.Audio == "" || sounds[p.Audio] || strings.HasPrefix(p.Audio, "pcm_") {
		return ""
	}
	return "The sound is coded as " + called(p.Audio) + ", which browsers don't play: the picture will run in silence."
}
