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
	whole() bool // the part's root was seen to its end
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
// after it, would hold all of it in memory. A cell has 32,767 characters at most.
type bounded struct {
	r io.Reader
	n int // bytes read for the token at hand
}

func (b *bounded) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	if b.n += n; b.n > maxToken {
		return 0, damaged(say.F("a single text or tag of more than %d bytes", maxToken))
	}
	return n, err
}

// walkXML walks a part with encoding/xml: slow, and the authority.
func walkXML(r io.Reader, h form) error {
	b := &bounded{r: r}
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
		return damaged(say.F("it declares a document type or entities, which a workbook may not"))
	}
	return nil
}

// atLine adds the place to an error of the form.
func atLine(err error, d *xml.Decoder) error {
	var f *formError
	if !errors.As(err, &f) {
		return err
	}
	line, _ := d.InputPos()
	return &formError{f.kind, say.F("%s (line %d of the XML)", f.text, line)}
}

var byteOrderMark = []byte("\xEF\xBB\xBF")
