package vin

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/say"
)

// TestClean: what is taken away or read as something else, and the note on it.
func TestClean(t *testing.T) {
	tests := []struct {
		name, raw, want string
		notes           []string
	}{
		{"clean text costs nothing", usGood, usGood, nil},
		{"blanks at the ends are not worth a note", "  " + usGood + "\t\n", usGood, nil},
		{"groups with blanks", "1G4 AH59H4 5G118341", usGood, []string{"blanks removed"}},
		{"groups with hyphens", "1G4-AH59H4-5G118341", usGood, []string{"hyphens removed"}},
		{"en dash, em dash, no-break hyphen, minus", "1G4–AH59H4—5G1‑18−341", usGood, []string{"hyphens removed"}},
		{"no-break and narrow blanks", "1G4\u00a0AH59H4\u202f5G118341", usGood, []string{"blanks removed"}},
		{"line break in the cell", "1G4AH59H4\r\n5G118341", usGood, []string{"blanks removed"}},
		{"zero-width and soft hyphen", "\ufeff1G4A\u200bH59H4\u00ad5G118341", usGood, []string{"invisible characters removed"}},
		{"leading apostrophe", "'" + usGood, usGood, []string{"apostrophe or quotes removed"}},
		{"quotes", "“" + usGood + "”", usGood, []string{"apostrophe or quotes removed"}},
		{"asterisks of Code 39", "*" + usGood + "*", usGood, []string{"asterisks of a bar code removed"}},
		{"small letters", "1g4ah59h45g118341", usGood, []string{"small letters read as capitals"}},
		{"full-width", "１Ｇ４ａｈ５９Ｈ４５Ｇ１１８３４１", usGood, []string{"full-width characters read as plain ones"}},
		{"one Cyrillic letter", "1G4АH59H45G118341", usGood, []string{"one Cyrillic letter read as Latin"}},
		{"two Cyrillic letters, one small", "1G4АН59h45G118341", usGood, []string{"two Cyrillic letters read as Latin", "small letters read as capitals"}},
		{"Greek letters", "1G4ΑΗ59H45G118341", usGood, []string{"two Greek letters read as Latin"}},
		{"a Greek small nu is an N to some and a v to others: it stays", "1G4ν", "1G4ν", nil},
		{"Cyrillic O becomes O, which is still illegal", "1G4О", "1G4O", []string{"one Cyrillic letter read as Latin"}},
		{"illegal characters stay to be seen", "1G4/?", "1G4/?", nil},
		{"nothing but blanks", " \u00a0 ", "", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text, notes := Clean(tt.raw)
			assert.Equal(t, tt.want, text)
			assert.Equal(t, tt.notes, spoken(notes))
		})
	}
}

// spoken are texts in English.
func spoken(texts []say.Text) []string {
	var out []string
	for _, t := range texts {
		out = append(out, t.String())
	}
	return out
}

// TestLookalikesAreUsableButSaid: a look-alike never passes in silence.
func TestLookalikesAreUsableButSaid(t *testing.T) {
	r := Judge("1G4АH59H45G118341", Context{Market: US})
	assert.Equal(t, []Finding{Characters}, r.Findings)
	assert.Equal(t, VIN(usGood), r.VIN)
	assert.Contains(t, r.Reason.String(), "another alphabet")
	assert.Equal(t, []string{"one Cyrillic letter read as Latin"}, spoken(r.Notes))
}

// TestLostDigits: what spreadsheets leave of an all-digit VIN, and near misses that are other faults.
func TestLostDigits(t *testing.T) {
	for _, raw := range []string{
		"1.2345678901234501E16", "1.23456789012345E+16", "1.23457E+16", "1,23457E+16", "1E16", "1e+16",
		"12345678901234500", "12,345,678,901,234,500", "12.345.678.901.234.500", "12345678901234567.0", "1.11111111111111E+16",
	} {
		r := Judge(raw, Context{Market: US})
		assert.True(t, r.SetAside, raw)
		assert.Equal(t, "The column was not text; the last digits are gone; re-enter the VIN as text.", r.Reason.String(), raw)
		assert.Empty(t, r.Suggestions, raw)
	}
	for _, raw := range []string{"12345678901234567", "12345678901234E16", "1FAE16", "E16", "1.5", "", "1.2E3X", "A.2E16"} {
		assert.False(t, lostDigits(raw), raw)
	}
}

// TestCleanPrefix: 10 or 11 legal characters, or a whole VIN cut to 11.
func TestCleanPrefix(t *testing.T) {
	tests := []struct {
		raw, want string
		ok        bool
	}{
		{"1G4AH59H45", "1G4AH59H45", true},
		{"1g4 ah59h4 5g", "1G4AH59H45G", true},
		{"1G4AH59H45G******", "1G4AH59H45G", true},
		{usGood, "1G4AH59H45G", true},
		{"1G4AH59H4", "1G4AH59H4", false},
		{"1G4AH59H45G1", "1G4AH59H45G1", false},
		{"1G4AH59H4O", "1G4AH59H4O", false},
		{"", "", false},
	}
	for _, tt := range tests {
		text, ok, notes := CleanPrefix(tt.raw)
		assert.Equal(t, tt.want, text, tt.raw)
		assert.Equal(t, tt.ok, ok, tt.raw)
		if tt.ok && text != tt.raw {
			assert.NotEmpty(t, notes, tt.raw)
		}
	}
}
