package mediatest

import (
	"os/exec"
	"testing"
)

// What is drawn can be read, and damage is noticed.
func TestIndex(t *testing.T) {
	for _, index := range []int{0, 1, 2, 255, 256, 12345, 65535} {
		grey := make([]byte, width*height)
		draw(grey, width, height, index)
		if got := Index(grey, width, height); got != index {
			t.Errorf("Index(draw(%d)) = %d", index, got)
		}
		for x := range width / columns { // the first cell blackened, the first check cell too
			for y := range height / rows {
				grey[y*width+x], grey[(y+height/2)*width+x] = 0, 0
			}
		}
		if got := Index(grey, width, height); got != -1 {
			t.Errorf("Index of a damaged %d = %d, want -1", index, got)
		}
	}
}

// Decoded by ffmpeg, which turns pictures upright and passes over hidden frames,
// every clip that browsers play shows its numbers in order.
func TestNumbersInOrder(t *testing.T) {
	tools := Tools(t)
	for _, name := range Playable() {
		t.Run(name, func(t *testing.T) {
			clip := Make(t, name)
			w, h := width, height
			if recipes[name].turn == 90 {
				w, h = height, width
			}
			out, err := exec.Command(tools.FFmpeg, "-v", "error", "-i", "file:"+clip.Path, "-map", "0:v:0", "-fps_mode", "passthrough",
				"-f", "rawvideo", "-pix_fmt", "gray", "pipe:1").Output()
			if err != nil {
				t.Fatal(err)
			}
			if got := len(out) / (w * h); got != clip.Frames {
				t.Fatalf("%d frames decoded, want %d", got, clip.Frames)
			}
			for k := range clip.Frames {
				if got := Index(out[k*w*h:(k+1)*w*h], w, h); got != clip.First+k {
					t.Fatalf("frame %d carries number %d, want %d", k, got, clip.First+k)
				}
			}
		})
	}
}
