package xlsx

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSpooledStringsReadAsHeldOnes: whatever stays in memory, every string comes back
// as it was, in any order, short, empty, and longer than a page.
func TestSpooledStringsReadAsHeldOnes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	want := make([]string, 20_000)
	for i := range want {
		want[i] = strings.Repeat(string(rune('a'+i%26)), r.IntN(40)) + fmt.Sprint(i)
		switch {
		case i%97 == 0:
			want[i] = ""
		case i%5003 == 0:
			want[i] = strings.Repeat("long ", 40_000)
		}
	}
	for _, limit := range []int64{0, 1, 1000, 300_000, 1 << 30} {
		t.Run(fmt.Sprint(limit, " bytes held"), func(t *testing.T) {
			table := newTexts(t.TempDir(), limit)
			for _, s := range want {
				require.NoError(t, table.add([]byte(s)))
			}
			require.NoError(t, table.done())
			require.Equal(t, len(want), table.len())
			for range 3 * len(want) {
				i := r.IntN(len(want))
				held, buf, err := table.get(i, []byte("before "))
				require.NoError(t, err)
				require.Equal(t, "before "+want[i], string(buf)+held)
			}
			require.NoError(t, table.close())
		})
	}
}

// TestSpoolFilesAreTheOwners: they hold what a protected workbook held.
func TestSpoolFilesAreTheOwners(t *testing.T) {
	tmp := t.TempDir()
	data := zipOf(t, bookParts(sheetXML(`<row r="1"><c r="A1" t="s"><v>2</v></c><c r="B1" t="s"><v>1</v></c></row>`)))
	b, lines, err := readBytes(t, data, Options{TmpDir: tmp, heldStrings: 1})
	require.NoError(t, err)
	require.Equal(t, "1:Teal|unit", text(lines))
	files, err := filepath.Glob(filepath.Join(tmp, "*", "*"))
	require.NoError(t, err)
	require.Len(t, files, 2)
	for _, f := range files {
		info, err := os.Stat(f)
		require.NoError(t, err)
		if runtime.GOOS != "windows" {
			require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
		}
	}
	require.NoError(t, b.Close())
	left, err := os.ReadDir(tmp)
	require.NoError(t, err)
	require.Empty(t, left)
}

// TestSpoolThatCannotBeReadIsNoFaultOfTheWorkbook: and never an empty cell.
func TestSpoolThatCannotBeReadIsNoFaultOfTheWorkbook(t *testing.T) {
	data := zipOf(t, bookParts(sheetXML(`<row r="1"><c r="A1" t="s"><v>2</v></c></row>`)))
	b, _, err := readBytes(t, data, Options{heldStrings: 1})
	require.NoError(t, err)
	require.NoError(t, b.strings.bytes.file.Close())
	clear(b.strings.bytes.pages)
	_, err = readSheet(b, "Units")
	require.ErrorContains(t, err, "spool file of shared strings")
	require.NotErrorIs(t, err, Damaged)
	b.strings.bytes = nil // Close would close it again
}

// TestUnescape: ECMA-376 part 1, 22.9.2.19.
func TestUnescape(t *testing.T) {
	for _, c := range []struct{ rule, in, want string }{
		{"a carriage return", "a_x000D_b", "a\rb"},
		{"either case of letters", "_x000d__x00e9_", "\ré"},
		{"an underscore that is none", "_x005F_x000D_", "_x000D_"},
		{"half of a surrogate pair is no character", "a_xD83D_b", "ab"},
		{"three digits", "_x00D_", "_x00D_"},
		{"no end", "_x000D", "_x000D"},
		{"a tab beside text", "x_x0009_", "x\t"},
		{"nothing to undo", "a_b x_y", "a_b x_y"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			require.Equal(t, "kept "+c.want, string(unescape([]byte("kept "+c.in), len("kept "))))
		})
	}
}

// TestLateFaultsAreFound: rows before the damage may be handed out; the end is an
// error all the same, wherever it lies, and so is Count.
func TestLateFaultsAreFound(t *testing.T) {
	rows := strings.Repeat(`<row><c t="inlineStr"><is><t>Harbour</t></is></c></row>`, 60_000) // long enough to be inflated ahead
	good := sheetXML(rows)
	cases := []struct {
		rule, sheet string
		kind        Kind
		says        string
	}{
		{"the document is cut", good[:len(good)-5], Damaged, "unexpected EOF"},
		{"a last row out of order", sheetXML(rows + `<row r="5"/>`), Disordered, "row 5 follows row 60000"},
		{"a last string that does not exist", sheetXML(rows + `<row><c t="s"><v>9</v></c></row>`), Damaged, "does not exist"},
		{"text after the rows", strings.Replace(good, "</worksheet>", "lost</worksheet>lost", 1), Damaged, "lost"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			data := zipOf(t, bookParts(c.sheet))
			_, lines, err := readBytes(t, data, Options{})
			wantFault(t, err, c.kind, c.says, `sheet "Units"`)
			require.NotEmpty(t, lines)
		})
	}
	t.Run("a checksum", func(t *testing.T) {
		data := zipOf(t, bookParts(good))
		i := strings.LastIndex(string(data), "Harbour")
		data[i] = 'h'
		_, lines, err := readBytes(t, data, Options{})
		wantFault(t, err, Damaged, "checksum", `sheet "Units"`)
		require.NotEmpty(t, lines)
	})
}
