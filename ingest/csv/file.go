package csv

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"slices"
	"strconv"
	"unicode/utf8"

	"pitlist/ingest/ordinary"
	"pitlist/score/say"
)

// Limits bound what a damaged or hostile file may cost. A zero field means its
// default; an exceeded limit names itself and its key in the job file.
type Limits struct {
	Bytes       int64 // the file; default 4 GiB; limits.bytes
	Rows        int64 // rows, blank and faulty ones too; default 20,000,000; limits.rows
	RecordBytes int   // one row; default 1 MiB; limits.record_bytes; a longer one is a RowError
	RecordLines int   // lines of one row, by line ends in quoted cells; default 1,000; limits.record_lines
}

func (l Limits) withDefaults() Limits {
	setDefault(&l.Bytes, 4<<30)
	setDefault(&l.Rows, 20_000_000)
	setDefault(&l.RecordBytes, 1<<20)
	setDefault(&l.RecordLines, 1000)
	return l
}

func setDefault[T int | int64](field *T, value T) {
	if *field == 0 {
		*field = value
	}
}

// Options of Open. The zero value lets the file decide.
type Options struct {
	Encoding  string // a name such as windows-1252; default: byte order mark, zero bytes of UTF-16, valid UTF-8, else windows-1252
	Delimiter rune   // default: a "sep=" line, else the steadiest of ; tab , | :
	Folder    string // links must not lead out of it; default: the one that the file lies in
	Limits    Limits
}

// File is an open text file. It belongs to one goroutine.
type File struct {
	path   string
	ctx    context.Context
	limits Limits
	file   *os.File
	sum    hash.Hash // over the raw bytes of the second pass
	survey survey
	coding coding
	choice choice
	notes  []say.Text
	in     *lineReader
	ahead  []textLine // lines read but not yet used
	cells  []string   // reused from row to row
	begun  bool       // a row of a table of fixed width was read
	rows   int64
	err    error
}

var errTooLong = errors.New("over the limit")

// Open reads the file once to settle encoding, line ends and delimiter, and stands
// before its first row. Errors are *Fault, or the context's error if ctx ends first;
// ctx also ends reading later on.
func Open(ctx context.Context, path string, o Options) (*File, error) {
	f := &File{path: path, ctx: ctx, limits: o.Limits.withDefaults()}
	if err := f.open(o); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// open does the work of Open; the caller closes the file if it fails.
func (f *File) open(o Options) error {
	file, _, refused := ordinary.Open(f.path, o.Folder)
	if refused != nil {
		return fault(Kind(refused.Kind), f.path, refused.Text, refused.Err)
	}
	f.file = file
	if err := f.firstPass(o.Encoding); err != nil {
		return err
	}
	if _, err := f.file.Seek(0, io.SeekStart); err != nil {
		return fault(Unreadable, f.path, say.F("cannot be read twice"), err)
	}
	return f.secondPass(o.Delimiter)
}

// firstPass surveys the file and decides its encoding.
func (f *File) firstPass(asked string) error {
	var err error
	f.survey, err = look(f.ctx, f.file, f.limits.Bytes)
	switch {
	case errors.Is(err, errTooLong):
		return overLimit(f.path, say.F("bytes of the file are over the limit of %d (job file: %s)", f.limits.Bytes, "limits.bytes"))
	case err != nil && f.ctx.Err() != nil:
		return err
	case err != nil:
		return fault(Unreadable, f.path, say.F("cannot be read"), err)
	}
	if err := foreign(f.path, f.survey.head); err != nil {
		return err
	}
	if f.coding, err = decide(f.survey, asked); err != nil {
		return fault(UnknownEncoding, f.path, say.F("no encoding is called %s", strconv.Quote(asked)), nil)
	}
	if f.survey.size == int64(f.coding.mark) {
		return fault(Empty, f.path, say.F("the file is empty"), nil)
	}
	f.note(say.F("read as %s: %s", f.coding.name, f.coding.why))
	return nil
}

// secondPass prepares the reading of rows.
func (f *File) secondPass(asked rune) error {
	f.sum = sha256.New()
	raw := io.TeeReader(f.file, f.sum)
	if _, err := io.CopyN(io.Discard, raw, int64(f.coding.mark)); err != nil {
		return fault(Unreadable, f.path, say.F("cannot be read"), err)
	}
	if f.coding.enc != nil {
		raw = f.coding.enc.NewDecoder().Reader(raw)
	}
	in := bufio.NewReaderSize(raw, headSize)
	head, err := in.Peek(headSize)
	if err != nil && err != io.EOF {
		return fault(Unreadable, f.path, say.F("cannot be read"), err)
	}
	if bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		f.note(say.F("its lines end in CR alone"))
		in = bufio.NewReaderSize(&carriageReturns{r: in}, headSize)
	}
	f.in = &lineReader{in: in, limit: f.limits.RecordBytes, check: f.coding.enc == nil && !f.survey.utf8, decoding: f.coding.enc != nil}
	return f.settleDelimiter(asked)
}

// settleDelimiter reads the first lines and decides by them.
func (f *File) settleDelimiter(asked rune) error {
	if asked != 0 && !usable(asked) {
		return fault(NotText, f.path, say.F("%s cannot be a delimiter", strconv.QuoteRune(asked)), nil)
	}
	lines, err := f.firstLines()
	if err != nil {
		return err
	}
	sep := ""
	if len(lines) > 0 {
		if d, ok := sepLine(lines[0]); ok {
			sep, lines = d, lines[1:]
			f.ahead = f.ahead[1:]
			f.note(say.F("its first line names the delimiter %s", strconv.Quote(d)))
		}
	}
	if asked != 0 {
		sep = string(asked)
	}
	if sep == "" {
		f.choice = chooseDelimiter(f.path, lines)
		if f.choice.hasFixed(lines) {
			f.choice.delimiter, f.choice.width = " ", len(f.choice.edges)
			f.note(say.F("its cells stand in %d columns of fixed width", f.choice.width))
		}
		return nil
	}
	f.choice.delimiter = sep
	f.choice.width, f.choice.share = steadiness(lines, sep)
	return nil
}

// firstLines reads ahead what the guess of the delimiter looks at.
func (f *File) firstLines() ([]string, error) {
	var lines []string
	for size := 0; len(lines) < sniffLines && size < headSize; {
		if err := f.lookAhead(len(lines)); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		text := f.ahead[len(lines)].text
		lines = append(lines, text)
		size += len(text)
	}
	return lines, nil
}

// lookAhead makes sure that line i after the current place has been read.
func (f *File) lookAhead(i int) error {
	for len(f.ahead) <= i {
		l, err := f.in.next()
		if errors.Is(err, io.EOF) {
			return f.finish()
		}
		if err != nil {
			return fault(Unreadable, f.path, say.F("after line %d", f.in.number), err)
		}
		f.ahead = append(f.ahead, l)
	}
	return nil
}

// finish compares the digests of both passes; io.EOF if they agree.
func (f *File) finish() error {
	if hex.EncodeToString(f.sum.Sum(nil)) != f.survey.digest {
		return fault(Changed, f.path, say.F("the file changed while it was read"), nil)
	}
	return io.EOF
}

// Read gives the next row: the line in the file, from 1, on which it begins, and its
// cells as they stand, quotation resolved. A blank line is a row without cells. The
// slice is valid until the next Read. A *RowError concerns that row only; after any
// other error, io.EOF included, later calls repeat it.
func (f *File) Read() (row int, cells []string, err error) {
	if f.err == nil {
		f.err = f.ctx.Err()
	}
	if f.err == nil {
		f.err = f.lookAhead(0)
	}
	if f.err == nil {
		if f.rows++; f.rows > f.limits.Rows {
			f.err = overLimit(f.path, say.F("rows are over the limit of %d (job file: %s)", f.limits.Rows, "limits.rows"))
		}
	}
	if f.err != nil {
		return 0, nil, f.err
	}
	return f.row()
}

// row takes a row off the lines ahead. Where quotation does not come out, only the
// first line is given up, and reading goes on behind that.
func (f *File) row() (int, []string, error) {
	first := f.ahead[0]
	if !first.fault.Empty() {
		f.drop(1)
		return first.number, nil, &RowError{Row: first.number, Text: shown(first.text), Reason: first.fault}
	}
	if f.choice.edges != nil {
		return f.fixedRow(&first)
	}
	cells, used, fault := record(f.cells[:0], first.text, f.choice.delimiter, f.follow(len(first.text)))
	f.cells = cells
	if fault.Empty() && used > 1 && f.swallows(used) {
		fault = faultSwallowed()
	}
	if f.err != nil && !errors.Is(f.err, io.EOF) {
		return 0, nil, f.err
	}
	f.err = nil
	if !fault.Empty() {
		f.drop(1)
		return first.number, nil, &RowError{first.number, shown(first.text), fault, plain(first.text, f.choice.delimiter)}
	}
	f.drop(used)
	return first.number, cells, nil
}

// fixedRow takes a row of columns of fixed width: a line.
func (f *File) fixedRow(l *textLine) (int, []string, error) {
	cells, fault := f.cut(l.text)
	number, text := l.number, l.text
	f.drop(1)
	if !fault.Empty() {
		return number, nil, &RowError{Row: number, Text: shown(text), Reason: fault}
	}
	f.cells = cells
	return number, cells, nil
}

// follow gives the lines after the first, one a call, within the bounds of a record.
func (f *File) follow(size int) func() (string, bool) {
	at := 0
	return func() (string, bool) {
		if at++; at >= f.limits.RecordLines {
			return "", false
		}
		if f.err = f.lookAhead(at); f.err != nil {
			return "", false
		}
		l := f.ahead[at]
		if size += len(l.text) + 1; size > f.limits.RecordBytes || !l.fault.Empty() {
			return "", false
		}
		return l.text, true
	}
}

// swallows tells whether a row over several lines is really several rows, two of
// which have a stray quotation mark: each of its lines has by itself as many cells
// as the rows of this file. Not asked of files with fewer than three columns, where
// a remark over two lines can look like that.
func (f *File) swallows(used int) bool {
	if f.choice.width < 3 {
		return false
	}
	for _, l := range f.ahead[:used] {
		if len(plain(l.text, f.choice.delimiter)) != f.choice.width {
			return false
		}
	}
	return true
}

// drop lets go of lines that are done with.
func (f *File) drop(n int) { f.ahead = slices.Delete(f.ahead, 0, n) }

// shown cuts a line for a report, at a whole character.
func shown(text string) string {
	if len(text) <= shownBytes {
		return text
	}
	n := shownBytes
	for n > 0 && !utf8.RuneStart(text[n]) {
		n--
	}
	return text[:n]
}

// Encoding is the encoding in use, as the job file would name it.
func (f *File) Encoding() string { return f.coding.name }

// Delimiter is the delimiter in use. A file of one column has the one it would have.
func (f *File) Delimiter() rune {
	r, _ := utf8.DecodeRuneInString(f.choice.delimiter)
	return r
}

// SHA256 is the hexadecimal digest of the file; at io.EOF it is certain that the rows
// came from these bytes.
func (f *File) SHA256() string { return f.survey.digest }

// Notes says what was decided and found, one sentence each; complete at io.EOF.
func (f *File) Notes() []say.Text {
	notes := slices.Clone(f.notes)
	if f.in != nil && f.in.lost > 0 {
		notes = append(notes, say.One(f.in.lost, say.F("1 line holds characters that %s does not know, line %d", f.coding.name, f.in.lostAt),
			say.F("%d lines hold characters that %s does not know, the first is line %d", f.in.lost, f.coding.name, f.in.lostAt)))
	}
	if f.in != nil && f.in.endMark {
		notes = append(notes, say.F("an end mark (Ctrl-Z) at the end is left out"))
	}
	return notes
}

func (f *File) note(t say.Text) { f.notes = append(f.notes, t) }

// Close closes the file. Later calls do nothing.
func (f *File) Close() error {
	if f.file == nil {
		return nil
	}
	file := f.file
	f.file = nil
	if f.err == nil {
		f.err = fmt.Errorf("text file %s: already closed", f.path)
	}
	return file.Close()
}
