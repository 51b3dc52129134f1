//go:build unix

package csv

import "syscall"

// noWait lets the opening of a named pipe return at once.
const noWait = syscall.O_NONBLOCK
