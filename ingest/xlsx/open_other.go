//go:build !unix

package xlsx

const noWait = 0 // no named pipes among the files here
