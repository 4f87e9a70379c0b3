package proof

import (
	"encoding/binary"
	"errors"
	"syscall"
	"testing"
)

// watchOpens has the system count how often a file is opened or read from, by
// whatever program. The returned function says how often so far.
func watchOpens(t testing.TB, path string) func() int {
	t.Helper()
	fd, err := syscall.InotifyInit1(syscall.IN_NONBLOCK | syscall.IN_CLOEXEC)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { syscall.Close(fd) })
	if _, err := syscall.InotifyAddWatch(fd, path, syscall.IN_OPEN|syscall.IN_ACCESS); err != nil {
		t.Fatal(err)
	}
	count := 0
	return func() int {
		t.Helper()
		for {
			b := make([]byte, 64<<10)
			n, err := syscall.Read(fd, b)
			if errors.Is(err, syscall.EAGAIN) {
				return count
			}
			if err != nil {
				t.Fatal(err)
			}
			// Each event has a header of 16 bytes, whose last four say how long the
			// name is that follows it.
			const header = syscall.SizeofInotifyEvent
			for b = b[:n]; len(b) >= header; count++ {
				b = b[header+int(binary.NativeEndian.Uint32(b[header-4:])):]
			}
		}
	}
}
