package vin

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSuggestions: the likeliest first, and none where nothing confirms them.
func TestSuggestions(t *testing.T) {
	tests := []struct {
		name, raw string
		market    Market
		first     VIN // "" none
		why       string
	}{
		{"I is 1", "IG4AH59H45G118341", US, usGood, "I read as 1"},
		{"O is 0", "1M8GDM9AXKPO42788", US, "1M8GDM9AXKP042788", "O read as 0"},
		{"Q is 0", "1M8GDM9AXKPQ42788", US, "1M8GDM9AXKP042788", "Q read as 0"},
		{"O is 0 in a European VIN, where nothing confirms it but O is illegal", "SALVO2AE4EH877322", EU, "SALV02AE4EH877322", "no VIN has I, O or Q"},
		{"5 typed as S besides I", "1G4AHS9H45G1I8341", US, usGood, "S in position 6 read as 5"},
		{"a gap in position 9 is computed", "1G4AH59H?5G118341", US, usGood, "position 9 computed"},
		{"a gap elsewhere is not guessed", "1G4AH59H45G1?8341", US, "", ""},
		{"5 read as S in position 10", "1G4AH59H4SG118341", US, usGood, "S in position 10 read as 5"},
		{"1 read as 7 in position 1", "7G4AH59H45G118341", US, usGood, "7 in position 1 read as 1"},
		{"two digits swapped", "1G4AH59H45G118431", US, usGood, "positions 15 and 16 swapped"},
		{"5 read as S in position 1: the WMI is then another country's", "SGZCZ43D13S812715", US, "5GZCZ43D13S812715", "S in position 1 read as 5"},
		{"B among the last four is 8", "1G4AH59H45G11B341", US, usGood, "read as digits"},
		{"B among the last four is 8, which does not pass", "1G4AH59H45G1183B1", US, "", ""},
		{"S among the last four is 5", "VF1AA000512345S78", EU, "VF1AA000512345578", "read as digits"},
		{"I in front of a bar code's VIN", "I1G4AH59H45G118341", US, usGood, "carry in front"},
		{"a label in the cell", "VIN: 1G4AH59H45G118341", US, usGood, "text around it left out"},
		{"a label without a colon", "VIN 1G4AH59H45G118341", US, usGood, "label in front left out"},
		{"the last digit doubled", "1G4AH59H45G1183411", US, usGood, "1 taken once instead of twice"},
		{"two VINs are not chosen between", "1G4AH59H45G118341/1M8GDM9AXKP042788", US, "", ""},
		{"a European mismatch has nothing to confirm a repair", euMismatch, Other, "", ""},
		{"one character lost: too many could be put in", "1G4AH59H45G11834", US, "", ""},
		{"a good VIN", usGood, US, "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := Judge(tt.raw, Context{Market: tt.market, Heavy: true})
			if tt.first == "" {
				assert.Empty(t, r.Suggestions)
				return
			}
			if assert.NotEmpty(t, r.Suggestions) {
				assert.Equal(t, tt.first, r.Suggestions[0].VIN)
				assert.Contains(t, r.Suggestions[0].Why.String(), tt.why)
			}
		})
	}
}

// TestStatedYearRanks: of repairs that pass, one whose position 10 agrees with the stated year comes first.
func TestStatedYearRanks(t *testing.T) {
	r := Judge("1G4AH59H4SG118341", Context{Market: US, StatedYear: 2005, Year: 2026})
	assert.Equal(t, VIN(usGood), r.Suggestions[0].VIN)
	for _, s := range r.Suggestions[1:] {
		assert.NotEqual(t, s.VIN[9], byte('5'), "later ones keep the contradicting S")
	}
}

// TestTrueVINIsSuggested: after one visual confusion or swap in a US VIN that the check digit caught,
// the suggestions are at most three and confirmed, and mostly hold the true VIN.
func TestTrueVINIsSuggested(t *testing.T) {
	r := rand.New(rand.NewSource(20251127))
	caught, held := 0, 0
	for range 2000 {
		b := []byte(usGood)
		for i := 11; i < size; i++ {
			b[i] = '0' + byte(r.Intn(10))
		}
		b[8] = digitOf(remainder(string(b)))
		truth := string(b)
		i := 12 + r.Intn(4)
		b[i], b[i+1] = b[i+1], b[i]
		report := Judge(string(b), Context{Market: US})
		if report.Has(Good) {
			continue
		}
		caught++
		assert.LessOrEqual(t, len(report.Suggestions), 3)
		for _, s := range report.Suggestions {
			assert.True(t, passes(string(s.VIN)))
			if string(s.VIN) == truth {
				held++
			}
		}
	}
	assert.Greater(t, caught, 1500)
	assert.Greater(t, float64(held), 0.7*float64(caught))
}
