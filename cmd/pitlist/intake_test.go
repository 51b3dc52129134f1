package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"pitlist/ingest"
	"pitlist/ingest/header"
	cells "pitlist/ingest/value"
	"pitlist/score"
)

// intakeFolder is the messy corpus; see its SOURCE.md.
const intakeFolder = "../../testdata/intake"

// intakeCase is what these tests need to know of a reading of the corpus.
type intakeCase struct {
	Name     string
	Files    []string
	Error    string
	Nothing  bool
	Password string
	Asks     []string
	Job      struct {
		Encoding  string
		DateOrder string `json:"date_order"`
	}
}

func intakeCases(t *testing.T) []intakeCase {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(intakeFolder, "expected.json"))
	require.NoError(t, err)
	var all struct{ Cases []intakeCase }
	require.NoError(t, json.Unmarshal(data, &all))
	return all.Cases
}

// folder copies the case's files below intake in a job's folder.
func (k *intakeCase) folder(t *testing.T) string {
	t.Helper()
	dir := workshop(t)
	require.NoError(t, os.Remove(filepath.Join(dir, "intake/a.csv")))
	for _, f := range k.Files {
		data, err := os.ReadFile(filepath.Join(intakeFolder, "files", f))
		require.NoError(t, err)
		put(t, filepath.Join(dir, "intake", filepath.Base(f)), data)
	}
	return dir
}

// readJob reads a job as `pitlist read` does.
func readJob(t *testing.T, dir, inputs, more string) *batch {
	t.Helper()
	path := filepath.Join(dir, "job.yaml")
	put(t, path, []byte(inputs+"\ncatalogue: [parts.yaml]\n"+more))
	day, err := parseDay("2026-11-25")
	require.NoError(t, err)
	b, err := configure(path, day, nil)
	require.NoError(t, err, "the job is valid:\n%s", inputs)
	err = b.readInputs(t.Context())
	if err != nil {
		require.ErrorIs(t, err, ingest.ErrNothing)
	}
	return b
}

// settings are the case's further keys of the job.
func (k *intakeCase) settings() string {
	var b strings.Builder
	if k.Job.Encoding != "" {
		fmt.Fprintf(&b, "encoding: %s\n", k.Job.Encoding)
	}
	if k.Job.DateOrder != "" {
		fmt.Fprintf(&b, "date_order: %s\n", k.Job.DateOrder)
	}
	return b.String()
}

// told writes what was read, without questions and notes.
func told(b *batch) string {
	var s strings.Builder
	for _, c := range b.read.Fleet.Counts {
		fmt.Fprintf(&s, "%+v\n", c)
	}
	for i := range b.read.Fleet.Vehicles {
		v := &b.read.Fleet.Vehicles[i]
		fmt.Fprintf(&s, "%s %s %s %s %s %d", v.Unit, v.VIN, v.VINPrefix, v.Model, v.Depot, v.ModelYear)
		for _, r := range v.Readings {
			fmt.Fprintf(&s, " %s=%g", r.Day, r.KM)
		}
		fmt.Fprintf(&s, " %d scans %d repairs %d remarks\n", len(v.Scans), len(v.Repairs), len(v.Remarks))
	}
	return s.String()
}

// TestDraftReadsTheSame: what --draft writes is a valid job's inputs, and read
// with it every file of the corpus says what it said without.
func TestDraftReadsTheSame(t *testing.T) {
	for _, k := range intakeCases(t) {
		if k.Error != "" {
			continue
		}
		t.Run(k.Name, func(t *testing.T) {
			dir := k.folder(t)
			inputs := "inputs: [ { path: intake/* } ]"
			if k.Password != "" {
				t.Setenv("PITLIST_TEST_PW", k.Password)
				inputs = "inputs: [ { path: intake/*, password_env: PITLIST_TEST_PW } ]"
			}
			first := readJob(t, dir, inputs, k.settings())
			var draft bytes.Buffer
			first.draft(&draft)
			again := readJob(t, dir, draft.String(), k.settings())
			assert.Equal(t, told(first), told(again), "%s", draft.String())
		})
	}
}

// TestEveryColumnCanBeTold: the job takes every column that a sheet can have, and no other.
func TestEveryColumnCanBeTold(t *testing.T) {
	dir := intakeCases(t)[0].folder(t)
	told := func(f string) error {
		path := filepath.Join(dir, "job.yaml")
		put(t, path, []byte(fmt.Sprintf("inputs: [ { path: \"intake/*\", sheets: [ { holds: [vehicles], columns: { X: %s } } ] } ]\ncatalogue: [parts.yaml]\n", f)))
		_, err := configure(path, 0, nil)
		return err
	}
	for _, f := range header.Fields() {
		if f != header.Measured { // goes by the measure's own name
			assert.NoError(t, told(string(f)))
		}
	}
	assert.ErrorContains(t, told("bogus"), "no column that a sheet can have")
}

// TestDraftCommand: the command writes the block and nothing else to its output.
func TestDraftCommand(t *testing.T) {
	dir := workshop(t)
	_, out, errOut := invoke(t, "read", filepath.Join(dir, "job.yaml"), "--draft", "--as-of", "2026-11-25")
	assert.Empty(t, lineOf(errOut, "error:"))
	assert.Contains(t, out, "inputs:\n  - path: \"intake/a.csv\"\n    sheets:\n      - holds: [vehicles]\n        header_row: 1\n        columns:\n          unit: unit   # A: V1 | V2\n")
	assert.Contains(t, out, "  - path: \"intake/*\"   # files that come later\n")
	for _, l := range strings.Split(out, "\n") {
		assert.True(t, l == "inputs:" || l == "" || l[0] == '#' || l[0] == ' ', "no other key of the job: %s", l)
	}
}

// TestPastedLineSettles: the line of the one question, pasted into the job,
// leaves nothing open.
func TestPastedLineSettles(t *testing.T) {
	seen := 0
	for _, k := range intakeCases(t) {
		if len(k.Asks) == 0 {
			continue
		}
		seen++
		t.Run(k.Name, func(t *testing.T) {
			dir := k.folder(t)
			b := readJob(t, dir, "inputs:\n- path: intake/*", k.settings())
			lines := pasteable(b.read.Fleet)
			require.Len(t, lines, 1, "one message asks all")
			again := readJob(t, dir, "inputs:\n- path: intake/*\n"+lines[0], k.settings())
			assert.Empty(t, pasteable(again.read.Fleet), lines[0])
			// A date that contradicts the answer stays refused, and is told of.
			assert.LessOrEqual(t, score.Sum(again.read.Fleet.Counts).Rejected, score.Sum(b.read.Fleet.Counts).Rejected, lines[0])
		})
	}
	assert.GreaterOrEqual(t, seen, 4)
}

// pasteable finds the lines for the job among the issues.
func pasteable(f *score.Fleet) []string {
	var out []string
	for _, i := range f.Issues {
		if _, line, ok := strings.Cut(i.Suggestion.String(), "with the same path: "); ok {
			out = append(out, line)
		}
	}
	return out
}

// TestRefusedRowsAreFound: all files of the corpus in one run. The account adds
// up sheet by sheet, and each line of rejected.csv leads to its file, row and
// column, where the value stands, as a program of another make opens the file.
func TestRefusedRowsAreFound(t *testing.T) {
	dir := workshop(t)
	codings := map[string]string{}
	for _, k := range intakeCases(t) {
		for _, f := range k.Files {
			name := strings.ReplaceAll(f, "/", "-")
			data, err := os.ReadFile(filepath.Join(intakeFolder, "files", f))
			require.NoError(t, err)
			put(t, filepath.Join(dir, "intake", name), data)
			codings["intake/"+name] = k.Job.Encoding
		}
	}
	code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
	require.Equal(t, exitRejected, code, "%s%s", out, errOut)
	data, err := os.ReadFile(filepath.Join(dir, "out/2026-11-25/rejected.csv"))
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"file", "sheet", "row", "column", "value", "severity"}, rows[0][:6])
	checked := map[string]int{}
	for _, r := range rows[1:] {
		if r[5] != "rejected" && r[5] != "set aside" || strings.HasPrefix(r[6], "file not read") || strings.HasPrefix(r[6], "sheet not read") {
			continue
		}
		n, err := strconv.Atoi(r[2])
		require.NoError(t, err)
		assert.True(t, stands(t, dir, r, n, codings[r[0]]), "%q is not found", r)
		checked[r[5]]++
	}
	t.Logf("found in their files: %v", checked)
	assert.GreaterOrEqual(t, checked["rejected"], 6)
	var record struct {
		Inputs []struct {
			Path   string
			Sheets []struct {
				Sheet                               string
				Read, Used, Rejected, Merged, Blank int
				SetAside                            int `json:"set_aside"`
			}
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "out/2026-11-25/run.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &record))
	for _, in := range record.Inputs {
		for _, s := range in.Sheets {
			assert.Equal(t, s.Read, s.Used+s.SetAside+s.Rejected+s.Merged+s.Blank, "%s %s", in.Path, s.Sheet)
		}
	}
	assert.Greater(t, len(record.Inputs), 100)
}

// stands opens the file of a refused row and looks for the value on that row;
// where a column is named, below its heading. The name of a vehicle may stand above
// the row, for the rows of a block, or be the sheet's.
func stands(t *testing.T, dir string, r []string, row int, coding string) bool {
	t.Helper()
	path := filepath.Join(dir, filepath.FromSlash(r[0]))
	value := strings.TrimSuffix(strings.TrimPrefix(r[4], "'"), "…")
	names := value != "" && r[3] == "" && strings.Contains(r[6], " "+value+" ")
	if !strings.HasSuffix(path, ".xlsx") && !strings.HasSuffix(path, ".xlsm") {
		return slices.ContainsFunc(decodings(t, path, coding), func(text string) bool {
			lines := strings.FieldsFunc(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\n", "\n\x01"), func(r rune) bool { return r == '\n' || r == '\r' && !strings.Contains(text, "\n") })
			if row > len(lines) {
				return false
			}
			holds := func(line string) bool {
				mended, _ := cells.MendTwice(line)
				return slices.ContainsFunc([]string{line, mended}, func(l string) bool {
					return strings.Contains(printing(strings.ReplaceAll(l, `""`, `"`)), printing(value))
				})
			}
			return holds(lines[row-1]) || strings.Contains(lines[row-1], "\x00") || names && slices.ContainsFunc(lines[:row], holds)
		})
	}
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true, Password: "harbour"})
	require.NoError(t, err)
	defer f.Close()
	sheet, _, _ := strings.Cut(r[1], ", from ") // of several tables in a sheet
	rows, err := f.GetRows(sheet)
	require.NoError(t, err)
	holds := func(cells []string) bool {
		return slices.ContainsFunc(cells, func(cell string) bool {
			return cell == value || value != "" && strings.HasPrefix(cell, value) || len(value) == 17 && strings.Contains(cell, value)
		}) // a VIN may stand beside a unit
	}
	above := names && (value == sheet || row <= len(rows) && slices.ContainsFunc(rows[:row], holds))
	return row <= len(rows) && (mergedHolds(t, f, sheet, row, value) || holds(rows[row-1]) || above) &&
		(r[3] == "" || slices.ContainsFunc(rows[:row], func(above []string) bool { return slices.Contains(above, r[3]) }))
}

// mergedHolds reports a merged cell over the row with the value: it stands in the
// first of its rows, and shows on each.
func mergedHolds(t *testing.T, f *excelize.File, sheet string, row int, value string) bool {
	t.Helper()
	merged, err := f.GetMergeCells(sheet)
	require.NoError(t, err)
	return slices.ContainsFunc(merged, func(m excelize.MergeCell) bool {
		_, first, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		require.NoError(t, err)
		_, last, err := excelize.CellNameToCoordinates(m.GetEndAxis())
		require.NoError(t, err)
		return row > first && row <= last && m.GetCellValue() == value
	})
}

// decodings reads a text file in each way that it may be meant.
func decodings(t *testing.T, path, coding string) []string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var out []string
	if utf8.Valid(data) {
		out = append(out, string(data))
	}
	for _, e := range []encoding.Encoding{charmap.Windows1252, charmap.CodePage850, charmap.ISO8859_2, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), unicode.UTF16(unicode.BigEndian, unicode.UseBOM)} {
		if text, err := e.NewDecoder().Bytes(data); err == nil {
			out = append(out, string(text))
		}
	}
	_ = coding
	return out
}
