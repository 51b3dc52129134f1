package csv

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// write puts text into a file of its own.
func write(t testing.TB, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// writer gives a writer of files whose place is reused: a fuzzer would make a
// folder a text otherwise, which takes longer than reading it.
func writer(f *testing.F, name string) func(testing.TB, string) string {
	path := filepath.Join(f.TempDir(), name)
	return func(t testing.TB, text string) string {
		t.Helper()
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
}

// readAll gives one string per row: line, then the cells in brackets, or the reason
// of a RowError.
func readAll(f *File) (out []string, err error) {
	for {
		row, cells, err := f.Read()
		var bad *RowError
		switch {
		case errors.Is(err, io.EOF):
			return out, nil
		case errors.As(err, &bad):
			out = append(out, fmt.Sprintf("%d! %s", bad.Row, bad.Reason))
		case err != nil:
			return out, err
		default:
			out = append(out, fmt.Sprintf("%d [%s]", row, strings.Join(cells, "][")))
		}
	}
}

// open opens text under a name.
func open(t testing.TB, name, text string, o Options) *File {
	t.Helper()
	f, err := Open(context.Background(), write(t, name, text), o)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, f.Close()) })
	return f
}

func TestRows(t *testing.T) {
	const nul = "the line holds a NUL character, so the file is damaged here or not plain text"
	cases := []struct {
		rule, text string
		want       []string
	}{
		{"semicolon beats the comma of decimals", "unit;km\nA1;12,5\nA2;13,5\n", []string{"1 [unit][km]", "2 [A1][12,5]", "3 [A2][13,5]"}},
		{"comma", "unit,km,day\nA1,1,2\nA2,3,4\n", []string{"1 [unit][km][day]", "2 [A1][1][2]", "3 [A2][3][4]"}},
		{"tab", "unit\tkm\nA1\t12,5\n", []string{"1 [unit][km]", "2 [A1][12,5]"}},
		{"bar", "unit|km\nA1|12\n", []string{"1 [unit][km]", "2 [A1][12]"}},
		{"title rows above do not outvote the table", "Fleet list, Harbour, 2026\n\nunit;vin;km\nA1;Z9K1;3\nA2;Z9K2;4\n", []string{"1 [Fleet list, Harbour, 2026]", "2 []", "3 [unit][vin][km]", "4 [A1][Z9K1][3]", "5 [A2][Z9K2][4]"}},
		{"delimiters inside quotes do not count", "unit,remarks\nA1,\"a;b;c\"\nA2,\"d;e;f\"\n", []string{"1 [unit][remarks]", "2 [A1][a;b;c]", "3 [A2][d;e;f]"}},
		{"sep line is obeyed and passed over", "sep=|\na|b;c\n", []string{"2 [a][b;c]"}},
		{"sep line may name the tab", "sep=\t\na\tb;c\n", []string{"2 [a][b;c]"}},
		{"one column", "unit\nA1\nA2\n", []string{"1 [unit]", "2 [A1]", "3 [A2]"}},
		{"blank lines are rows without cells", "a;b\n\n\nc;d\n", []string{"1 [a][b]", "2 []", "3 []", "4 [c][d]"}},
		{"no line end at the end", "a;b\nc;d", []string{"1 [a][b]", "2 [c][d]"}},
		{"CR LF", "a;b\r\nc;d\r\n", []string{"1 [a][b]", "2 [c][d]"}},
		{"CR CR LF of a twice converted file", "a;\"b\"\r\r\nc;d\r\r\n", []string{"1 [a][b]", "2 [c][d]"}},
		{"CR alone", "a;b\rc;d\r", []string{"1 [a][b]", "2 [c][d]"}},
		{"CR alone with blank lines", "a;b\r\rc;d", []string{"1 [a][b]", "2 []", "3 [c][d]"}},
		{"line end in a quoted cell; numbers count lines", "a;b;c\n1;\"x\r\ny\";3\n4;5;6\n", []string{"1 [a][b][c]", "2 [1][x\ny][3]", "4 [4][5][6]"}},
		{"doubled marks", "a;b\n\"say \"\"hi\"\"\";2\n", []string{"1 [a][b]", "2 [say \"hi\"][2]"}},
		{"mark inside an unquoted cell is text", "a;b;c\n1;19\" wheel;2\n3;4;5\n", []string{"1 [a][b][c]", "2 [1][19\" wheel][2]", "3 [3][4][5]"}},
		{"unbalanced mark costs its own row only", "a;b;c\n1;\"Heron;2\n3;Teal;4\n5;\"Kestrel\";6\n7;8;9\n", []string{"1 [a][b][c]", "2! " + faultAfter().String(), "3 [3][Teal][4]", "4 [5][Kestrel][6]", "5 [7][8][9]"}},
		{"unbalanced mark up to the end", "a;b;c\n1;\"Heron;2\n3;Teal;4\n", []string{"1 [a][b][c]", "2! " + faultOpen().String(), "3 [3][Teal][4]"}},
		{"two stray marks do not join the rows between", "a;b;c\n1;\"Heron;2\n3;Teal;4\n5;19\";6\n7;8;9\n", []string{"1 [a][b][c]", "2! " + faultSwallowed().String(), "3 [3][Teal][4]", "4 [5][19\"][6]", "5 [7][8][9]"}},
		{"text after a closing mark", "a;b\n\"19\" wheel\";2\n3;4\n", []string{"1 [a][b]", "2! " + faultAfter().String(), "3 [3][4]"}},
		{"ragged rows keep their length", "a;b;c\n1\n1;2;3;4\n5;6;7\n", []string{"1 [a][b][c]", "2 [1]", "3 [1][2][3][4]", "4 [5][6][7]"}},
		{"NUL costs its row", "a;b\n1;x\x00y\n3;4\n", []string{"1 [a][b]", "2! " + nul, "3 [3][4]"}},
		{"Ctrl-Z at the end", "a;b\n1;2\n\x1A", []string{"1 [a][b]", "2 [1][2]"}},
		{"Ctrl-Z at the end of the last row", "a;b\n1;2\x1A", []string{"1 [a][b]", "2 [1][2]"}},
		{"Ctrl-Z on a line of its own", "a;b\n1;2\n\x1A\r\n", []string{"1 [a][b]", "2 [1][2]"}},
		{"byte order mark before a quoted heading", "\xEF\xBB\xBF\"a\";b\n1;2\n", []string{"1 [a][b]", "2 [1][2]"}},
		{"empty cells stay", ";;\n\"\";x;\n", []string{"1 [][][]", "2 [][x][]"}},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			got, err := readAll(open(t, "fleet.csv", c.text, Options{}))
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
}

// TestSameRowsAsTheWorkbook: the text from which testdata/rows/fleet.xlsx was made.
func TestSameRowsAsTheWorkbook(t *testing.T) {
	f, err := Open(context.Background(), "../../testdata/rows/fleet.csv", Options{})
	require.NoError(t, err)
	defer f.Close()
	got, err := readAll(f)
	require.NoError(t, err)
	require.Equal(t, []string{
		"1 [unit][vin][depot][odometer][date][remarks]",
		"2 [00123][Z9KTEAL0000000017][Harbour][123456.7][2026-11-23][pump knocks\nwhen hot]",
		`4 [N-2][Z9KHERN0000000021][Island & North][88000][2026-11-20][19" wheel]`,
		"5 []",
		"6 [N-4][Z9KKEST0000000035][Harbour][][2026-11-21][Ångström]",
	}, got)
}
