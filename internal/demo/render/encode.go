package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
	"afterwalk/internal/demo/scene"
	"afterwalk/internal/demo/sound"
	"afterwalk/internal/media"
)

// The film's size.
const (
	width  = 1280
	height = 720
)

// encode draws a clip and writes it to path as H.264 and AAC.
func encode(ctx context.Context, tools *media.Tools, o outing.Clip, played *outing.Run, path string) error {
	scratch, err := os.MkdirTemp("", "afterwalk-render-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(scratch)
	heard := filepath.Join(scratch, "sound.raw")
	if err := os.WriteFile(heard, samples(sound.Mix(played.Sounds, played.Length.Seconds())), 0o600); err != nil {
		return err
	}
	made := filepath.Join(scratch, o.File())
	cmd := exec.CommandContext(ctx, tools.FFmpeg, encodeArgs(o, heard, made)...)
	pictures, feed := io.Pipe()
	cmd.Stdin = pictures
	var said bytes.Buffer
	cmd.Stderr = &said
	if err := cmd.Start(); err != nil {
		return err
	}
	feed.CloseWithError(draw(feed, o, played.Frames))
	if err := cmd.Wait(); err != nil {
		return fmt.Errorf("%w: %s", err, said.Bytes())
	}
	film, err := os.ReadFile(made)
	if err != nil {
		return err
	}
	return os.WriteFile(path, film, 0o644)
}

// encodeArgs returns ffmpeg's arguments. Frequent keyframes make stepping quick;
// the films that were made first have one every half second, the others one every
// second, so that all of them stay small. The dates are those that a phone writes.
func encodeArgs(o outing.Clip, heard, made string) []string {
	key, bits := "30", "40k"
	if slices.Contains([]string{"alder-lane", "mill-meadow"}, o.Name) {
		key, bits = "15", "48k"
	}
	return []string{"-v", "error", "-y",
		"-f", "rawvideo", "-pix_fmt", "rgba", "-s", fmt.Sprintf("%dx%d", width, height), "-r", fmt.Sprint(outing.Rate), "-i", "pipe:0",
		"-f", "s16le", "-ar", fmt.Sprint(sound.Rate), "-ac", "1", "-i", "file:" + heard,
		"-vf", "scale=out_color_matrix=bt709:out_range=tv", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709",
		"-c:v", "libx264", "-preset", "slower", "-tune", "animation", "-crf", "33", "-pix_fmt", "yuv420p", "-g", key, "-keyint_min", key, "-sc_threshold", "0",
		"-c:a", "aac", "-b:a", bits,
		"-movflags", "+faststart+use_metadata_tags",
		"-metadata", "creation_time=" + o.At.UTC().Format("2006-01-02T15:04:05Z"),
		"-metadata", "com.apple.quicktime.creationdate=" + o.At.Format("2006-01-02T15:04:05-0700"),
		"file:" + made}
}

// draw writes the frames, drawn on all processors, one after the other.
func draw(to io.Writer, o outing.Clip, frames []outing.Frame) error {
	camera := scene.NewCamera(width, height)
	field := scene.Field(camera, o.Venue)
	batch := make([]paint.Picture, runtime.NumCPU())
	for i := range batch {
		batch[i] = paint.New(width, height)
	}
	for first := 0; first < len(frames); first += len(batch) {
		n := min(len(batch), len(frames)-first)
		done := make(chan struct{})
		for i := range n {
			go func() {
				scene.Draw(batch[i], camera, field, frames[first+i])
				done <- struct{}{}
			}()
		}
		for range n {
			<-done
		}
		for _, p := range batch[:n] {
			if _, err := to.Write(p.Pix); err != nil {
				return err
			}
		}
	}
	return nil
}

// samples turns sound into 16-bit numbers, the lower byte first.
func samples(track []float64) []byte {
	b := make([]byte, 0, 2*len(track))
	for _, v := range track {
		b = binary.LittleEndian.AppendUint16(b, uint16(int16(v*32000)))
	}
	return b
}
