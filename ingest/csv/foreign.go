package csv

import "bytes"

var (
	oleMark = []byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1} // [MS-CFB] 2.2
	zipMark = []byte("PK\x03\x04")                                   // APPNOTE 4.3.7
)

// foreign refuses what is no plain text, by its first bytes.
func foreign(path string, head []byte) error {
	low := bytes.ToLower(bytes.TrimSpace(bytes.TrimPrefix(head[:min(len(head), 512)], markUTF8)))
	what := ""
	switch {
	case len(head) == 0:
		return fault(Empty, path, "the file is empty", nil)
	case bytes.HasPrefix(head, markLE32), bytes.HasPrefix(head, []byte("\x00\x00\xFE\xFF")):
		return fault(UnknownEncoding, path, "the text is UTF-32, which is not read; save it as UTF-8", nil)
	case bytes.HasPrefix(head, oleMark):
		what = "an old binary workbook (.xls)"
	case bytes.HasPrefix(head, zipMark):
		what = "a workbook (.xlsx) or another zip file"
	case bytes.HasPrefix(head, []byte("\x1F\x8B")):
		what = "a gzip file"
	case bytes.HasPrefix(low, []byte("%pdf")):
		what = "a PDF document"
	case bytes.HasPrefix(low, []byte("<html")), bytes.HasPrefix(low, []byte("<!doctype html")):
		what = "a web page (HTML)"
	case bytes.HasPrefix(low, []byte("<?xml")):
		what = "an XML file"
	}
	if what == "" {
		return nil
	}
	return fault(NotText, path, "this is "+what+", whatever its name says", nil)
}
