package chart

import (
	"io"
	"testing"
)

func BenchmarkSVG(b *testing.B) {
	f := samples["year"]
	for b.Loop() {
		if err := f.SVG(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPNG(b *testing.B) {
	f := samples["year"]
	for b.Loop() {
		if err := f.PNG(io.Discard, false); err != nil {
			b.Fatal(err)
		}
	}
}
