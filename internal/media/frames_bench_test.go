package media_test

import (
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"afterwalk/internal/media"
	"afterwalk/internal/media/mediatest"
)

// BenchmarkFrames reads the frame table of twenty minutes of 720p at 30 frames a
// second, each time after ffprobe alone with the same arguments, its output
// thrown away. It reports the ratio of the two (bar: at most 1.2).
func BenchmarkFrames(b *testing.B) {
	tools := mediatest.Tools(b)
	path := twentyMinutes(b, tools)
	var bare, ours time.Duration
	frames := 0
	for b.Loop() {
		start := time.Now()
		cmd := exec.Command(tools.FFprobe, media.FrameArgs(path)...)
		cmd.Stdout = io.Discard
		if err := cmd.Run(); err != nil {
			b.Fatal(err)
		}
		bare += time.Since(start)
		start = time.Now()
		table, err := tools.Frames(b.Context(), path, nil)
		if err != nil {
			b.Fatal(err)
		}
		ours += time.Since(start)
		frames = len(table.PTS)
	}
	b.ReportMetric(float64(ours)/float64(bare), "ratio")
	b.ReportMetric(ours.Seconds()*1000/float64(b.N), "table-ms")
	b.ReportMetric(bare.Seconds()*1000/float64(b.N), "ffprobe-ms")
	b.ReportMetric(float64(frames), "frames")
}

// twentyMinutes makes ten seconds of moving test picture and repeats them, about
// 200 MB.
func twentyMinutes(b *testing.B, tools *media.Tools) string {
	dir := b.TempDir()
	short, long := filepath.Join(dir, "short.mp4"), filepath.Join(dir, "long.mp4")
	for _, args := range [][]string{
		{"-f", "lavfi", "-i", "testsrc2=s=1280x720:r=30:d=10", "-f", "lavfi", "-i", "sine=d=10", "-c:v", "libx264", "-preset", "ultrafast",
			"-b:v", "1200k", "-maxrate", "1400k", "-bufsize", "1400k", "-g", "30", "-pix_fmt", "yuv420p", "-c:a", "aac", short},
		{"-stream_loop", "119", "-i", short, "-c", "copy", long},
	} {
		if out, err := exec.Command(tools.FFmpeg, append([]string{"-v", "error"}, args...)...).CombinedOutput(); err != nil {
			b.Fatal(fmt.Errorf("%w: %s", err, out))
		}
	}
	return long
}
