package xlsx

import (
	"bytes"
	"errors"
	"io"
	"regexp"
)

// scanner walks the plain XML that spreadsheet programs write. It vouches for a
// narrow part of the language: UTF-8, ASCII names, the five predefined entities and
// numeric ones, no comments, CDATA sections, instructions or declarations after the
// first line. Everything else, right or wrong, ends in an error, upon which the part
// is checked with encoding/xml and read with the library. Whatever the scanner
// accepts, encoding/xml accepts too. The values of attributes it leaves undecoded:
// those that matter hold no reference, or the form refuses them.
//
// It exists because encoding/xml takes half as long as excelize's own reading.
type scanner struct {
	r        io.Reader
	h        form
	buf      []byte
	pos, end int // unread bytes are buf[pos:end]
	eof      bool
	readErr  error // what the reader failed with, io.EOF aside

	names   []byte // names of the open elements, one after the other
	ends    []int  // where each of them ends in names
	attrs   []attr
	decoded []byte // the text at hand, where it does not stand for itself
	begun   bool
}

const (
	scanBuffer = 128 << 10
	maxToken   = 4 << 20 // a longer run of text, or tag, is left to encoding/xml
)

var (
	errUnsure = errors.New("not plain enough for the fast walk")
	errShort  = errors.New("tag goes on past the buffer")
)

// declaration is the first line that the scanner takes.
var declaration = regexp.MustCompile(`^<\?xml\s+version=("1\.0"|'1\.0')(\s+encoding=("(?i:utf-8)"|'(?i:utf-8)'))?(\s+standalone=("(yes|no)"|'(yes|no)'))?\s*\?>`)

func newScanner(r io.Reader, h form) *scanner {
	return &scanner{r: r, h: h, buf: make([]byte, scanBuffer)}
}

// run walks to the end of the part.
func (s *scanner) run() error {
	for {
		if more, err := s.step(); err != nil || !more {
			return err
		}
	}
}

// step takes one tag and the text before it; more is false at the end of the part,
// which is then known to be whole.
func (s *scanner) step() (more bool, err error) {
	if !s.begun {
		s.begun = true
		if err := s.prolog(); err != nil {
			return false, err
		}
	}
	text, more, err := s.upToTag()
	if err != nil {
		return false, err
	}
	if len(text) > 0 {
		if err := s.text(text); err != nil {
			return false, err
		}
	}
	if more {
		return true, s.tag()
	}
	if len(s.ends) > 0 || !s.h.whole() {
		return false, errUnsure
	}
	return false, nil
}

// unsure tells of an error of the walk whether the part may be in order all the same,
// or is damaged in a way that encoding/xml can place. What the archive or our own
// files failed with stands as it is.
func (s *scanner) unsure(err error) bool {
	var own *spoolError
	return s.readErr == nil && !isZipFault(err) && !errors.As(err, &own)
}

// prolog passes the byte order mark and the XML declaration.
func (s *scanner) prolog() error {
	for !s.eof && s.end < 256 {
		if err := s.fill(); err != nil {
			return err
		}
	}
	if bytes.HasPrefix(s.buf[:s.end], byteOrderMark) {
		s.pos = len(byteOrderMark)
	}
	s.pos += len(declaration.Find(s.buf[s.pos:s.end]))
	return nil
}

// fill reads more behind the unread bytes.
func (s *scanner) fill() error {
	if s.pos > 0 {
		s.end = copy(s.buf, s.buf[s.pos:s.end])
		s.pos = 0
	}
	if s.end == len(s.buf) {
		if len(s.buf) >= maxToken {
			return errUnsure
		}
		s.buf = append(s.buf, make([]byte, len(s.buf))...)
	}
	n, err := s.r.Read(s.buf[s.end:])
	s.end += n
	if err == io.EOF {
		s.eof = true
		return nil
	}
	s.readErr = err
	return err
}

// upToTag returns the text before the next tag; more is false at the end of the part.
func (s *scanner) upToTag() (text []byte, more bool, err error) {
	searched := 0
	for {
		if i := bytes.IndexByte(s.buf[s.pos+searched:s.end], '<'); i >= 0 {
			text = s.buf[s.pos : s.pos+searched+i]
			s.pos += len(text)
			return text, true, nil
		}
		if s.eof {
			text = s.buf[s.pos:s.end]
			s.pos = s.end
			return text, false, nil
		}
		searched = s.end - s.pos
		if err := s.fill(); err != nil {
			return nil, false, err
		}
	}
}

// text checks a run of character data and passes it on.
func (s *scanner) text(b []byte) error {
	plain, ok := validText(b, false)
	if !ok || len(s.ends) == 0 && !blank(b) {
		return errUnsure
	}
	if !plain {
		s.decoded = decodeText(s.decoded[:0], b)
		b = s.decoded
	}
	return s.h.chars(b)
}

// tag takes the tag that begins at pos, reading on until all of it is there.
func (s *scanner) tag() error {
	for {
		n, err := s.oneTag(s.buf[s.pos:s.end])
		if !errors.Is(err, errShort) {
			s.pos += n
			return err
		}
		if s.eof {
			return errUnsure
		}
		if err := s.fill(); err != nil {
			return err
		}
	}
}

// oneTag takes a tag off the front of b and returns its length.
func (s *scanner) oneTag(b []byte) (int, error) {
	if len(b) < 2 {
		return 0, errShort
	}
	if b[1] == '/' {
		return s.endTag(b)
	}
	n := 1 + nameLength(b[1:])
	if n == len(b) {
		return 0, errShort
	}
	name := b[1:n]
	local := localName(name)
	if local == nil {
		return 0, errUnsure
	}
	n, err := s.attributes(b, n)
	if err != nil {
		return 0, err
	}
	closed := b[n] == '/'
	if closed {
		n++
		if n == len(b) {
			return 0, errShort
		}
	}
	if b[n] != '>' {
		return 0, errUnsure
	}
	if err := s.h.start(local, s.attrs); err != nil {
		return 0, err
	}
	if closed {
		return n + 1, s.h.end()
	}
	s.names = append(s.names, name...)
	s.ends = append(s.ends, len(s.names))
	return n + 1, nil
}

// endTag takes "</name>" and compares it with the innermost open element.
func (s *scanner) endTag(b []byte) (int, error) {
	i := bytes.IndexByte(b, '>')
	if i < 0 {
		return 0, errShort
	}
	depth := len(s.ends)
	if depth == 0 {
		return 0, errUnsure
	}
	from := 0
	if depth > 1 {
		from = s.ends[depth-2]
	}
	if !bytes.Equal(s.names[from:], b[2:i]) {
		return 0, errUnsure
	}
	s.names, s.ends = s.names[:from], s.ends[:depth-1]
	return i + 1, s.h.end()
}

// attributes collects what stands between a tag's name, which ends at n, and its
// closing mark, whose place is returned.
func (s *scanner) attributes(b []byte, n int) (int, error) {
	s.attrs = s.attrs[:0]
	for {
		spaced := n
		for n < len(b) && isSpace[b[n]] {
			n++
		}
		if n == len(b) {
			return 0, errShort
		}
		if b[n] == '>' || b[n] == '/' {
			return n, nil
		}
		if n == spaced {
			return 0, errUnsure
		}
		at, length, err := oneAttribute(b[n:])
		if err != nil {
			return 0, err
		}
		n += length
		s.attrs = append(s.attrs, at)
	}
}

// oneAttribute takes name="value" off the front of b.
func oneAttribute(b []byte) (attr, int, error) {
	n := nameLength(b)
	if n+1 >= len(b) {
		return attr{}, 0, errShort
	}
	local := localName(b[:n])
	quote := b[n+1]
	if local == nil || b[n] != '=' || quote != '"' && quote != '\'' {
		return attr{}, 0, errUnsure
	}
	from := n + 2
	i := bytes.IndexByte(b[from:], quote)
	if i < 0 {
		return attr{}, 0, errShort
	}
	value := b[from : from+i]
	if _, ok := validText(value, true); !ok {
		return attr{}, 0, errUnsure
	}
	return attr{local, value}, from + i + 1, nil
}
