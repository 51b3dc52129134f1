package csv

import (
	"bytes"

	"pitlist/score/say"
)

var (
	oleMark = []byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1} // [MS-CFB] 2.2
	zipMark = []byte("PK\x03\x04")                                   // APPNOTE 4.3.7
)

// foreign refuses what is no plain text, by its first bytes.
func foreign(path string, head []byte) error {
	low := bytes.ToLower(bytes.TrimSpace(bytes.TrimPrefix(head[:min(len(head), 512)], markUTF8)))
	var what say.Text
	switch {
	case len(head) == 0:
		return fault(Empty, path, say.F("the file is empty"), nil)
	case bytes.HasPrefix(head, markLE32), bytes.HasPrefix(head, []byte("\x00\x00\xFE\xFF")):
		return fault(UnknownEncoding, path, say.F("the text is UTF-32, which is not read; save it as UTF-8"), nil)
	case bytes.HasPrefix(head, oleMark):
		what = say.F("this is an old binary workbook (.xls), whatever its name says")
	case bytes.HasPrefix(head, zipMark):
		what = say.F("this is a workbook (.xlsx) or another zip file, whatever its name says")
	case bytes.HasPrefix(head, []byte("\x1F\x8B")):
		what = say.F("this is a gzip file, whatever its name says")
	case bytes.HasPrefix(low, []byte("%pdf")):
		what = say.F("this is a PDF document, whatever its name says")
	case bytes.HasPrefix(low, []byte("<html")), bytes.HasPrefix(low, []byte("<!doctype html")):
		what = say.F("this is a web page (HTML), whatever its name says")
	case bytes.HasPrefix(low, []byte("<?xml")):
		what = say.F("this is an XML file, whatever its name says")
	}
	if what.Empty() {
		return nil
	}
	return fault(NotText, path, what, nil)
}
