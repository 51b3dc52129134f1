package csv

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"pitlist/score/say"
)

// headSize is how much of the file the guesses look at.
const headSize = 64 << 10

// survey is what the first pass learns.
type survey struct {
	head   []byte // the first bytes, raw
	size   int64
	digest string
	utf8   bool // valid UTF-8 throughout
}

// look reads the whole file once, in a stream.
func look(ctx context.Context, r io.Reader, limit int64) (survey, error) {
	sum := sha256.New()
	s := survey{utf8: true}
	buf := make([]byte, 256<<10)
	held := 0 // bytes of a character that began at the end of the last piece
	for {
		if err := ctx.Err(); err != nil {
			return s, err
		}
		n, err := r.Read(buf[held:])
		piece := buf[held : held+n]
		sum.Write(piece)
		s.size += int64(n)
		if len(s.head) < headSize {
			s.head = append(s.head, piece[:min(n, headSize-len(s.head))]...)
		}
		if s.size > limit {
			return s, errTooLong
		}
		if s.utf8 {
			held, s.utf8 = checkUTF8(buf[:held+n])
		}
		if err == io.EOF {
			s.utf8 = s.utf8 && held == 0
			s.digest = hex.EncodeToString(sum.Sum(nil))
			return s, nil
		}
		if err != nil {
			return s, err
		}
	}
}

// checkUTF8 checks b but for a character that is cut off at its end, which it moves
// to the front and counts.
func checkUTF8(b []byte) (held int, ok bool) {
	for cut := range min(len(b), utf8.UTFMax) {
		tail := b[len(b)-cut:]
		if cut > 0 && utf8.RuneStart(tail[0]) && !utf8.FullRune(tail) {
			if !utf8.Valid(b[:len(b)-cut]) {
				return 0, false
			}
			return copy(b, tail), true
		}
	}
	return 0, utf8.Valid(b)
}

// coding is a decided encoding.
type coding struct {
	name string            // as shown to the user
	enc  encoding.Encoding // nil: UTF-8, read as it is
	mark int               // bytes of byte order mark to leave out
	why  say.Text
}

// Byte order marks, Unicode 16, 2.13 and 23.8.
var (
	markUTF8  = []byte("\xEF\xBB\xBF")
	markLE    = []byte("\xFF\xFE")
	markBE    = []byte("\xFE\xFF")
	markLE32  = []byte("\xFF\xFE\x00\x00")
	utf16LE   = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	utf16BE   = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	codePages = map[string]encoding.Encoding{
		"cp437": charmap.CodePage437, "ibm437": charmap.CodePage437,
		"cp850": charmap.CodePage850, "ibm850": charmap.CodePage850,
		"cp852": charmap.CodePage852, "ibm852": charmap.CodePage852,
		"cp858": charmap.CodePage858, "ibm00858": charmap.CodePage858,
		"cp865": charmap.CodePage865, "ibm865": charmap.CodePage865,
	}
)

// decide settles the encoding: a byte order mark, then what the job says, then zero
// bytes, then valid UTF-8, else Windows-1252. Detectors by letter frequency were
// rejected: on short German or Finnish text they guess wrong.
func decide(s survey, asked string) (coding, error) {
	if c, ok := marked(s.head); ok {
		return c, nil
	}
	if asked != "" {
		return named(asked)
	}
	if c, ok := byZeroBytes(s.head); ok {
		return c, nil
	}
	if s.utf8 {
		return coding{name: "utf-8", why: say.F("every byte fits it")}, nil
	}
	return coding{name: "windows-1252", enc: charmap.Windows1252, why: say.F("the bytes are not valid UTF-8")}, nil
}

// marked reads the byte order mark.
func marked(head []byte) (coding, bool) {
	why := say.F("it has a byte order mark")
	switch {
	case bytes.HasPrefix(head, markUTF8):
		return coding{"utf-8", nil, len(markUTF8), why}, true
	case bytes.HasPrefix(head, markLE):
		return coding{"utf-16le", utf16LE, len(markLE), why}, true
	case bytes.HasPrefix(head, markBE):
		return coding{"utf-16be", utf16BE, len(markBE), why}, true
	}
	return coding{}, false
}

// named finds an encoding by the name in the job.
func named(name string) (coding, error) {
	low := strings.ToLower(strings.TrimSpace(name))
	why := say.F("the job says so")
	switch low {
	case "utf-8", "utf8":
		return coding{name: "utf-8", why: why}, nil
	case "utf-16le", "utf-16":
		return coding{"utf-16le", utf16LE, 0, why}, nil
	case "utf-16be":
		return coding{"utf-16be", utf16BE, 0, why}, nil
	}
	if enc, ok := codePages[low]; ok {
		return coding{low, enc, 0, why}, nil
	}
	enc, err := htmlindex.Get(low)
	if err != nil || enc == encoding.Replacement {
		return coding{}, UnknownEncoding
	}
	return coding{low, enc, 0, why}, nil
}

// byZeroBytes tells UTF-16 without a mark: in text that is mostly Latin every other
// byte is zero, always on the same side.
func byZeroBytes(head []byte) (coding, bool) {
	head = head[:len(head)&^1]
	var zero [2]int
	for i, b := range head {
		if b == 0 {
			zero[i&1]++
		}
	}
	pairs := len(head) / 2
	why := say.F("every second byte is zero")
	switch {
	case pairs < 2:
	case zero[1]*10 > pairs*7 && zero[0]*50 < pairs:
		return coding{"utf-16le", utf16LE, 0, why}, true
	case zero[0]*10 > pairs*7 && zero[1]*50 < pairs:
		return coding{"utf-16be", utf16BE, 0, why}, true
	}
	return coding{}, false
}
