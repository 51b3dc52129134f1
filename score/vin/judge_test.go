package vin

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/say"
)

// Texts made for these tests; the check digits follow from 49 CFR 565.15(c), worked out in
// testdata/vin/vin_cases.csv (V001, V081, V070, V073, V020).
const (
	usGood      = "1G4AH59H45G118341"
	usBad       = "1G4AH59H05G118341" // only position 9 is wrong
	euMismatch  = "VF1AA000512345678" // position 9 is a digit and does not fit
	euLetter    = "WVWZZZ1JZ3W386752" // position 9 is Z: nothing to judge
	chinaGood   = "LJCPCBLCX11000237"
	chinaBad    = "LJCPCBLC111000237"
	mexicanBad  = "3AZAB7AP1HY234567"
	koreanBad   = "KLATF08Y1VB363636"
	brazilWrong = "93AZZZ377VT004251" // position 9 is 7
)

// TestCheckDigitByMarket: a US or Canadian WMI with a failed check digit is set aside in any market;
// elsewhere a failure warns at most, and in Europe only where the WMI's country has the rule.
func TestCheckDigitByMarket(t *testing.T) {
	for _, bad := range []string{mexicanBad, chinaBad, koreanBad, brazilWrong} {
		want, ok := CheckDigit(bad)
		assert.True(t, ok)
		assert.NotEqual(t, want, bad[8], "%s is to fail", bad)
	}
	tests := []struct {
		name     string
		text     string
		market   Market
		findings []Finding
		aside    bool
		check    Check
	}{
		{"US WMI that passes, in Europe", usGood, EU, []Finding{Good}, false, Passes},
		{"US WMI that fails, in the US", usBad, US, []Finding{BadCheckDigit}, true, Fails},
		{"US WMI that fails, in Europe", usBad, EU, []Finding{BadCheckDigit}, true, Fails},
		{"US WMI that fails, no market given", usBad, "", []Finding{BadCheckDigit}, true, Fails},
		{"European WMI that fails, in Europe: no rule there", euMismatch, EU, []Finding{Good}, false, Fails},
		{"European WMI that fails, no market given: a warning", euMismatch, Other, []Finding{BadCheckDigit}, false, Fails},
		{"European WMI that fails, in the US: a warning", euMismatch, US, []Finding{BadCheckDigit}, false, Fails},
		{"European WMI with a letter in position 9, in Europe", euLetter, EU, []Finding{Good}, false, NotJudged},
		{"European WMI with a letter in position 9, no market given: cannot be judged", euLetter, Other, []Finding{Good}, false, NotJudged},
		{"European WMI with a letter in position 9, in Canada: must have a check digit", euLetter, CA, []Finding{BadCheckDigit}, false, NotJudged},
		{"Chinese WMI that passes", chinaGood, CN, []Finding{Good}, false, Passes},
		{"Chinese WMI that fails, in Europe: a warning", chinaBad, EU, []Finding{BadCheckDigit}, false, Fails},
		{"Mexican WMI that fails, in Europe: a warning", mexicanBad, EU, []Finding{BadCheckDigit}, false, Fails},
		{"Korean WMI that fails, in Europe", koreanBad, EU, []Finding{Good}, false, Fails},
		{"Brazilian WMI that fails, in Europe", brazilWrong, EU, []Finding{Good}, false, Fails},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := Judge(tt.text, Context{Market: tt.market})
			assert.Equal(t, tt.findings, r.Findings)
			assert.Equal(t, tt.aside, r.SetAside)
			assert.Equal(t, tt.check, r.Check)
			assert.Equal(t, tt.aside, r.VIN == "")
			assert.Equal(t, tt.findings[0] == Good, r.Reason.Empty())
		})
	}
}

// TestForm: what cannot be a VIN although it has 17 legal characters.
func TestForm(t *testing.T) {
	tests := []struct {
		name   string
		text   string
		market Market
		heavy  bool
		want   []Finding
		aside  bool
	}{
		{"17 times the same digit is filler", "11111111111111111", US, false, []Finding{Form}, true},
		{"17 times the same letter is filler", "XXXXXXXXXXXXXXXXX", EU, false, []Finding{Form}, true},
		{"a letter in the last four (ISO 3779)", "WVWZZZ1JZ3W38675B", EU, false, []Finding{Form}, true},
		{"a letter in position 13 of a light US vehicle warns", "1G1ZD5ST9JFAA1234", US, false, []Finding{Form}, false},
		{"a letter in position 13 of a heavy US vehicle is legal", "1G1ZD5ST9JFAA1234", US, true, []Finding{Good}, false},
		{"a letter in position 13 in Europe is legal", "WVWZZZ1JZ3W3A6752", EU, false, []Finding{Good}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := Judge(tt.text, Context{Market: tt.market, Heavy: tt.heavy})
			assert.Equal(t, tt.want, r.Findings)
			assert.Equal(t, tt.aside, r.SetAside)
		})
	}
}

// TestLowVolumeMakers: a 9 in position 3 moves the maker's identifier to 1-3 and 12-14 (49 CFR 565.15(a)).
func TestLowVolumeMakers(t *testing.T) {
	r := Judge("4T9BC1426DB123001", Context{Market: US, Heavy: true})
	assert.True(t, r.LowVolume)
	assert.Equal(t, "4T9123", r.VIN.Maker())
	assert.Equal(t, "001", r.VIN.Serial())
	r = Judge(usGood, Context{Market: US})
	assert.False(t, r.LowVolume)
	assert.Equal(t, "1G4", r.VIN.Maker())
	assert.Equal(t, "118341", r.VIN.Serial())
	assert.Equal(t, "1G4", r.VIN.WMI())
	assert.Equal(t, "AH59H4", r.VIN.VDS())
	assert.Equal(t, "5G118341", r.VIN.VIS())
	assert.Empty(t, VIN("").WMI()+VIN("").Serial()+VIN("").Maker(), "the zero value has no parts")
}

// TestModelYear: candidates, the judged one, and when a stated year disagrees.
func TestModelYear(t *testing.T) {
	light := Context{Market: US, Year: 2026}
	tests := []struct {
		name    string
		text    string
		c       Context
		stated  int
		years   []int
		judged  int
		finding bool
	}{
		{"a digit in position 7 of a light US vehicle is 1980 to 2009", "1FTSW21PXGEA12345", light, 0, []int{1986, 2016}, 1986, false},
		{"a letter in position 7 is 2010 to 2039", "1FTSW2APXGEA12345", light, 0, []int{1986, 2016}, 2016, false},
		{"position 7 gives way to a stated year that fits the other candidate", "1FTSW21PXGEA12345", light, 2016, []int{1986, 2016}, 2016, false},
		{"a candidate beyond next year is none", usGood, light, 0, []int{2005}, 2005, false},
		{"next year's model is on sale", "1G4AH5AH6VG118341", Context{Market: US, Year: 2026}, 0, []int{1997, 2027}, 2027, false},
		{"one year off is one model year's span", usGood, light, 2006, []int{2005}, 2005, false},
		{"two years off is a disagreement", usGood, light, 2007, []int{2005}, 2005, true},
		{"a stated year that is none is not compared", usGood, light, 7, []int{2005}, 2005, false},
		{"U is never a year in the US", "1XKDD49X7UJ123456", Context{Market: US, Heavy: true, Year: 2026}, 2020, nil, 0, true},
		{"heavy: position 7 is not looked at, the latest possible", "1M8GDM9AXKP042788", Context{Market: US, Heavy: true, Year: 2026}, 0, []int{1989, 2019}, 2019, false},
		{"heavy: the one nearest the stated year", "1M8GDM9AXKP042788", Context{Market: US, Heavy: true, Year: 2026}, 1990, []int{1989, 2019}, 1989, false},
		{"outside North America position 7 is not looked at", chinaGood, Context{Market: CN, Year: 2026}, 0, []int{2001}, 2001, false},
		{"Europe: a letter that disagrees is a finding", "SALVA2AE4EH877322", Context{Market: EU, Year: 2026}, 2020, []int{1984, 2014}, 2014, true},
		{"Europe: a letter that agrees", "SALVA2AE4EH877322", Context{Market: EU, Year: 2026}, 2015, []int{1984, 2014}, 2014, false},
		{"Europe: a digit may mean anything", "WVWZZZ1JZ3W386752", Context{Market: EU, Year: 2026}, 2015, []int{2003}, 2003, false},
		{"Europe: 0 is no year and no finding", "ZFA22300005556777", Context{Market: EU, Year: 2026}, 2015, nil, 0, false},
		{"Europe: Z is no year and no finding", "VF1AA0005Z2345678", Context{Market: EU, Year: 2026}, 2015, nil, 0, false},
		{"thirty years apart and nothing decides", "SALVA2AE4EH877322", Context{Market: EU}, 0, []int{1984, 2014}, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tt.c.StatedYear = tt.stated
			r := Judge(tt.text, tt.c)
			assert.Equal(t, tt.years, r.ModelYears)
			assert.Equal(t, tt.judged, r.ModelYear)
			assert.Equal(t, tt.finding, r.Has(ModelYear), r.Reason)
			if tt.finding {
				assert.False(t, r.SetAside, "a disagreement to check, no more")
			}
		})
	}
}

// TestReasons: each says what is wrong and what to do.
func TestReasons(t *testing.T) {
	tests := []struct{ raw, want string }{
		{"", "no VIN"},
		{"1G4AH59H45G11834", "16 characters"},
		{"AE86-5000123", "frame number"},
		{"1G4AH59H45G1I8341", "character I"},
		{"1G4AH59H?5G118341", "character ?"},
		{"IG4AH59H45G11834O", "characters I and O;"},
		{"1G4AH59H45G11834\x00", "character U+0000"},
		{"ШЩЪЫЭЮЯШЩЪЫЭЮЯШЩЪ", "Most of the characters"},
		{"1G4AH59H45G118341/1M8GDM9AXKP042788", "two VINs"},
		{"1G4AH59H45G118341 1M8GDM9AXKP042788", "two VINs"},
		{"1.2345678901234501E16", "the last digits are gone; re-enter the VIN as text"},
		{usBad, "compare the VIN with the vehicle"},
	}
	for _, tt := range tests {
		r := Judge(tt.raw, Context{Market: US})
		assert.True(t, r.SetAside, tt.raw)
		assert.Contains(t, r.Reason.String(), tt.want, tt.raw)
		assert.NotContains(t, r.Reason.In(say.Spanish), tt.want, "every sentence has its Spanish")
	}
	r := Judge(usGood, Context{Market: US, StatedYear: 2012, Year: 2026})
	assert.Contains(t, r.Reason.String(), "model year 2005, but the row says 2012; check which is right")
}

// TestReasonsInSpanish: characters, positions and years stay, the words do not.
func TestReasonsInSpanish(t *testing.T) {
	for _, tt := range []struct {
		raw   string
		c     Context
		wants []string // of the reason, then of the suggestions
	}{
		{"IG4AH59H45G11834O", Context{Market: US}, []string{"Ningún VIN lleva los caracteres I y O; leerlo de nuevo en el vehículo o en sus papeles.",
			"I leído como 1 y O leído como 0, ya que ningún VIN lleva I, O ni Q; 5 en la posición 6 leído como S; así cuadra el dígito de control",
			"I leído como 1 y O leído como 0, ya que ningún VIN lleva I, O ni Q; posiciones 10 y 11 intercambiadas; así cuadra el dígito de control"}},
		{"1G4AH59H45G11834", Context{Market: US}, []string{"Tiene 16 caracteres; un VIN tiene 17. Leerlo de nuevo en el vehículo o en sus papeles."}},
		{usGood, Context{Market: US, StatedYear: 2012, Year: 2026}, []string{"La posición 10 (5) sería el año de modelo 2005, pero la fila dice 2012; comprobar cuál es correcto."}},
		{"1G4AH59H45G1183411", Context{Market: US}, []string{"Tiene 18 caracteres; un VIN tiene 17. Leerlo de nuevo en el vehículo o en sus papeles.",
			"1 tomado una vez en lugar de dos; así cuadra el dígito de control"}},
	} {
		r := Judge(tt.raw, tt.c)
		got := []string{r.Reason.In(say.Spanish)}
		for _, s := range r.Suggestions {
			got = append(got, s.Why.In(say.Spanish))
		}
		assert.Equal(t, tt.wants, got)
	}
}

// TestMarketValidate accepts the five markets and the empty one.
func TestMarketValidate(t *testing.T) {
	for _, m := range []Market{"", EU, US, CA, CN, Other} {
		assert.NoError(t, m.Validate())
	}
	assert.ErrorContains(t, Market("uk").Validate(), `"uk"`)
}

// TestParse accepts a sound structure only.
func TestParse(t *testing.T) {
	v, err := Parse(usBad)
	assert.NoError(t, err, "the check digit is not its business")
	assert.Equal(t, VIN(usBad), v)
	for text, want := range map[string]string{
		"1G4AH59H45G11834":  "16 characters",
		"1G4AH59H45G1I8341": "no VIN has",
		"1G4AH59H45G11834A": "last four",
		"1g4ah59h45g118341": "no VIN has",
	} {
		_, err := Parse(text)
		assert.ErrorContains(t, err, want)
	}
}
