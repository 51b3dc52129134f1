package bulletin

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// TestVINCells holds what two cells of a range of VINs say, or why they say
// nothing that can be used. The VINs are invented.
func TestVINCells(t *testing.T) {
	const (
		a = "Z9KLA4E27G1200000"
		b = "Z9KLA4E27G1300000"
	)
	for _, c := range []struct {
		rule, first, last string
		whole             bool // one column holds the range
		want, err         string
	}{
		{"two ends", a, b, false, a + "-" + b, ""},
		{"two ends in one cell", a + " to " + b, "", false, a + "-" + b, ""},
		{"with a dash", a + " – " + b, "", true, a + "-" + b, ""},
		{"with a hyphen", a + "-" + b, "", true, a + "-" + b, ""},
		{"a remark in brackets", a + " - " + b + " (export only)", "", true, a + "-" + b, ""},
		{"blanks, small letters, groups", "z9k la4e27 g1200000", "Z9K-LA4E27-G1300000", false, a + "-" + b, ""},
		{"a trailing dash", a + "– ", b, false, a + "-" + b, ""},
		{"one VIN", a, a, false, a, ""},
		{"one VIN in a column of ranges", a, "", true, a, ""},
		{"a list of VINs", a + "; " + b, "", true, a + " " + b, ""},
		{"as many first ends as last ones", a + "  Z9KLB4E27G1200000", b + "  Z9KLB4E27G1300000", false, a + "-" + b + " Z9KLB4E27G1200000-Z9KLB4E27G1300000", ""},
		{"open characters", "Z9K******G1200000", "Z9K######G1300000", false, "Z9K******G1200000-Z9K******G1300000", ""},
		{"the check digit does not count", a, "Z9KLA4E2XG1300000", false, a + "-" + b, ""},
		{"a number from position 10 on", "Z9KLA4E2700200000", "Z9KLA4E2701300000", false, "Z9KLA4E2700200000-Z9KLA4E2701300000", ""},
		{"last digits", "740405", "872978", false, "740405-872978", ""},
		{"last digits in one cell", "740405-872978", "", true, "740405-872978", ""},

		{"reversed", b, a, false, "", "ends before it begins"},
		{"last digits reversed", "872978", "740405", false, "", "ends before it begins"},
		{"only a first end", a, "", false, "", "open ended"},
		{"only a last end", "", b, false, "", "only the last"},
		{"two model years", a, "Z9KLA4E27H1300000", false, "", "differ at position 10"},
		{"two plants", a, "Z9KLA4E27GA300000", false, "", "differ at position 11"},
		{"two plants of digits", a, "Z9KLA4E27G2300000", false, "", "differ at position 11"},
		{"two model codes", a, "Z9KLB4E27G1300000", false, "", "differ at position 5"},
		{"two makers of digits alone behind them", "Z9K16900001380151", "Z9K35000000194341", false, "", "differ at position 4"},
		{"open in one end only", "Z9K******G1200000", b, false, "", "differ at position 4"},
		{"mixed lengths", "98680", "100793", false, "", "different lengths"},
		{"16 characters", "Z9KLA4E27G120000", b, false, "", "16 characters"},
		{"18 characters", a, b + "0", false, "", "18 characters"},
		{"the end of a VIN with letters", "M30183", "M96322", false, "", "6 characters"},
		{"a chassis number", "HA3W-0000895", "HA3W-0001660", false, "", "11 characters"},
		{"a letter that no VIN has", "Z9KLAOE27G1200000", "Z9KLAOE27G1300000", false, "", "the letter O at position 6"},
		{"a sign that no VIN has", "Z9KLA!E27G1200000", "Z9KLA!E27G1300000", false, "", `'!'`},
		{"filled up with zeros", "00000000000205267", "00000000000320019", false, "", "zeros"},
		{"letters filled up with zeros", "ZN000000000010024", "ZN000000000010497", false, "", "zeros"},
		{"three digits", "120", "180", false, "", "only 3 digits"},
		{"nine digits", "123456789", "123456799", false, "", "9 digits"},
		{"whole VINs and last digits", a + "; 740405-872978", "", true, "", "stand in one list"},
		{"words", "Various", "", false, "", "no VIN"},
		{"nothing", "", "", false, "", ""},
		{"N/A", "N/A", "n/a", false, "", ""},
		{"a date", "01/02/2016", "30/06/2016", false, "", "a date stands"},
		{"two dates in one cell", "2016-02-01 to 2016-06-30", "", true, "", "a date stands"},
		{"commas as groups", "740,405 to 872,978", "", true, "", "a list, or one number in groups"},
		{"one end is a word", a, "onwards", false, "", "characters"},
		{"lists of unlike lengths", a + "  " + b, b, false, "", "2 first ends and 1 last ends"},
		{"a range and an end", a + " to " + b, b, false, "", "not empty"},
		{"a VIN kept as a number", "1.2345678901234501E16", "1.2345678901234512E16", false, "", "kept as a number"},
		{"no number at the end", "Z9KLA4E27G12000AB", "Z9KLA4E27G12000AZ", false, "", "number at their end"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			got, err := readVINs(c.first, c.last, !c.whole)
			if c.want == "" {
				require.Error(t, err)
				assert.Contains(t, err.Error(), c.err)
				var none *errNoRange
				assert.Equal(t, c.err == "" || c.err == "no VIN", errors.As(err, &none), "only words and nothing are no range at all")
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, strings.Join(texts(append(got.vins, got.tails...), score.SerialRange.String), " "))
		})
	}
}

// TestHints holds what an unusable range may mean, for a person to confirm.
func TestHints(t *testing.T) {
	for _, c := range []struct{ rule, first, last, want string }{
		{"model years follow on each other", "Z9KLA4E27G1200000", "Z9KLA4E2XJ1000500", `if the numbers begin anew each model year: vin: ["Z9KLA4E27G1200000-Z9KLA4E27G1999999", "Z9KLA4E27H1000000-Z9KLA4E27H1999999", "Z9KLA4E27J1000000-Z9KLA4E27J1000500"]`},
		{"from digits to letters", "Z9K******91200000", "Z9K******A1000500", `if the numbers begin anew each model year: vin: ["Z9K******91200000-Z9K******91999999", "Z9K******A1000000-Z9K******A1000500"]`},
		{"round the end of the letters", "Z9K******Y1200000", "Z9K******11000500", `if the numbers begin anew each model year: vin: ["Z9K******Y1200000-Z9K******Y1999999", "Z9K******11000000-Z9K******11000500"]`},
		{"years backwards", "Z9KLA4E27J1200000", "Z9KLA4E27G1000500", ""},
		{"another plant too", "Z9KLA4E27G1200000", "Z9KLA4E27H2000500", ""},
		{"another model too", "Z9KLA4E27G1200000", "Z9KLB4E27H1000500", ""},
		{"ends swapped", "Z9KLA4E27G1300000", "Z9KLA4E27G1200000", `if its ends are swapped: vin: "Z9KLA4E27G1200000-Z9KLA4E27G1300000"`},
		{"last digits swapped", "872978", "740405", `if its ends are swapped: vin_serial: "740405-872978"`},
		{"mixed lengths", "98680", "100793", `if they are the last 6 digits of the VIN: vin_serial: "098680-100793"`},
		{"mixed lengths backwards", "198680", "10793", ""},
		{"filled up with zeros", "00000000000205267", "0000000000000320019", `if they are the last 6 digits of the VIN: vin_serial: "205267-320019"`},
		{"the end of a VIN", "M30183", "M96322", `if these are the last 6 characters: vin: "***********M30183-***********M96322"`},
		{"the end of a VIN of two beginnings", "M30183", "N96322", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			_, err := readVINs(c.first, c.last, true)
			var u *errUnusable
			require.ErrorAs(t, err, &u)
			assert.Equal(t, c.want, u.hint)
		})
	}
}

// TestOpenEnds: one end of a range, whatever word or stroke says so, is not taken
// for one vehicle.
func TestOpenEnds(t *testing.T) {
	for _, cell := range []string{"from KD4110000", "KD4110000 onwards", "KD4110000 and up", "KD4110000 -", "KD4110000–", "KD4110000+", "KD4110000..", "> KD4110000", "after KD4110000", "ab KD4110000", "since KD4110000", "desde KD4110000",
		"up to KD4110000", "up to and including KD4110000", "until KD4110000", "bis KD4110000", "before KD4110000", "- KD4110000"} {
		got, err := readSerials(cell, "", false)
		require.Error(t, err, "%s: %v", cell, got)
		digits := strings.ReplaceAll(cell, "KD", "")
		tails, err := readTails(digits, "", false)
		require.Error(t, err, "%s: %v", digits, tails)
		var u *errUnusable
		assert.NotErrorAs(t, err, &u, "no hint that a word belongs to a VIN: %s", digits)
	}
	got, err := readSerials("AB 740405", "", false)
	require.NoError(t, err, "two capitals begin a serial")
	assert.Equal(t, "AB740405", got[0].String())
}

func TestSerialCells(t *testing.T) {
	for _, c := range []struct{ rule, first, last, want, err string }{
		{"one prefix", "KD4110000", "KD4168000", "KD4110000-KD4168000", ""},
		{"digits that grow", "KD98000", "KD104000", "KD98000-KD104000", ""},
		{"a list in one cell", "KD4110000 to KD4168000; KE5 to KE90", "", "KD4110000-KD4168000 KE5-KE90", ""},
		{"two prefixes", "KD4110000", "KE4168000", "", "begin differently"},
		{"reversed", "KD4168000", "KD4110000", "", "ends before"},
		{"zeros and lengths mixed", "KD0098000", "KD104000", "", "different lengths and leading zeros"},
		{"no number", "all of KD4", "from June", "", "no serial"},
		{"from the one to the other", "from KD4110000 to KD4168000", "", "KD4110000-KD4168000", ""},
		{"kept as numbers", "740405.0", "872978.0", "740405-872978", ""},
		{"blanks as groups", "740 405", "872 978", "740405-872978", ""},
		{"a list without blanks", "740405,740409", "", "740405 740409", ""},
		{"a hyphen of its own", "KD4-110000", "KD4-168000", "KD4110000-KD4168000", ""},
		{"commas as groups", "740,405 to 872,978", "", "", "a list, or one number in groups"},
		{"points as groups", "1.234.567 - 1.345.678", "", "", "no serial"},
		{"two at a stroke", "KD4110000/KD4168000", "", "", "no serial"},
		{"the last figures of the end alone", "KD4110000-8000", "", "", "no serial"},
		{"dates", "01/02/2016 to 30/06/2016", "", "", "a date stands"},
		{"days with points", "01.02.2016 - 30.06.2016", "", "", "a date stands"},
		{"a decimal", "12.5", "12.5", "", "no serial"},
		{"a blank within", "KD 4110000", "KD 4168000", "KD4110000-KD4168000", ""},
		{"a range and what it leaves out", "KD4110000 - KD4168000 except KD4111111", "", "", "no serial"},
		{"a word for number", "No. KD4110000", "No. KD4168000", "", "no serial"},
		{"open ended", "KD4110000", "", "", "open ended"},
		{"words", "all engines", "", "", "no VIN or serial"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			got, err := readSerials(c.first, c.last, c.last != "" || c.err == "open ended")
			if c.want == "" {
				require.ErrorContains(t, err, c.err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, strings.Join(texts(got, score.SerialRange.String), " "))
		})
	}
}
