package media

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"afterwalk/annotate"
)

// stillSide is the longest side of a still, in pixels.
const stillSide = 480

// stillArgs returns ffmpeg's arguments for one picture of a film, at after its
// beginning, as a JPEG.
func stillArgs(absolute, to string, at annotate.Micros) []string {
	return []string{"-nostdin", "-v", "error", "-y", "-format_whitelist", containers, "-protocol_whitelist", "file", "-max_pixels", strconv.Itoa(maxPixels),
		"-ss", strconv.FormatFloat(at.Seconds(), 'f', 6, 64), "-i", input(absolute), "-map", "0:V:0", "-frames:v", "1",
		"-vf", "scale=w='if(gte(iw,ih),min(" + side() + ",iw),-2)':h='if(gte(iw,ih),-2,min(" + side() + ",ih))',format=yuvj420p",
		"-map_metadata", "-1", "-q:v", "5", "-f", "mjpeg", input(to)}
}

func side() string { return strconv.Itoa(stillSide) }

// Still writes one picture of the film at path, at after its beginning, to the file
// to, a JPEG of at most 480 pixels a side, upright. It is written whole or not at
// all. Where nothing can be seen there, it is the film's first picture. The error is
// a [Fault] where no picture can be decoded, ctx's own where ctx ended.
func (t *Tools) Still(ctx context.Context, path, to string, at annotate.Micros) error {
	if _, err := sniff(path); err != nil {
		return err
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return unreadable(err)
	}
	scratch, err := os.CreateTemp(filepath.Dir(to), unfinished+"*.jpg")
	if err != nil {
		return unwritable(err)
	}
	defer os.Remove(scratch.Name()) // gone already where all went well
	if err := scratch.Close(); err != nil {
		return unwritable(err)
	}
	for _, from := range []annotate.Micros{at, 0} {
		_, err = run(ctx, t.answer, t.FFmpeg, stillArgs(absolute, scratch.Name(), max(0, from)), func(r io.Reader) error {
			_, err := io.Copy(io.Discard, r)
			return err
		})
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if info, statErr := os.Stat(scratch.Name()); err == nil && statErr == nil && info.Size() > 0 {
			if err := os.Rename(scratch.Name(), to); err != nil {
				return unwritable(err)
			}
			return nil
		}
	}
	return &Fault{Kind: "damaged", Message: "No picture of it can be decoded.", Hint: "Copy the file from the camera again.", Cause: err}
}
