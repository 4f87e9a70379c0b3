package library

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"io"
)

// fingerprintVersion begins every fingerprint, so that another way of taking them
// can stand beside this one.
const fingerprintVersion = "v1-"

// Sizes of the parts of a file that its fingerprint is taken from.
const (
	endPart    = 1 << 20  // first and last
	middlePart = 64 << 10 // 14 between
	middles    = 14
)

// fingerprint returns what a file is known by, wherever it lies: "v1-" and, in
// hexadecimal, the SHA-256 of these bytes one after the other:
//
//	size             of the file, 8 bytes, big-endian
//	[0, E)           E = min(1 MiB, size)
//	[size−E, size)
//	[aₖ, aₖ+M)       for k = 1…14: M = min(64 KiB, size), aₖ = ⌊k·(size−M)/15⌋
//
// Parts of a small file overlap; they are taken all the same. At most 2.9 MiB are
// read, so two files that are alike in size and in all these parts count as one:
// footage of a camera never is, unless it is a copy.
func fingerprint(f io.ReaderAt, size int64) (string, error) {
	h := sha256.New()
	var head [8]byte
	binary.BigEndian.PutUint64(head[:], uint64(size))
	h.Write(head[:])
	part := func(at, length int64) error {
		n, err := io.Copy(h, io.NewSectionReader(f, at, length))
		if err == nil && n < length {
			err = io.ErrUnexpectedEOF
		}
		return err
	}
	end, middle := min(endPart, size), min(middlePart, size)
	if err := part(0, end); err != nil {
		return "", err
	}
	if err := part(size-end, end); err != nil {
		return "", err
	}
	for k := int64(1); k <= middles; k++ {
		rest := size - middle
		at := rest/(middles+1)*k + rest%(middles+1)*k/(middles+1) // k·rest/15 without overflow
		if err := part(at, middle); err != nil {
			return "", err
		}
	}
	return fingerprintVersion + hex.EncodeToString(h.Sum(nil)), nil
}
