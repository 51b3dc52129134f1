package csv

import (
	"context"
	stdcsv "encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"pitlist/score/say"
)

// FuzzCSV: never panics; row numbers ascend; every line of the file is accounted for
// by a row or a RowError, with its text.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{
		"unit;km\nA1;12,5\n", "a,\"b\nc\",d\r\n\"x", "sep=|\na|b", "\xEF\xBB\xBF\"a\"\tb\r\rc\r", "\xFF\xFEa\x00;\x00",
		"a;b;c\n1;\"x;2\n3;y;4\n5;z\";6\n", "a;\x00\n\x1A", "19\" wheel,\"\"\"\",\n\n",
		"\n=  = =", "0  0  0\r0  0  0\f \r0  0  0", "unit  model  km\n----  -----  --\nA1    Heron  12\n",
	} {
		f.Add(s)
	}
	corpusTexts(f)
	write := writer(f, "fuzz.csv")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Open(context.Background(), write(t, text), Options{Limits: Limits{RecordBytes: 500, RecordLines: 5}})
		if err != nil {
			var fault *Fault
			require.ErrorAs(t, err, &fault)
			return
		}
		defer file.Close()
		checkRows(t, file, text)
	})
}

// checkRows reads a file to its end and compares it with the lines of its text.
func checkRows(t *testing.T, file *File, text string) {
	t.Helper()
	last, kept := 0, ""
	for {
		row, cells, err := file.Read()
		var bad *RowError
		if err == io.EOF {
			break
		}
		if errors.As(err, &bad) {
			require.Equal(t, row, bad.Row)
			kept += bad.Text
		} else {
			require.NoError(t, err)
		}
		require.Greater(t, row, last)
		last = row
		kept += strings.Join(cells, "")
	}
	if file.Encoding() != "utf-8" || strings.Contains(file.Notes()[len(file.Notes())-1].String(), "Ctrl-Z") || longLine(text) || file.Delimiter() >= utf8.RuneSelf {
		return
	}
	text = strings.TrimPrefix(text, "\xEF\xBB\xBF")
	if len(file.Notes()) > 1 && strings.Contains(say.Join("", file.Notes()...).String(), "names the delimiter") {
		_, text, _ = strings.Cut(strings.ReplaceAll(text, "\r", "\n"), "\n")
	}
	if file.choice.edges != nil { // of a fixed width: rules are blank rows, and blanks of every kind fill the cells
		text, kept = strings.Join(strings.Fields(withoutRules(text)), ""), strings.Join(strings.Fields(kept), "")
	}
	require.Equal(t, letters(text, file.Delimiter()), letters(kept, file.Delimiter()))
}

// withoutRules drops the lines of dashes that show where columns of a fixed width begin.
func withoutRules(text string) string {
	lines := strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n")
	return strings.Join(slices.DeleteFunc(lines, isRule), "\n")
}

// longLine tells whether a report may have cut a line.
func longLine(text string) bool {
	for l := range strings.Lines(text) {
		if len(l) > shownBytes {
			return true
		}
	}
	return false
}

// letters drops, byte by byte, what quotation and line ends may change.
func letters(s string, delimiter rune) string {
	return strings.NewReplacer(string(delimiter), "", `"`, "", "\r", "", "\n", "").Replace(s)
}

// FuzzAgainstLibrary: where encoding/csv reads a text without complaint, and nothing
// looks like a stray mark over several rows, both give the same rows.
func FuzzAgainstLibrary(f *testing.F) {
	f.Add("a;b\n1;\"x;\"\"y\"\n")
	f.Add("\"a\nb\";c\n\n;\n")
	write := writer(f, "fuzz.csv")
	f.Fuzz(func(t *testing.T, text string) {
		// A lone CR, a first line "sep=" and an end mark are read otherwise on purpose.
		if text == "" || strings.ContainsAny(text, "\r\x00\x1A\uFEFF") || !utf8.ValidString(text) || strings.Contains(strings.ToLower(text), "sep=") {
			t.Skip()
		}
		r := stdcsv.NewReader(strings.NewReader(text))
		r.Comma, r.FieldsPerRecord = ';', -1
		var want []string
		for {
			cells, err := r.Read()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Skip()
			}
			line, _ := r.FieldPos(0)
			want = append(want, fmt.Sprintf("%d [%s]", line, strings.Join(cells, "][")))
		}
		file, err := Open(context.Background(), write(t, text), Options{Delimiter: ';', Encoding: "utf-8"})
		if err != nil {
			t.Skip() // begins like a file of another kind
		}
		defer file.Close()
		all, err := readAll(file)
		require.NoError(t, err)
		got := all[:0]
		for _, row := range all {
			if strings.HasSuffix(row, faultSwallowed().String()) {
				t.Skip()
			}
			if !strings.HasSuffix(row, " []") { // the library passes over blank lines
				got = append(got, row)
			}
		}
		want = without(want, " []")
		require.Equal(t, len(want), len(got))
		for i := range want {
			require.Equal(t, want[i], got[i])
		}
	})
}

// without drops the rows of one empty cell, which print as blank lines do.
func without(rows []string, suffix string) (out []string) {
	for _, r := range rows {
		if !strings.HasSuffix(r, suffix) {
			out = append(out, r)
		}
	}
	return out
}

// BenchmarkRead reads 200,000 rows, beside encoding/csv on the same bytes.
func BenchmarkRead(b *testing.B) {
	var text strings.Builder
	text.WriteString("unit;vin;depot;odometer;date;remarks\n")
	for i := range 200_000 {
		fmt.Fprintf(&text, "N-%05d;Z9KTEAL%010d;Harbour;%d;2026-11-23;\"no remarks\"\n", i, i, i)
	}
	path := write(b, "fleet.csv", text.String())
	b.Run("ours", func(b *testing.B) {
		b.SetBytes(int64(text.Len()))
		for b.Loop() {
			f, err := Open(context.Background(), filepath.Clean(path), Options{})
			require.NoError(b, err)
			for err == nil {
				_, _, err = f.Read()
			}
			require.Equal(b, io.EOF, err)
			require.NoError(b, f.Close())
		}
	})
	b.Run("encoding_csv", func(b *testing.B) {
		b.SetBytes(int64(text.Len()))
		for b.Loop() {
			r := stdcsv.NewReader(strings.NewReader(text.String()))
			r.Comma, r.ReuseRecord = ';', true
			var err error
			for err == nil {
				_, err = r.Read()
			}
			require.Equal(b, io.EOF, err)
		}
	})
}
