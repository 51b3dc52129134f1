package table_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"pitlist/report/table"
)

func safe(s string) string { return string(table.Safe([]byte(s))) }

func TestSafe(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"a formula gets an apostrophe":           {"=1+1", "'=1+1"},
		"a plus that calculates":                 {"+1+cmd|' /C calc'!A0", "'+1+cmd|' /C calc'!A0"},
		"a minus that calculates":                {"-2+3", "'-2+3"},
		"an at":                                  {"@SUM(A1)", "'@SUM(A1)"},
		"a tab before a formula":                 {"\t=2+5", "'\t'=2+5"},
		"a carriage return before a formula":     {"\r=2+5", "'\r'=2+5"},
		"a line feed before a formula":           {"\n=2+5", "'\n'=2+5"},
		"a full-width equals sign":               {"＝1+1", "'＝1+1"},
		"a full-width plus":                      {"＋1", "'＋1"},
		"a real number is left alone":            {"-12.5", "-12.5"},
		"a real number with a comma":             {"-12,5", "-12,5"},
		"a telephone number is a number":         {"+4712345678", "+4712345678"},
		"two points are no number":               {"-1.2.3", "'-1.2.3"},
		"a dash alone is no number":              {"-", "'-"},
		"ordinary text stays":                    {"H-001", "H-001"},
		"an apostrophe of its own stays":         {"'s-Gravenhage", "'s-Gravenhage"},
		"nothing stays nothing":                  {"", ""},
		"an equals sign further on does nothing": {"a=1", "a=1"},
		"what is not UTF-8 becomes U+FFFD":       {"a\xff", "a\uFFFD"},

		"a formula behind what parts cells elsewhere": {"x;=cmd|'/c calc'!A1", "x;'=cmd|'/c calc'!A1"},
		"behind blanks and a quotation mark":          {"x; \"=1+1\"", "x; \"'=1+1\""},
		"behind blanks at the beginning":              {"  =1", "  '=1"},
		"behind a quotation mark at the beginning":    {"\"=1+1\";x", "\"'=1+1\";x"},
		"on a line of its own":                        {"worn\n=1+1\r\n@x", "worn\n'=1+1\r\n'@x"},
		"behind a tab":                                {"x\t+1+cmd", "x\t'+1+cmd"},
		"both before and behind":                      {"=1;=2", "'=1;'=2"},
		"bullets and dashes stay":                     {"pads worn\n- discs good; - not replaced", "pads worn\n- discs good; - not replaced"},
		"numbers with a sign stay":                    {"at 12;-5;+3", "at 12;-5;+3"},
		"codes and addresses stay":                    {"P0301;P0302; me@home", "P0301;P0302; me@home"},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, safe(c.text)) })
	}
}

func FuzzSafe(f *testing.F) {
	for _, s := range []string{"", "=1", "-1", "-", "＝", "\xff", "+1.5", "@x", "x;=1", "a\n\"+b", ";;=", "\r=;\t@a", "\"@\"\t\"\x1f}\xa2\xec\x00+ "} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := safe(s)
		assert.True(t, utf8.ValidString(got))
		if got != "" && strings.ContainsAny(got[:1], "=@\t\r\n") {
			t.Errorf("%q begins like a formula", got)
		}
		if strings.TrimLeft(got, "+-0123456789.,") != "" && strings.ContainsAny(got[:1], "+-") {
			t.Errorf("%q begins like a formula and is no number", got)
		}
		for _, cell := range strings.FieldsFunc(got, func(r rune) bool { return strings.ContainsRune(";\t\n\r", r) }) {
			if cell = strings.TrimLeft(cell, " \""); cell != "" && cell != "=" && cell != "@" && strings.ContainsAny(cell[:1], "=@") && cell[1] != ' ' {
				t.Errorf("%q holds %q, which begins like a formula where cells are parted otherwise", got, cell)
			}
		}
		assert.Equal(t, got, safe(got), "a safe cell is not changed again")
	})
}

// TestSafeOfAHostileText: of millions of pieces each is looked at once.
func TestSafeOfAHostileText(t *testing.T) {
	const pieces = 1 << 21
	assert.Equal(t, 4*pieces-1, len(safe(strings.Repeat("x\n=", pieces))), "an apostrophe a piece; a mark alone at the end begins nothing")
}
