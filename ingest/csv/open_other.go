//go:build !unix

package csv

const noWait = 0 // no named pipes among the files here
