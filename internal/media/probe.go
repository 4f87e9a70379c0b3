package media

import (
	"context"
	"errors"
	"io"
	"path/filepath"
	"strings"
	"time"
)

// containers are the only ones that ffprobe may open, by its own names: nothing
// that could lead it to another file.
const containers = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,mpegts,avi"

// answerLimit is the most that ffprobe may say of one file, apart from packets.
const answerLimit = 4 << 20

// guarded returns the arguments that every call of ffprobe begins with: errors
// only, the allowed containers, no protocol but plain files.
func guarded() []string {
	return []string{"-v", "error", "-format_whitelist", containers, "-protocol_whitelist", "file"}
}

// input returns an absolute path as ffmpeg's programs take it, so that no name
// is read as an option, a pattern or a protocol.
func input(absolute string) string { return "file:" + absolute }

// probeArgs returns the arguments of the one call that says what a file is.
func probeArgs(absolute string) []string {
	return append(guarded(), "-of", "json=c=1", "-show_entries", strings.Join([]string{
		"format=format_name,duration,start_time,size",
		"format_tags=creation_time,com.apple.quicktime.creationdate",
		"stream=index,codec_type,codec_name,codec_tag_string,pix_fmt,width,height,sample_aspect_ratio,field_order,color_transfer,avg_frame_rate,r_frame_rate,time_base,duration,nb_frames,channels",
		"stream_tags=rotate,creation_time",
		"stream_side_data=rotation",
		"stream_disposition=attached_pic",
	}, ":"), input(absolute))
}

// Probe says what the file at path is, by its first bytes and one call of
// ffprobe. The error is a [Fault] where something is wrong with the file, ctx's
// own error where ctx ended.
func (t *Tools) Probe(ctx context.Context, path string) (Probe, error) {
	s, err := t.source(ctx, path)
	return s.Probe, err
}

// source is Probe with what a proxy needs to know besides.
func (t *Tools) source(ctx context.Context, path string) (source, error) {
	size, err := sniff(path)
	if err != nil {
		return source{}, err
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return source{}, unreadable(err)
	}
	ctx, cancel := context.WithTimeoutCause(ctx, t.answer, errSilent)
	defer cancel()
	var answer []byte
	messages, err := run(ctx, t.answer, t.FFprobe, probeArgs(absolute), func(r io.Reader) (err error) {
		answer, err = io.ReadAll(io.LimitReader(r, answerLimit))
		return err
	})
	if err != nil {
		return source{}, probeFault(ctx, messages, err)
	}
	s, err := parseSource(answer, time.Now())
	if err != nil {
		return source{}, err
	}
	s.Size = size
	return s, nil
}

// probeFault turns a failed call into what is wrong with the file.
func probeFault(ctx context.Context, messages string, err error) error {
	switch {
	case errors.Is(context.Cause(ctx), errSilent) || errors.Is(err, errSilent):
		return &Fault{Kind: "unreadable", Message: "Reading the file took too long.",
			Hint: "If it is on a slow or distant drive, copy it to this computer first.", Cause: errors.Join(errSilent, err)}
	case ctx.Err() != nil:
		return ctx.Err()
	case strings.Contains(messages, "moov atom not found"):
		return &Fault{Kind: "damaged", Message: "The file is damaged: its index (moov) is missing. The recording or the copy was cut off before it was finished.",
			Hint: "Copy it from the camera again. If it is the same there, a repair program for MP4 files may bring it back.", Cause: err}
	case strings.Contains(messages, "Permission denied"):
		return &Fault{Kind: "unreadable", Message: "This computer's user may not read the file.",
			Hint: "Change its permissions, or copy it to a folder of your own.", Cause: err}
	}
	return &Fault{Kind: "damaged", Message: "The file is damaged: it begins like a video, but nothing in it can be read.",
		Hint: "Copy it from the camera again.", Cause: err}
}
