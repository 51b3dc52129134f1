package csv

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"pitlist/score/say"
)

// textLine is a line of the file without its end.
type textLine struct {
	number int
	text   string
	fault  say.Text // why it cannot be used; empty if it can
}

// lineReader cuts decoded text into lines of bounded length.
type lineReader struct {
	in       *bufio.Reader
	limit    int  // bytes of a line
	check    bool // whether invalid UTF-8 is possible
	number   int  // of the last line
	lost     int  // lines with characters that the encoding does not know
	lostAt   int  // the first of them
	decoding bool // whether such characters are looked for
	endMark  bool // Ctrl-Z stood at the end
}

const endOfText = "\x1A" // Ctrl-Z, the end of a text file under DOS

// shownBytes is how much of a faulty line a report shows.
const shownBytes = 300

// next gives the next line, io.EOF after the last. A line end at the end of the file
// does not begin another line.
func (r *lineReader) next() (textLine, error) {
	raw, length, err := r.raw()
	if err != nil && (!errors.Is(err, io.EOF) || length == 0) {
		return textLine{}, err
	}
	r.number++
	l := textLine{number: r.number, text: raw}
	if strings.HasSuffix(raw, endOfText) && r.atEnd() {
		r.endMark = true
		if l.text = strings.TrimRight(raw, endOfText+"\r"); l.text == "" {
			return textLine{}, io.EOF
		}
	}
	l.fault = r.faultOf(&l, length)
	return l, nil
}

// raw reads up to the line end and returns the text, cut if it is over the limit,
// and its whole length in bytes with the line end.
func (r *lineReader) raw() (text string, length int, err error) {
	var long []byte
	for {
		piece, err := r.in.ReadSlice('\n')
		length += len(piece)
		if err == nil && long == nil {
			return string(trimEnd(piece)), length, nil
		}
		if len(long) <= r.limit {
			long = append(long, piece...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return string(trimEnd(long)), length, err
		}
	}
}

// trimEnd cuts LF, CR LF, and the CR CR LF of a twice converted file.
func trimEnd(b []byte) []byte {
	b, ended := bytes.CutSuffix(b, []byte("\n"))
	if ended {
		b = bytes.TrimRight(b, "\r")
	}
	return b
}

// atEnd tells whether nothing is left to read.
func (r *lineReader) atEnd() bool {
	_, err := r.in.Peek(1)
	return err == io.EOF
}

// faultOf looks for what makes a line unusable, and cuts a long one down.
func (r *lineReader) faultOf(l *textLine, length int) say.Text {
	if r.decoding && strings.ContainsRune(l.text, utf8.RuneError) {
		if r.lost++; r.lostAt == 0 {
			r.lostAt = l.number
		}
	}
	switch {
	case len(l.text) > r.limit:
		l.text = l.text[:min(r.limit, shownBytes)]
		return say.F("the line is %d bytes long, over the limit of %d (job file: limits.record_bytes)", length, r.limit)
	case strings.IndexByte(l.text, 0) >= 0:
		return say.F("the line holds a NUL character, so the file is damaged here or not plain text")
	case r.check && !utf8.ValidString(l.text):
		return say.F("the line is not valid UTF-8")
	}
	return say.Text{}
}

// carriageReturns turns CR and CR LF into LF, for files of old Macintosh programs,
// whose lines end in CR alone.
type carriageReturns struct {
	r     io.Reader
	after bool // the last byte was CR
}

func (c *carriageReturns) Read(p []byte) (int, error) {
	for {
		n, err := c.r.Read(p)
		out := p[:0]
		for _, b := range p[:n] {
			pair := c.after && b == '\n'
			c.after = b == '\r'
			if c.after {
				b = '\n'
			}
			if !pair {
				out = append(out, b)
			}
		}
		if len(out) > 0 || err != nil || n == 0 {
			return len(out), err
		}
	}
}
