//go:build unix

package ordinary

import "syscall"

// noWait lets the opening of a named pipe return at once.
const noWait = syscall.O_NONBLOCK
