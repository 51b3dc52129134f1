package csv

import (
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"pitlist/score/say"
)

// utf16Of encodes text with the given byte order.
func utf16Of(text string, big bool) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(text)) {
		hi, lo := byte(u>>8), byte(u)
		if big {
			b.Write([]byte{hi, lo})
		} else {
			b.Write([]byte{lo, hi})
		}
	}
	return b.String()
}

func TestEncodings(t *testing.T) {
	const text = "Straße;Ørje;€\n1;2;3\n"
	rows := []string{"1 [Straße][Ørje][€]", "2 [1][2][3]"}
	// Byte values from the code charts: windows-1252 and ISO 8859-15 by WHATWG's
	// encoding tables, CP850 by Unicode's CP850.TXT.
	cases := []struct {
		rule, bytes, asked, name string
		want                     []string
	}{
		{"valid UTF-8", text, "", "utf-8", rows},
		{"UTF-8 with mark", "\xEF\xBB\xBF" + text, "", "utf-8", rows},
		{"a mark overrules the job", "\xEF\xBB\xBF" + text, "windows-1252", "utf-8", rows},
		{"UTF-16 with mark, little end first", "\xFF\xFE" + utf16Of(text, false), "", "utf-16le", rows},
		{"UTF-16 with mark, big end first", "\xFE\xFF" + utf16Of(text, true), "", "utf-16be", rows},
		{"UTF-16 without mark, little end first", utf16Of(text, false), "", "utf-16le", rows},
		{"UTF-16 without mark, big end first", utf16Of(text, true), "", "utf-16be", rows},
		{"UTF-16 of CR lines", utf16Of(strings.ReplaceAll(text, "\n", "\r"), false), "", "utf-16le", rows},
		{"not UTF-8: windows-1252", "Stra\xDFe;\xD8rje;\x80\n1;2;3\n", "", "windows-1252", rows},
		{"the job names ISO 8859-15", "Stra\xDFe;\xD8rje;\xA4\n1;2;3\n", "ISO-8859-15", "iso-8859-15", rows},
		{"the job names a DOS code page", "Stra\xE1e;\x9Drje;E\n1;2;3\n", "CP850", "cp850", []string{"1 [Straße][Ørje][E]", "2 [1][2][3]"}},
		{"first foreign byte at the very end", strings.Repeat("a;b;c\n", 20000) + "x;y;\xDF\n", "", "windows-1252", nil},
		{"a character cut by the end of the file", "a;b\n1;\xC3", "", "windows-1252", []string{"1 [a][b]", "2 [1][Ã]"}},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			f := open(t, "fleet.csv", c.bytes, Options{Encoding: c.asked})
			got, err := readAll(f)
			require.NoError(t, err)
			require.Equal(t, c.name, f.Encoding())
			require.Contains(t, f.Notes()[0].String(), c.name)
			if c.want != nil {
				require.Equal(t, c.want, got)
			} else {
				require.Equal(t, "20001 [x][y][ß]", got[20000])
			}
		})
	}
}

func TestLongUTF8IsSeenAsSuch(t *testing.T) {
	// Characters of two to four bytes lie across the ends of the pieces that are read.
	for shift := range 5 {
		text := strings.Repeat("x", shift) + "\n" + strings.Repeat("Ø起🚐;b\n", 60000)
		f := open(t, "fleet.csv", text, Options{})
		require.Equal(t, "utf-8", f.Encoding())
	}
}

func TestWrongBytesUnderADeclaredEncoding(t *testing.T) {
	f := open(t, "fleet.csv", "a;b\n1;\xDF\n3;4\n", Options{Encoding: "utf-8"})
	got, err := readAll(f)
	require.NoError(t, err)
	require.Equal(t, []string{"1 [a][b]", "2! the line is not valid UTF-8", "3 [3][4]"}, got)

	f = open(t, "fleet.csv", "\xFF\xFE"+utf16Of("a;b\n1;", false)+"\x00\xD8"+utf16Of("\n", false), Options{})
	_, err = readAll(f)
	require.NoError(t, err)
	require.Contains(t, say.Join("\n", f.Notes()...).String(), "1 line holds characters that utf-16le does not know, line 2")
}

func TestDelimiterOfTheJobAndOfTheFile(t *testing.T) {
	cases := []struct {
		rule, name, text string
		asked, want      rune
	}{
		{"the job's wins over the steadiest", "a.csv", "a;b,c\nd;e,f\n", ',', ','},
		{"the job's wins over a sep line", "a.csv", "sep=;\na;b,c\n", ',', ','},
		{"beyond ASCII", "a.csv", "a§b\n", '§', '§'},
		{"one column of a .tsv", "a.tsv", "unit\nA1\n", 0, '\t'},
		{"one column of a .csv", "a.csv", "unit\nA1\n", 0, ','},
		{"times of day are no columns", "a.csv", "unit,at\nA1,05:30:00\nA2,05:31:00\nA3,05:31:00\n", 0, ','},
		{"remarks with commas in a tab file", "a.txt", "unit\tremarks\nA1\ta, b, c\nA2\td, e\nA3\tf\n", 0, '\t'},
		{"decimal commas on every row under a heading without", "a.csv", "unit;km;l\nA1;1,5;2,5\nA2;3,5;4,5\n", 0, ';'},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			f := open(t, c.name, c.text, Options{Delimiter: c.asked})
			require.Equal(t, string(c.want), string(f.Delimiter()))
		})
	}
}
