//go:build unix

package media

import "syscall"

// lower lets a program give way to others: the pages have to stay quick while it
// works. Where that is refused it runs like any other.
func lower(pid int) { _ = syscall.Setpriority(syscall.PRIO_PROCESS, pid, 10) }
