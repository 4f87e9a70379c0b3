package demo

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"

	"afterwalk/internal/media"
)

// Fact is what ffprobe said of a film when it was made.
type Fact struct {
	SHA256 string           `json:"sha256"` // of the whole file
	Probe  media.Probe      `json:"probe"`
	Frames media.FrameTable `json:"frames"`
}

// Examine reads the facts of a file with ffprobe.
func Examine(ctx context.Context, tools *media.Tools, path string) (Fact, error) {
	var f Fact
	var err error
	if f.SHA256, err = checksum(path); err != nil {
		return f, err
	}
	if f.Probe, err = tools.Probe(ctx, path); err != nil {
		return f, err
	}
	f.Frames, err = tools.Frames(ctx, path, nil)
	return f, err
}

// checksum returns the SHA-256 of a file.
func checksum(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
