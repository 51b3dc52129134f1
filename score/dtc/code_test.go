package dtc

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyCode draws codes of all four kinds.
func anyCode(t *rapid.T) Code {
	c := J2012(rapid.Uint16().Draw(t, "bytes"))
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 1:
		c = c.WithFailureType(rapid.Byte().Draw(t, "failure type"))
	case 2, 3:
		c = must(J1939(rapid.Uint32Range(0, maxSPN).Draw(t, "SPN"), rapid.Uint8Range(0, maxFMI).Draw(t, "FMI")))
		if rapid.Bool().Draw(t, "address") {
			c = c.WithSource(rapid.Uint8().Draw(t, "SA"))
		}
	}
	return c
}

func TestWhatIsPrintedIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCode(t)
		if c.Filler() {
			return // refused on purpose
		}
		got, err := Parse(c.String())
		require.NoError(t, err)
		require.Equal(t, c, got)
		got, err = Parse(" dtc " + strings.ToLower(c.String()) + " ")
		require.NoError(t, err)
		require.Equal(t, c, got)
		if _, hasAddr := c.Source(); !hasAddr {
			require.Equal(t, c, must(ParseWire(c.Hex())), "bytes and back")
		}
	})
}

func TestEveryListIsReadBackWhateverTheSeparator(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want []Reading
		var texts []string
		for range rapid.IntRange(1, 6).Draw(t, "codes") {
			c := anyCode(t)
			if c.NoFault() || c.Filler() {
				continue
			}
			want = addReading(want, Reading{Code: c})
			texts = append(texts, c.String())
		}
		sep := rapid.SampledFrom([]string{", ", ",", "; ", ";", " / ", "|", "\n", " and ", " & "}).Draw(t, "separator")
		got := ParseCell(strings.Join(texts, sep), Options{})
		require.Equal(t, want, got.Codes, "%q", strings.Join(texts, sep))
		require.Empty(t, got.Faults)
	})
}

func TestFastAndSlowPathAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[PCBUpcbu][0-4][0-9A-Fa-f]{3}(-[0-9A-F]{2})?([,; ]{1,2}P0[0-9A-F]{3})?`).Draw(t, "cell")
		fast, ok := cleanList(text)
		if ok {
			require.Equal(t, fast, scanText(text, Options{}).cell, "%q", text)
		}
	})
}

func TestZeroCodeIsNoCode(t *testing.T) {
	var zero Code
	assert.False(t, zero.Valid())
	assert.Empty(t, zero.String())
	assert.Empty(t, zero.Hex())
	assert.Empty(t, Owner(zero))
	assert.False(t, zero.NoFault(), "the zero value is not P0000")
	assert.NotEqual(t, zero, J2012(0))
	_, ok := Describe(zero)
	assert.False(t, ok)
	assert.Equal(t, zero, zero.WithFailureType(1))
	assert.Equal(t, zero, zero.WithSource(1))
}

func TestParseTakesOneCodeOnly(t *testing.T) {
	for _, tc := range []struct{ rule, text, want string }{
		{"bytes", "01 33", "P0133"},
		{"bytes with failure type", "01 27 00", "P0127-00"},
		{"bytes of J1939", "7C 02 02 01", "SPN 636 FMI 2"},
		{"label", "DTC P0087", "P0087"},
		{"heavy-duty spelling", "s636 f02", "SPN 636 FMI 2"},
		{"two codes", "P0087 P0191", ""},
		{"text beside it", "P0087 low pressure", ""},
		{"bare pair", "636/2", ""},
		{"older conversion method", "7C 02 02 81", ""},
		{"nothing", "", ""},
		{"words", "no codes", ""},
	} {
		t.Run(tc.rule, func(t *testing.T) {
			c, err := Parse(tc.text)
			assert.Equal(t, tc.want, c.String())
			if tc.want == "" {
				require.ErrorIs(t, err, ErrNoCode)
			} else {
				require.NoError(t, err)
			}
		})
	}
}

func TestRangesOfSPNAndFMI(t *testing.T) {
	_, err := J1939(524288, 0) // 19 bits, SAE J1939-73
	require.ErrorIs(t, err, ErrNoCode)
	_, err = J1939(0, 32) // 5 bits
	require.ErrorIs(t, err, ErrNoCode)
	_, err = FromBytes([]byte{1})
	require.ErrorIs(t, err, ErrNoCode)
	_, err = ParseWire("0G 11")
	require.ErrorIs(t, err, ErrNoCode)
}

func TestPatterns(t *testing.T) {
	for _, tc := range []struct {
		rule, pattern, code string
		want                bool
	}{
		{"five characters match any failure type", "P0087", "P0087-1A", true},
		{"five characters match themselves", "P0087", "P0087", true},
		{"another code", "P0087", "P0088", false},
		{"failure type matches only itself", "P0087-1A", "P0087-1A", true},
		{"failure type does not match another", "P0087-1A", "P0087-11", false},
		{"failure type does not match a code without", "P0087-1A", "P0087", false},
		{"SPN and FMI", "SPN 636 FMI 2", "SPN 636 FMI 2", true},
		{"SPN and FMI from any controller", "SPN 636 FMI 2", "SPN 636 FMI 2 SA 3", true},
		{"from one controller", "SPN 636 FMI 2 SA 0", "SPN 636 FMI 2 SA 3", false},
		{"another FMI", "SPN 636 FMI 2", "SPN 636 FMI 8", false},
		{"SPN alone matches any FMI", "SPN 636", "SPN 636 FMI 8 SA 1", true},
		{"SPN alone does not match another SPN", "SPN 636", "SPN 637 FMI 8", false},
		{"an SPN is not the J2012 code of the same number", "SPN 135", "P0087", false},
		{"nor the other way round", "P0087", "SPN 135 FMI 0", false},
	} {
		t.Run(tc.rule, func(t *testing.T) {
			p, err := ParsePattern(tc.pattern)
			require.NoError(t, err)
			assert.Equal(t, tc.want, p.Matches(must(Parse(tc.code))))
			assert.Equal(t, tc.pattern, p.String())
			assert.False(t, p.Matches(Code{}))
			assert.False(t, Pattern{}.Matches(must(Parse(tc.code))))
		})
	}
	for _, bad := range []string{"", "P0000", "U3FFF", "SPN 0 FMI 0", "SPN 524288", "P00", "P0087 P0088", "SPN x"} {
		_, err := ParsePattern(bad)
		require.ErrorIs(t, err, ErrNoCode, bad)
	}
}

func TestOrderIsTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyCode(t), anyCode(t)
		require.Equal(t, a == b, Compare(a, b) == 0)
		require.Equal(t, Compare(a, b), -Compare(b, a))
	})
	list := []Code{must(Parse("SPN 100 FMI 1")), must(Parse("U0100")), must(Parse("P0087-1A")), must(Parse("P0087"))}
	slices.SortFunc(list, Compare)
	text, err := json.Marshal(list)
	require.NoError(t, err)
	assert.Equal(t, `["P0087","P0087-1A","U0100","SPN 100 FMI 1"]`, string(text))
	var back []Code
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, list, back)
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"P0087", "P0087-1A", "SPN 636 FMI 2", "01 33", "s636f2", "PO301", "P-0301", "MID 128 PSID 2", "SA 0x1 SPN 1 FMI 1", "\u00b2P"} {
		f.Add(s)
	}
	for _, s := range corpusCells(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := Parse(s)
		if err != nil {
			require.False(t, c.Valid())
			return
		}
		if c.Filler() {
			return // read from bytes; its text is refused on purpose
		}
		back, err := Parse(c.String())
		require.NoError(t, err)
		require.Equal(t, c, back)
	})
}

func FuzzParseCell(f *testing.F) {
	for _, s := range []string{"P0087 (pending); P0191", "636/2", "none", "P0301-P0304", "SPN 1 FMI 2 (3", "P 0", "3.01E+02", "12/05/2024 P0", "Р0087–1A", "FMI 2 SPN", "Pending: P0301"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	for _, s := range corpusCells(f) {
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, heavy bool) {
		cell := ParseCell(s, Options{J1939: heavy})
		require.False(t, len(cell.Codes) > 0 && !cell.Scanned)
		seen := map[Reading]bool{}
		for _, r := range cell.Codes {
			require.True(t, r.Code.Valid() && !r.Code.NoFault() && !r.Code.Filler())
			require.NoError(t, r.State.Validate())
			require.False(t, seen[r], "twice")
			seen[r] = true
		}
		for _, fault := range cell.Faults {
			require.NotEmpty(t, fault.Reason)
			require.NotEmpty(t, fault.Text)
		}
	})
}

func BenchmarkParseCell(b *testing.B) {
	for name, cell := range map[string]string{
		"one":   "P0087",
		"three": "P0087, P0191; P0420-00",
		"words": "P0087 Fuel rail pressure too low (stored); P0191",
		"spn":   "SPN 636 FMI 2 OC 14; SPN 100/FMI 1",
		"none":  "no codes",
		"empty": "",
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				ParseCell(cell, Options{})
			}
		})
	}
}
