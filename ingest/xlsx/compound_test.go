package xlsx

import (
	"bytes"
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
)

// crowded is a compound file ([MS-CFB]) whose directory names the package n times,
// each time with all of the file for its contents.
func crowded(n int) []byte {
	const size, free, end, fatMark = 512, 0xFFFFFFFF, 0xFFFFFFFE, 0xFFFFFFFD
	directory := (n + 4) / 4
	fat := 1
	for fat*size/4 < directory+fat {
		fat++
	}
	b := make([]byte, size*(1+fat+directory))
	put := func(at int, v uint32) { binary.LittleEndian.PutUint32(b[at:], v) }
	copy(b, oleMark)
	copy(b[24:], []byte{0x3E, 0, 3, 0, 0xFE, 0xFF, 9, 0, 6, 0})
	put(44, uint32(fat))
	put(48, uint32(fat))
	put(60, end)
	put(68, end)
	for i := range 109 {
		put(76+4*i, free)
	}
	for i := range fat { // fewer than 109
		put(76+4*i, uint32(i))
	}
	for i := range fat * size / 4 {
		next := uint32(free)
		switch {
		case i < fat:
			next = fatMark
		case i == fat+directory-1:
			next = end
		case i < fat+directory:
			next = uint32(i + 1)
		}
		put(size+4*i, next)
	}
	for i := range n + 1 {
		e := size*(1+fat) + 128*i
		name, kind := utf16le("Root Entry"), byte(5)
		if i > 0 {
			name, kind = encryptedPackage, 2
		}
		copy(b[e:], name)
		binary.LittleEndian.PutUint16(b[e+64:], uint16(len(name)+2))
		b[e+66] = kind
		for _, at := range []int{68, 72, 76} {
			put(e+at, free)
		}
		if i == 0 {
			put(e+76, 1)
		} else if i < n {
			put(e+72, uint32(i+1))
		}
		put(e+116, uint32(fat))
		put(e+120, uint32(size*directory))
	}
	return b
}

// TestProtectedFileWithCrowdedDirectory: the library reads each entry that bears the
// package's name, so that thirty thousand of them in four megabytes are reading for
// minutes, which no deadline ends.
func TestProtectedFileWithCrowdedDirectory(t *testing.T) {
	for _, n := range []int{9, 990, 40_000} {
		data := crowded(min(n, 50_000))
		_, _, err := readBytes(t, data, Options{Password: "crane"})
		wantFault(t, err, Damaged, "far larger than an honest one's")
	}
	_, _, err := readBytes(t, crowded(3), Options{Password: "crane"})
	wantFault(t, err, Damaged, "encrypted package")
	require.NotContains(t, err.Error(), "honest", "the library says what else is wrong")

	loop := crowded(3)
	binary.LittleEndian.PutUint32(loop[512+4:], 1) // the directory's sector follows itself
	require.True(t, oversized(loop))
	for cut := range len(loop) {
		oversized(loop[:cut]) // never a panic
	}
	require.False(t, oversized(bytes.Repeat([]byte{0xFF}, 4096)))
}
