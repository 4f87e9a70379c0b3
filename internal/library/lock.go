package library

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// InUse says that another process writes to a library.
type InUse struct {
	Dir  string
	Addr string // where it is served; "" if it isn't, or not yet
	PID  int    // of the other process; 0 if not known
}

// Error says where the library is in use and what to do.
func (e *InUse) Error() string {
	who := "another afterwalk"
	if e.PID > 0 {
		who += fmt.Sprintf(" (process %d)", e.PID)
	}
	if e.Addr == "" {
		return "the library is in use by " + who + "; nothing was changed. Wait until that one is done, or stop it"
	}
	at := e.Addr
	if !strings.Contains(at, "://") {
		at = "http://" + at
	}
	return "the library is in use by " + who + " at " + at + "; nothing was changed. Go on there, or stop that one first"
}

// lock is held by the one process that writes to a library. The system lets go
// of it when the process ends, however it ends; the file stays.
type lock struct{ file *os.File }

// takeLock takes the lock of the library in dir, or fails with *InUse.
func takeLock(dir string) (*lock, error) {
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	taken, err := lockFile(f)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock %s: %w", f.Name(), err), f.Close())
	}
	if taken {
		pid, addr := readLock(f)
		return nil, errors.Join(&InUse{Dir: dir, Addr: addr, PID: pid}, f.Close())
	}
	l := &lock{f}
	if err := l.say(""); err != nil {
		return nil, errors.Join(err, l.release())
	}
	return l, nil
}

// say writes who holds the lock and at which address: two lines.
func (l *lock) say(addr string) error {
	text := fmt.Sprintf("%d\n%s\n", os.Getpid(), addr)
	_, err := l.file.WriteAt([]byte(text), 0)
	return errors.Join(err, l.file.Truncate(int64(len(text))))
}

// readLock reads what the holder has said, as far as it has.
func readLock(f *os.File) (pid int, addr string) {
	lines := bufio.NewScanner(io.NewSectionReader(f, 0, 4096))
	if lines.Scan() {
		pid, _ = strconv.Atoi(lines.Text())
	}
	if lines.Scan() {
		addr = lines.Text()
	}
	return pid, addr
}

// release lets go of the lock.
func (l *lock) release() error {
	return errors.Join(l.file.Truncate(0), unlockFile(l.file), l.file.Close())
}
