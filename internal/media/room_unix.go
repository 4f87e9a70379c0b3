//go:build linux || darwin

package media

import "syscall"

// roomAt returns how many bytes of a folder's disk this user may still fill; ok is
// false where that can't be found out.
func roomAt(dir string) (free int64, ok bool) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		return 0, false
	}
	return int64(s.Bavail) * int64(s.Bsize), true
}
