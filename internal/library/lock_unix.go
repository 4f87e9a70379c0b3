//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package library

import (
	"errors"
	"os"
	"syscall"
)

// lockFile takes the file's lock without waiting; taken says that another has it.
func lockFile(f *os.File) (taken bool, err error) {
	err = retry(func() error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) })
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return true, nil
	}
	return false, err
}

func unlockFile(f *os.File) error {
	return retry(func() error { return syscall.Flock(int(f.Fd()), syscall.LOCK_UN) })
}

// retry repeats a call that a signal has interrupted.
func retry(call func() error) error {
	for {
		if err := call(); !errors.Is(err, syscall.EINTR) {
			return err
		}
	}
}
