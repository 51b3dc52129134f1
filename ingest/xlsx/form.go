package xlsx

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"

	"pitlist/score/say"
)

// form is the shape that a part must have. The scanner and encoding/xml feed the
// same one, so that they can differ in XML itself only. Slices are valid during the
// call; text is decoded, and may come in pieces. Names come without prefix, as
// excelize compares them.
type form interface {
	start(local []byte, attrs []attr) error
	chars(b []byte) error
	end() error
	whole() bool     // the part's root was seen to its end
	place() say.Text // where the walk stands, for whoever opens the file
}

// attr is an attribute without its prefix.
type attr struct{ local, value []byte }

// find returns the value of an attribute, nil if it is absent. Twice the same name
// is refused: readers differ in which they take.
func find(attrs []attr, name string) ([]byte, error) {
	var value []byte
	for _, at := range attrs {
		if string(at.local) != name {
			continue
		}
		if value != nil {
			return nil, damaged(say.F("attribute %s stands twice", quoted(name)))
		}
		if value = at.value; value == nil {
			value = []byte{}
		}
	}
	return value, nil
}

// blank tells whether text holds nothing but XML white space.
func blank(b []byte) bool {
	for _, c := range b {
		if c != ' ' && c != '\n' && c != '\t' && c != '\r' {
			return false
		}
	}
	return true
}

var errNoRoot = damaged(say.F("the document ends before its root element does"))

// bounded ends the reading where one token goes on and on: encoding/xml, and excelize
// after it, would hold all of it in memory.
type bounded struct {
	r    io.Reader
	h    form
	most int64  // bytes of a token
	n    int64  // bytes read for the token at hand
	head []byte // the first of them
}

const (
	readAhead = 4 << 10 // what encoding/xml may have read beyond a token
	shownHead = 20      // bytes of bounded.head
)

func (b *bounded) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	if b.n == 0 {
		b.head = append(b.head[:0], p[:min(n, shownHead)]...)
	}
	if b.n += int64(n); b.n > b.most+readAhead {
		return 0, overLimit(say.F("%s: bytes of a single text or tag, in which %s stands, are over the limit of %d (job file: %s)", b.h.place(), cut(b.head), b.most, "limits.record_bytes"))
	}
	return n, err
}

// walkXML walks a part with encoding/xml: slow, and the authority. A text or tag may
// be as long as a row, and no shorter than the scanner takes it.
func walkXML(r io.Reader, h form, limits Limits) error {
	b := &bounded{r: r, h: h, most: max(limits.RecordBytes, maxToken)}
	d := xml.NewDecoder(b)
	for {
		b.n = 0
		first := d.InputOffset() == 0
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			if !h.whole() {
				return errNoRoot
			}
			return nil
		}
		if syntax := (*xml.SyntaxError)(nil); errors.As(err, &syntax) {
			return &formError{Damaged, h.place(), syntax}
		}
		if err != nil {
			return err
		}
		if err := feed(h, token, first); err != nil {
			return atLine(err, d)
		}
	}
}

// feed passes one token on. The first of all may begin with a byte order mark.
func feed(h form, token xml.Token, first bool) error {
	switch t := token.(type) {
	case xml.StartElement:
		attrs := make([]attr, len(t.Attr))
		for i, at := range t.Attr {
			attrs[i] = attr{[]byte(at.Name.Local), []byte(at.Value)}
		}
		return h.start([]byte(t.Name.Local), attrs)
	case xml.EndElement:
		return h.end()
	case xml.CharData:
		if first {
			t = bytes.TrimPrefix(t, byteOrderMark)
		}
		if len(t) == 0 {
			return nil
		}
		return h.chars(t)
	case xml.Directive:
		return declares(t)
	}
	return nil
}

// declares refuses what begins with "<!": a document type, within which entities may stand.
func declares(t xml.Directive) error {
	return damaged(say.F("it declares a document type or entities, %s, which a workbook may not", cut(t)))
}

// atLine adds the place to an error of the form.
func atLine(err error, d *xml.Decoder) error {
	var f *formError
	if !errors.As(err, &f) {
		return err
	}
	line, _ := d.InputPos()
	return &formError{f.kind, say.F("%s (line %d of the XML)", f.text, line), f.err}
}

var byteOrderMark = []byte("\xEF\xBB\xBF")
