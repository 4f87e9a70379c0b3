package library

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockedAt is the byte that is locked. It lies far behind the text, which Windows
// would otherwise keep others from reading.
const lockedAt = 1 << 30

// lockFile takes the file's lock without waiting; taken says that another has it.
func lockFile(f *os.File) (taken bool, err error) {
	err = windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY,
		0, 1, 0, &windows.Overlapped{Offset: lockedAt})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return true, nil
	}
	return false, err
}

func unlockFile(f *os.File) error {
	return windows.UnlockFileEx(windows.Handle(f.Fd()), 0, 1, 0, &windows.Overlapped{Offset: lockedAt})
}
