//go:build !unix

package ordinary

const noWait = 0 // no named pipes among the files here
