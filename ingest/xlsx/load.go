package xlsx

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/ingest/ordinary"
	"pitlist/score/say"
)

// load reads the file once, so that the digest, the check and excelize all see the
// same bytes even if someone saves the workbook meanwhile.
func load(ctx context.Context, path, folder string, limits Limits) ([]byte, error) {
	if strings.HasPrefix(filepath.Base(path), "~$") {
		return nil, fault(LockFile, path, say.F("this is the lock file of a workbook that is open"), nil)
	}
	f, info, refused := ordinary.Open(path, folder)
	if refused != nil {
		return nil, fault(Kind(refused.Kind), path, refused.Text, refused.Err)
	}
	defer f.Close()
	if info.Size() > limits.FileBytes {
		return nil, asFault(path, "", "", overLimit(say.F("bytes of the file are over the limit of %d (job file: %s)", limits.FileBytes, "limits.file_bytes")))
	}
	data, err := readAll(ctx, f, info.Size(), limits)
	if err != nil {
		var over *formError
		if isCancelled(err) || errors.As(err, &over) {
			return nil, asFault(path, "", "", err)
		}
		return nil, fault(Unreadable, path, say.F("cannot be read"), err)
	}
	if len(data) == 0 {
		return nil, fault(Empty, path, say.F("the file is empty"), nil)
	}
	return data, nil
}

// readAll reads at most the limit, in pieces so that a cancellation takes effect.
func readAll(ctx context.Context, r io.Reader, size int64, limits Limits) ([]byte, error) {
	buf := bytes.NewBuffer(make([]byte, 0, size+bytes.MinRead))
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		_, err := io.CopyN(buf, r, 4<<20)
		if int64(buf.Len()) > limits.FileBytes {
			return nil, overLimit(say.F("bytes of the file are over the limit of %d (job file: %s)", limits.FileBytes, "limits.file_bytes"))
		}
		if errors.Is(err, io.EOF) {
			return buf.Bytes(), nil
		}
		if err != nil {
			return nil, err
		}
	}
}

var (
	oleMark = []byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1} // [MS-CFB] 2.2, header signature
	zipMark = []byte("PK\x03\x04")                                   // APPNOTE 4.3.7, local file header
	// encryptedPackage is the stream's name in UTF-16LE: [MS-OFFCRYPTO] 2.3.4.4.
	encryptedPackage = utf16le("EncryptedPackage")
	encryptionInfo   = utf16le("EncryptionInfo") // [MS-OFFCRYPTO] 2.3.4.10
)

// defaultPassword opens workbooks that are encrypted without asking the reader for a
// password ([MS-XLSX] write protection); spreadsheet programs try it by themselves.
const defaultPassword = "VelvetSweatshop"

// unlock looks at the first bytes and returns the zip of a workbook, decrypted if
// need be, or a fault that says what the file is instead.
func unlock(path string, data []byte, password string) ([]byte, error) {
	switch {
	case bytes.HasPrefix(data, oleMark):
		if !bytes.Contains(data, encryptedPackage) {
			return nil, fault(OldFormat, path, say.F("this is an old binary workbook (.xls), whatever its name says"), nil)
		}
		if oversized(data) {
			return nil, fault(Damaged, path, say.F("the encrypted package cannot be read: its directory is far larger than an honest one's"), nil)
		}
		return decrypt(path, data, password)
	case bytes.HasPrefix(data, zipMark):
		return data, nil
	case len(data) < len(zipMark) && bytes.HasPrefix(zipMark, data),
		len(data) < len(oleMark) && bytes.HasPrefix(oleMark, data):
		return nil, truncated(path, data)
	}
	return nil, fault(NotWorkbook, path, describe(data), nil)
}

func truncated(path string, data []byte) error {
	return fault(Truncated, path, say.F("incomplete, %d bytes", len(data)), nil)
}

// decrypt opens a protected workbook in memory.
func decrypt(path string, data []byte, password string) (plain []byte, err error) {
	asked := password != ""
	if !asked {
		password = defaultPassword
	}
	defer func() {
		if p := recover(); p != nil {
			plain, err = nil, fault(Damaged, path, say.F("the encrypted package cannot be read"), fmt.Errorf("%v", p))
		}
	}()
	plain, err = excelize.Decrypt(data, &excelize.Options{Password: password})
	switch {
	case err == nil && bytes.HasPrefix(plain, zipMark):
		return plain, nil
	case !asked:
		return nil, fault(Protected, path, say.F("the workbook is protected by a password"), nil)
	case err != nil:
		return nil, fault(Damaged, path, say.F("the encrypted package cannot be read"), err)
	}
	return nil, fault(WrongPassword, path, say.F("the password does not open the workbook"), nil)
}

// describe says what a file that is no workbook looks like.
func describe(data []byte) say.Text {
	head := bytes.ToLower(bytes.TrimSpace(bytes.TrimPrefix(data[:min(len(data), 512)], []byte("\xEF\xBB\xBF"))))
	switch {
	case bytes.HasPrefix(head, []byte("<html")), bytes.HasPrefix(head, []byte("<!doctype html")), bytes.HasPrefix(head, []byte("<table")):
		return say.F("this is a web page (HTML), not a workbook")
	case bytes.HasPrefix(head, []byte("<?xml")), bytes.HasPrefix(head, []byte("<")):
		return say.F("this is an XML export, not a workbook")
	case bytes.HasPrefix(head, []byte("%pdf")):
		return say.F("this is a PDF document, not a workbook")
	case bytes.IndexByte(head, 0) >= 0:
		return say.F("this is a binary file of another kind, not a workbook")
	}
	return say.F("this is a text file, not a workbook")
}

// utf16le encodes ASCII text as UTF-16LE.
func utf16le(s string) []byte {
	out := make([]byte, 0, 2*len(s))
	for i := range len(s) {
		out = append(out, s[i], 0)
	}
	return out
}
