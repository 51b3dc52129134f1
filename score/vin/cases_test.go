package vin

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readTable reads a CSV of testdata/vin as one map a row.
func readTable(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/vin/" + name)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var table []map[string]string
	for _, row := range rows[1:] {
		m := make(map[string]string)
		for i, v := range row {
			m[rows[0][i]] = v
		}
		table = append(table, m)
	}
	return table
}

// marketOf is the market in which a case's vehicle class is judged.
func marketOf(class string) Market {
	switch class {
	case "light", "other":
		return US
	case "cn":
		return CN
	case "eu":
		return EU
	}
	return Other
}

// TestPublishedAndComputedCases judges every row of vin_cases.csv in its market, and compares every
// column that a Report speaks of. Two rows differ by policy: all ones and all zeros are legal by form
// and set aside as filler. One is repaired rather than refused: the Cyrillic look-alike.
func TestPublishedAndComputedCases(t *testing.T) {
	table := readTable(t, "vin_cases.csv")
	require.Len(t, table, 81)
	for _, row := range table {
		t.Run(row["id"]+" "+row["kind"], func(t *testing.T) {
			c := Context{Market: marketOf(row["vehicle_class"]), Heavy: row["vehicle_class"] == "other"}
			r := Judge(row["raw"], c)
			filler := row["id"] == "V004" || row["id"] == "V074"
			if row["kind"] == "homoglyph" {
				assert.Equal(t, VIN("1G4AH59H45G118341"), r.VIN)
				assert.Equal(t, []Finding{Characters}, r.Findings)
				return
			}
			assert.Equal(t, row["normalized"], r.Text)
			assert.Equal(t, row["len_ok"] == "true", !r.Has(Length))
			if row["kind"] != "empty" { // an empty cell lacks characters; it has no wrong ones
				assert.Equal(t, row["chars_ok"] == "true", !r.Has(Characters))
			}
			badCheck := r.SetAside && r.Has(BadCheckDigit)
			assert.Equal(t, row["iso_structure_ok"] == "true" && !filler && !badCheck, !r.SetAside)
			if !r.SetAside {
				compareSound(t, row, &r)
			}
			if c.Market == US && !filler {
				assert.Equal(t, row["na_rules_ok"] == "true", assert.ObjectsAreEqual([]Finding{Good}, r.Findings), r.Findings)
			}
		})
	}
}

// compareSound compares the columns that only a sound structure has.
func compareSound(t *testing.T, row map[string]string, r *Report) {
	t.Helper()
	computed, ok := CheckDigit(r.Text)
	assert.True(t, ok)
	assert.Equal(t, row["check_computed"], string(computed))
	assert.Equal(t, row["check_ok"] == "true", r.Check == Passes)
	assert.Equal(t, row["pos9"], r.Text[8:9])
	assert.Equal(t, row["pos3_is_9"] == "true", r.LowVolume)
	assert.Equal(t, row["last4_numeric"] == "true", digits(r.Text[13:]))
	assert.Equal(t, row["last5_numeric"] == "true", digits(r.Text[12:]))
	var years []int
	for _, column := range []string{"year_1980_2009", "year_2010_2039"} {
		if row[column] != "" {
			year, err := strconv.Atoi(row[column])
			require.NoError(t, err)
			years = append(years, year)
		}
	}
	assert.Equal(t, years, r.ModelYears)
}

// TestCheckDigitOfEveryCase compares sum and digit of every row whose characters are legal.
func TestCheckDigitOfEveryCase(t *testing.T) {
	for _, row := range readTable(t, "vin_cases.csv") {
		got, ok := CheckDigit(row["normalized"])
		if row["check_computed"] == "" {
			assert.False(t, ok, row["id"])
			continue
		}
		assert.True(t, ok, row["id"])
		assert.Equal(t, row["check_computed"], string(got), row["id"])
		sum, err := strconv.Atoi(row["sum"])
		require.NoError(t, err)
		assert.Equal(t, sum%11, remainder(row["normalized"]), row["id"])
		assert.Equal(t, row["pos9_is_check_char"] == "true", checkable(row["normalized"][8]), row["id"])
	}
}

// TestAllCountryPairs walks the ranges of wmi_countries.csv character by character, in the order of
// ISO 3780, and compares all 1,089 pairs.
func TestAllCountryPairs(t *testing.T) {
	const alphabet = "ABCDEFGHJKLMNPRSTUVWXYZ1234567890"
	pairs := 0
	for _, row := range readTable(t, "wmi_countries.csv") {
		from, to := strings.Index(alphabet, row["second_from"]), strings.Index(alphabet, row["second_to"])
		for i := from; i <= to; i++ {
			country, region := Country(row["first_char"] + alphabet[i:i+1])
			assert.Equal(t, row["country"], country, row["first_char"]+alphabet[i:i+1])
			assert.Equal(t, row["region"], region, row["first_char"]+alphabet[i:i+1])
			pairs++
		}
	}
	assert.Equal(t, 1089, pairs)
}

// TestCountryOfUnusableCodes: no country for what is no WMI.
func TestCountryOfUnusableCodes(t *testing.T) {
	for _, wmi := range []string{"", "1", "I1", "1O", "é1", "w1"} {
		country, region := Country(wmi)
		assert.Empty(t, country+region, wmi)
	}
}

// TestCountryReassignments: the blocks that old tables have wrong (GB 16737-2019 for H; ISO 3780 lists).
func TestCountryReassignments(t *testing.T) {
	for wmi, want := range map[string]string{"7SA": "United States", "7AA": "New Zealand", "HES": "China", "Z8K": "Russia", "Z6A": "", "VX1": "Serbia", "V3X": "Croatia"} {
		country, _ := Country(wmi)
		assert.Equal(t, want, country, wmi)
	}
}
