//go:build !linux && !darwin

package media

// roomAt returns how many bytes of a folder's disk this user may still fill; ok is
// false where that can't be found out.
func roomAt(dir string) (free int64, ok bool) { return 0, false }
