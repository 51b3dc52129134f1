package xlsx

import (
	"bufio"
	"errors"
	"os"
)

// spool is a temporary file that is written once from front to back and then read
// here and there, through a few pages of it in memory.
type spool struct {
	file  *os.File
	w     *bufio.Writer
	size  int64
	pages map[int64]*page
	clock int64 // counts uses of pages
}

type page struct {
	data [pageSize]byte
	used int64
}

const (
	pageSize  = 64 << 10
	pagesHeld = 64
)

// newSpool makes the file in dir; only its owner may read it (mode 0600).
func newSpool(dir string) (*spool, error) {
	f, err := os.CreateTemp(dir, "strings-*")
	if err != nil {
		return nil, &spoolError{err}
	}
	return &spool{file: f, w: bufio.NewWriterSize(f, pageSize), pages: map[int64]*page{}}, nil
}

func (s *spool) add(b []byte) error {
	s.size += int64(len(b))
	if _, err := s.w.Write(b); err != nil {
		return &spoolError{err}
	}
	return nil
}

// flush ends the writing.
func (s *spool) flush() error {
	if err := s.w.Flush(); err != nil {
		return &spoolError{err}
	}
	return nil
}

// readAt fills b from the place on.
func (s *spool) readAt(b []byte, at int64) error {
	for len(b) > 0 {
		p, err := s.page(at / pageSize)
		if err != nil {
			return &spoolError{err}
		}
		n := copy(b, p.data[at%pageSize:])
		b, at = b[n:], at+int64(n)
	}
	return nil
}

// page brings page n into memory, in place of the one not used for longest.
func (s *spool) page(n int64) (*page, error) {
	s.clock++
	if p := s.pages[n]; p != nil {
		p.used = s.clock
		return p, nil
	}
	p := &page{}
	if len(s.pages) >= pagesHeld {
		p = s.evict()
	}
	from := n * pageSize
	want := min(pageSize, s.size-from)
	if _, err := s.file.ReadAt(p.data[:want], from); err != nil {
		return nil, err
	}
	p.used = s.clock
	s.pages[n] = p
	return p, nil
}

func (s *spool) evict() *page {
	oldest := int64(-1)
	for n, p := range s.pages {
		if oldest < 0 || p.used < s.pages[oldest].used {
			oldest = n
		}
	}
	p := s.pages[oldest]
	delete(s.pages, oldest)
	return p
}

// closeSpools closes the files; the folder that they stand in is removed with them.
func closeSpools(list ...*spool) error {
	var errs []error
	for _, s := range list {
		if s != nil {
			errs = append(errs, s.file.Close())
		}
	}
	return errors.Join(errs...)
}
