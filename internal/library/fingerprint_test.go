package library

import (
	"bytes"
	"math"
	"testing"
)

// pattern is the content of a test file: byte i is 7i + 13⌊i/2⁸⌋ + 5⌊i/2¹⁶⌋.
func pattern(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i*7 + (i>>8)*13 + (i>>16)*5)
	}
	return b
}

// The wanted values were computed by a separate program in Python from the
// description in fingerprint's comment (hashlib.sha256, integer division).
func TestFingerprint(t *testing.T) {
	for _, c := range []struct {
		size int
		want string
	}{
		{0, "v1-af5570f5a1810b7af78caf4bc70a660f0df51e42baf91d4de5b2328de0e83dfc"},
		{1, "v1-54301a433524372b04845c1cdd07a675642da9754e7aae7f5cf0b29f1f13eac8"},
		{65535, "v1-6f902d1332ed4fb30ed0c3e3c542d399f9ad5fec8674f31cdb808f7baa9aaca3"},
		{65536, "v1-b3f6f390fabb9b72ee4f7d466f8ea786551a788059007a68ef531a7a81c259f2"},
		{65537, "v1-bf166c9ead0cf088fd28eb65b370022309eb98eac1f394654cc3f4630ecc9e67"},
		{1 << 20, "v1-96250cb19de01af39f41e15decdb113db0993dee1d6dc152bdda3544a39bfd20"},
		{1<<20 + 1, "v1-b5c056551dcd32d5f847255543ab4c64dd5863d278f4ec297646ac4f5b6c59b1"},
		{2 << 20, "v1-71a12c0b7deff61552121a4b87eeb854e7ed8fcf8b0e10945390d90d674d0756"},
		{5_000_003, "v1-54a7fe2ab5e8b446b68018d60000b0d50b4fd9fe3ba8e92ce4faef046e52f373"},
	} {
		got, err := fingerprint(bytes.NewReader(pattern(c.size)), int64(c.size))
		if err != nil || got != c.want {
			t.Errorf("fingerprint of %d bytes = %s, %v; want %s", c.size, got, err, c.want)
		}
	}
	if _, err := fingerprint(bytes.NewReader(pattern(10)), 11); err == nil {
		t.Error("a file that is shorter than its size says was taken")
	}
}

// counter is a file of any size, all zeros, that counts what is read of it.
type counter struct{ size, read int64 }

func (c *counter) ReadAt(p []byte, at int64) (int, error) {
	clear(p)
	c.read += int64(len(p))
	if at < 0 || at+int64(len(p)) > c.size {
		panic("read outside the file")
	}
	return len(p), nil
}

// Even for the largest file, only the described parts are read, all inside it.
func TestFingerprintReadsLittle(t *testing.T) {
	for _, size := range []int64{3 << 20, 4 << 30, math.MaxInt64} {
		f := &counter{size: size}
		if _, err := fingerprint(f, size); err != nil {
			t.Fatal(err)
		}
		if want := int64(2<<20 + 14*64<<10); f.read != want {
			t.Errorf("of %d bytes %d were read, want %d", size, f.read, want)
		}
	}
}

// A change in any part changes it.
func TestFingerprintSeesChanges(t *testing.T) {
	b := pattern(5_000_003)
	before, err := fingerprint(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	size, middle := len(b), 64<<10
	places := []int{0, 1<<20 - 1, size - 1<<20, size - 1}
	for k := 1; k <= 14; k++ {
		at := k * (size - middle) / 15
		places = append(places, at, at+middle-1)
	}
	for _, at := range places {
		b[at] ^= 1
		if after, _ := fingerprint(bytes.NewReader(b), int64(size)); after == before {
			t.Errorf("byte %d changed, the fingerprint didn't", at)
		}
		b[at] ^= 1
	}
}
