package table_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"pitlist/report/table"
)

func TestSafe(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"a formula gets an apostrophe":           {"=1+1", "'=1+1"},
		"a plus that calculates":                 {"+1+cmd|' /C calc'!A0", "'+1+cmd|' /C calc'!A0"},
		"a minus that calculates":                {"-2+3", "'-2+3"},
		"an at":                                  {"@SUM(A1)", "'@SUM(A1)"},
		"a tab before a formula":                 {"\t=2+5", "'\t=2+5"},
		"a carriage return before a formula":     {"\r=2+5", "'\r=2+5"},
		"a line feed before a formula":           {"\n=2+5", "'\n=2+5"},
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
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, table.Safe(c.text)) })
	}
}

func FuzzSafe(f *testing.F) {
	for _, s := range []string{"", "=1", "-1", "-", "＝", "\xff", "+1.5", "@x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := table.Safe(s)
		assert.True(t, utf8.ValidString(got))
		if got != "" && strings.ContainsAny(got[:1], "=@\t\r\n") {
			t.Errorf("%q begins like a formula", got)
		}
		if strings.TrimLeft(got, "+-0123456789.,") != "" && strings.ContainsAny(got[:1], "+-") {
			t.Errorf("%q begins like a formula and is no number", got)
		}
		assert.Equal(t, got, table.Safe(got), "a safe cell is not changed again")
	})
}
