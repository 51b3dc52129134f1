package xlsx

import (
	"encoding/binary"
	"fmt"
)

// texts holds the shared strings: the first of them in memory, up to a limit, the
// others in two spool files, of texts and of where each ends.
type texts struct {
	held  []string
	chunk []byte // texts that do not make a string yet
	from  []int  // where each of these begins in chunk
	room  int64  // bytes that may still be held
	dir   string // where spool files are made

	bytes, ends *spool // nil until the limit is reached
	spooled     int    // strings in them
}

const (
	heldTexts  = 64 << 20 // bytes of shared strings that stay in memory
	heldHeader = 16       // what a string costs beside its text
	chunkSize  = 64 << 10
	endSize    = 8 // bytes of an entry of texts.ends
)

func newTexts(dir string, limit int64) *texts { return &texts{dir: dir, room: limit} }

func (t *texts) len() int { return len(t.held) + len(t.from) + t.spooled }

// add takes the next string.
func (t *texts) add(b []byte) error {
	if t.room -= int64(len(b)) + heldHeader; t.room < 0 {
		return t.spool(b)
	}
	if len(t.chunk)+len(b) > chunkSize {
		t.seal()
	}
	t.from = append(t.from, len(t.chunk))
	t.chunk = append(t.chunk, b...)
	return nil
}

// seal turns the chunk into strings.
func (t *texts) seal() {
	text := string(t.chunk)
	for i, from := range t.from {
		to := len(text)
		if i+1 < len(t.from) {
			to = t.from[i+1]
		}
		t.held = append(t.held, text[from:to])
	}
	t.chunk, t.from = t.chunk[:0], t.from[:0]
}

// spool writes a string behind those that are held; all that follow go there too.
func (t *texts) spool(b []byte) (err error) {
	if t.bytes == nil {
		t.seal()
		if t.bytes, err = newSpool(t.dir); err != nil {
			return err
		}
		if t.ends, err = newSpool(t.dir); err != nil {
			return err
		}
	}
	t.room = -1
	t.spooled++
	if err := t.bytes.add(b); err != nil {
		return err
	}
	return t.ends.add(binary.LittleEndian.AppendUint64(nil, uint64(t.bytes.size)))
}

// done ends the adding.
func (t *texts) done() error {
	t.seal()
	t.chunk, t.from = nil, nil
	if t.bytes == nil {
		return nil
	}
	if err := t.bytes.flush(); err != nil {
		return err
	}
	return t.ends.flush()
}

// get gives string i, which must exist: as a string where it is held, else behind
// buf.
func (t *texts) get(i int, buf []byte) (held string, _ []byte, err error) {
	if i < len(t.held) {
		return t.held[i], buf, nil
	}
	i -= len(t.held)
	var ends [2 * endSize]byte // of the string before and of this one
	at, want := int64(i-1)*endSize, ends[:]
	if i == 0 {
		at, want = 0, ends[endSize:]
	}
	if err := t.ends.readAt(want, at); err != nil {
		return "", buf, err
	}
	from, to := binary.LittleEndian.Uint64(ends[:]), binary.LittleEndian.Uint64(ends[endSize:])
	n := len(buf)
	buf = append(buf, make([]byte, to-from)...)
	return "", buf, t.bytes.readAt(buf[n:], int64(from))
}

// close gives the spool files back; they go with the book's folder.
func (t *texts) close() error {
	if t == nil || t.bytes == nil {
		return nil
	}
	return closeSpools(t.bytes, t.ends)
}

// spoolError is a failure of our own temporary files: no fault of the workbook.
type spoolError struct{ err error }

func (e *spoolError) Error() string { return fmt.Sprintf("spool file of shared strings: %v", e.err) }
func (e *spoolError) Unwrap() error { return e.err }
