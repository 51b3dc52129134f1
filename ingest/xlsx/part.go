package xlsx

import (
	"archive/zip"
	"context"
	"errors"
	"hash/crc32"
	"io"

	"pitlist/score/say"
)

// partReader reads one part of the archive to its end, where size and checksum are
// compared. A long part is inflated in a goroutine of its own, some pieces ahead of
// the scanner; Close ends it.
type partReader struct {
	ctx  context.Context
	rc   io.ReadCloser
	sum  uint32 // of what was read, where the directory states none
	zero bool   // archive/zip takes the checksum 0 for "not stated" and compares nothing

	full chan piece // nil: read without a goroutine
	free chan []byte
	stop chan struct{}
	at   piece
	rest []byte // unread bytes of at
	err  error
}

// piece is some of the part, or why it ends.
type piece struct {
	data []byte
	err  error
}

const (
	pieceSize  = 256 << 10
	piecesHeld = 3
	aheadFrom  = 1 << 20 // expanded bytes of a part that is worth a goroutine
)

func openPart(ctx context.Context, f *zip.File) (*partReader, error) {
	rc, err := f.Open()
	if err != nil {
		return nil, err
	}
	p := &partReader{ctx: ctx, rc: rc, zero: f.CRC32 == 0}
	if f.UncompressedSize64 < aheadFrom {
		return p, nil
	}
	p.full, p.free, p.stop = make(chan piece, piecesHeld), make(chan []byte, piecesHeld), make(chan struct{})
	for range piecesHeld {
		p.free <- make([]byte, pieceSize)
	}
	go p.ahead()
	return p, nil
}

// ahead inflates until the part ends or nobody wants more of it.
func (p *partReader) ahead() {
	defer close(p.full)
	for {
		select {
		case <-p.stop:
			return
		case buf := <-p.free:
			n, err := io.ReadFull(inflating{p}, buf)
			if errors.Is(err, io.ErrUnexpectedEOF) {
				err = io.EOF
			}
			p.full <- piece{buf[:n], err} // never blocks: there are as many places as buffers
			if err != nil {
				return
			}
		}
	}
}

// Read gives the next bytes.
func (p *partReader) Read(b []byte) (int, error) {
	if p.full == nil {
		return p.inflate(b)
	}
	for len(p.rest) == 0 {
		if p.err != nil {
			return 0, p.err
		}
		if p.at.data != nil {
			p.free <- p.at.data[:cap(p.at.data)]
		}
		p.at = <-p.full
		p.rest, p.err = p.at.data, p.at.err
	}
	n := copy(b, p.rest)
	p.rest = p.rest[n:]
	return n, nil
}

// inflating reads without the goroutine. It tells an early end of the deflate stream,
// which ReadFull could not, from the end of a piece.
type inflating struct{ *partReader }

func (i inflating) Read(b []byte) (int, error) { return i.inflate(b) }

func (p *partReader) inflate(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := p.rc.Read(b)
	if p.zero {
		p.sum = crc32.Update(p.sum, crc32.IEEETable, b[:n])
		if errors.Is(err, io.EOF) && p.sum != 0 {
			err = zip.ErrChecksum
		}
	}
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = errEarlyEnd
	}
	return n, err
}

// errEarlyEnd is a part that is shorter than the directory says.
var errEarlyEnd = damaged(say.F("its data end early, or are not of the stated size"))

// Close ends the reading, wherever it stands.
func (p *partReader) Close() error {
	if p.full != nil {
		close(p.stop)
		for range p.full { // until the goroutine has seen it
		}
	}
	return p.rc.Close()
}
