package score

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"pitlist/score/odometer"
	"pitlist/score/say"
)

func on(y int, m time.Month, d int) Day {
	return odometer.DayOf(time.Date(y, m, d, 0, 0, 0, 0, time.UTC))
}

// TestBelongs: each range condition, and what the vehicle must state to be
// inside, outside or not known, with the deciding fact.
func TestBelongs(t *testing.T) {
	serials := []SerialRange{rangeOf(t, "KD4110000-KD4168000")}
	kestrel := Fit{WMI: []string{"Z9K"}, Model: []string{"Kestrel"}, ModelYear: []YearRange{{2015, 2017}}, EngineSerial: serials}
	whole := Vehicle{VIN: "Z9KLA4E29G1234567", Make: "Northfold", Model: "Kestrel", ModelYear: 2016, VINYear: 2016, EngineSerial: "KD4112345"}
	with := func(change func(v *Vehicle)) Vehicle { v := whole; change(&v); return v }
	for _, k := range []struct {
		name   string
		fits   []Fit
		v      Vehicle
		want   Membership
		reason string
	}{
		{"every condition holds: the narrowest is named", []Fit{kestrel}, whole, Inside, "engine serial KD4112345 lies in KD4110000-KD4168000"},
		{"the first that fails is named", []Fit{kestrel}, with(func(v *Vehicle) { v.Model, v.ModelYear = "Teal", 2020 }), Outside, "model Teal is not of the range"},
		{"serial outside", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineSerial = "KD4168001" }), Outside, "engine serial KD4168001 lies outside KD4110000-KD4168000"},
		{"serial missing", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineSerial = "" }), Unknown, "engine serial not given"},
		{"serial unreadable", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineSerial = "KD41?" }), Unknown, "engine serial KD41? is not readable"},
		{"serial of another width", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineSerial = "KD411234" }), Unknown, "engine serial KD411234 is of another form than KD4110000-KD4168000"},
		{"serial of another prefix, no family to agree with", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineSerial = "LX4112345" }), Unknown, "engine serial LX4112345 is of another form than KD4110000-KD4168000"},
		{"serial of another prefix, the family agrees", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineSerial, v.EngineFamily = "LX4112345", "LX4" }), Outside, "engine serial LX4112345 is of another series, as engine family LX4 says"},
		{"serial and family contradict", []Fit{kestrel}, with(func(v *Vehicle) { v.EngineFamily = "LX4" }), Unknown, "engine serial KD4112345 does not go with engine family LX4; check both"},
		{"a wrong model decides before a missing serial", []Fit{kestrel}, with(func(v *Vehicle) { v.Model, v.EngineSerial = "Teal", "" }), Outside, "model Teal is not of the range"},

		{"another maker", []Fit{kestrel}, with(func(v *Vehicle) { v.VIN = "Z9XLA4E29G1234567" }), Outside, "maker's code Z9X is not of the range"},
		{"no VIN, but the model is stated", []Fit{kestrel}, with(func(v *Vehicle) { v.VIN = "" }), Inside, "engine serial KD4112345 lies in KD4110000-KD4168000"},
		{"no VIN and nothing that stands for it", []Fit{{WMI: []string{"Z9K"}, ModelYear: []YearRange{{2015, 2017}}}}, Vehicle{ModelYear: 2016}, Unknown, "maker's code not known (no VIN)"},
		{"the beginning of a VIN will do", []Fit{{WMI: []string{"Z9K"}}}, Vehicle{VINPrefix: "Z9KLA4E29G1"}, Inside, "maker's code Z9K"},
		{"make", []Fit{{Make: []string{"Northfold"}}}, Vehicle{Make: "NORTH-FOLD"}, Inside, "make NORTH-FOLD"},
		{"make missing", []Fit{{Make: []string{"Northfold"}}}, Vehicle{}, Unknown, "make not given"},
		{"model with its variant", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "kestrel 2.2 D"}, Inside, "model kestrel 2.2 D"},
		{"model that only begins alike", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "Kestrelle"}, Outside, "model Kestrelle is not of the range"},
		{"model with its marks", []Fit{{Model: []string{"Heron-2"}}}, Vehicle{Model: "HERON 2"}, Inside, "model HERON 2"},
		{"model behind its make", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "Northfold Kestrel 2.2"}, Inside, "model Northfold Kestrel 2.2"},
		{"a year before both", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "2016 NORTHFOLD Kestrel"}, Inside, "model 2016 NORTHFOLD Kestrel"},
		{"the make of its own column again", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Make: "Northfold", Model: "Northfold Kestrel"}, Inside, "model Northfold Kestrel"},
		{"a year, then the model", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "2016 Kestrel"}, Inside, "model 2016 Kestrel"},
		{"another make before it", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Make: "Solvane", Model: "Solvane Kestrel"}, Outside, "make Solvane is not of the range"},
		{"the model behind words that nobody knows", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "Northfold Kestrel 2.2"}, Unknown, "model Northfold Kestrel 2.2 may be of the range; write the model by itself"},
		{"the model behind the first word of a column for make and model", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "2016 Northfold Kestrel 2.2", MakeFirst: true}, Inside, "model 2016 Northfold Kestrel 2.2"},
		{"its make is the range's", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "NORTH-FOLD Kestrel", MakeFirst: true}, Inside, "model NORTH-FOLD Kestrel"},
		{"or another", []Fit{{Make: []string{"Solvane"}}}, Vehicle{Model: "Northfold Kestrel", MakeFirst: true}, Outside, "make Northfold is not of the range"},
		{"a make of two words", []Fit{{Make: []string{"North Fold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "North Fold Kestrel", MakeFirst: true}, Inside, "model North Fold Kestrel"},
		{"which the range does not name", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "North Fold Kestrel", MakeFirst: true}, Unknown, "model North Fold Kestrel may be of the range; write the model by itself"},
		{"another model of the make", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "Northfold Grand Teal", MakeFirst: true}, Outside, "model Northfold Grand Teal is not of the range"},
		{"a longer model of the make may be it", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "Northfold Grand Kestrel", MakeFirst: true}, Unknown, "model Northfold Grand Kestrel may be of the range; write the model by itself"},
		{"the model alone in such a column", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "Kestrel", MakeFirst: true}, Unknown, "make not given"},
		{"the model and its variant alone", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}}}, Vehicle{Model: "Kestrel 2.2", MakeFirst: true}, Unknown, "make not given"},
		{"which is the range's where no make is asked", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "2016 Kestrel 2.2", MakeFirst: true}, Inside, "model 2016 Kestrel 2.2"},
		{"a word that only holds it", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{Model: "Northfold Kestrelle"}, Outside, "model Northfold Kestrelle is not of the range"},
		{"a short name among other words names too much", []Fit{{Model: []string{"35"}}}, Vehicle{Model: "Heron 35 D"}, Outside, "model Heron 35 D is not of the range"},
		{"a name that is a year", []Fit{{Model: []string{"2008"}}}, Vehicle{Model: "2008 SW"}, Inside, "model 2008 SW"},
		{"model missing", []Fit{{Model: []string{"Kestrel"}}}, Vehicle{}, Unknown, "model not given"},

		{"model year by the VIN where none is stated", []Fit{{ModelYear: []YearRange{{2015, 2017}}}}, Vehicle{VINYear: 2015}, Inside, "model year 2015"},
		{"no model year", []Fit{{ModelYear: []YearRange{{2015, 2017}}}}, Vehicle{}, Unknown, "model year not given"},
		{"model year not in any range", []Fit{{ModelYear: []YearRange{{2010, 2011}, {2015, 2017}}}}, Vehicle{ModelYear: 2012}, Outside, "model year 2012 is not of the range"},
		{"stated year and VIN disagree, and it matters", []Fit{{ModelYear: []YearRange{{2015, 2017}}}}, Vehicle{ModelYear: 2017, VINYear: 2018, YearConflict: true}, Unknown, "model year 2017 on the sheet, 2018 by the VIN; check which"},
		{"they disagree, and it does not matter", []Fit{{ModelYear: []YearRange{{2015, 2017}}}}, Vehicle{ModelYear: 2016, VINYear: 2017, YearConflict: true}, Inside, "model year 2016"},
		{"both outside", []Fit{{ModelYear: []YearRange{{2015, 2017}}}}, Vehicle{ModelYear: 2019, VINYear: 2020, YearConflict: true}, Outside, "model year 2019 is not of the range"},

		{"engine family", []Fit{{EngineFamily: []string{"KD4", "KD5"}}}, Vehicle{EngineFamily: "kd5"}, Inside, "engine family kd5"},
		{"engine family not of the range", []Fit{{EngineFamily: []string{"KD4"}}}, Vehicle{EngineFamily: "LX4"}, Outside, "engine family LX4 is not of the range"},
		{"engine family denied by the serial", []Fit{{EngineFamily: []string{"KD4"}}}, Vehicle{EngineFamily: "LX4", EngineSerial: "KD4112345"}, Unknown, "engine serial KD4112345 does not go with engine family LX4; check both"},
		{"a range that pairs unlike letters makes no contradiction", []Fit{{EngineFamily: []string{"T2"}, EngineSerial: serials}}, Vehicle{EngineFamily: "T2", EngineSerial: "KD4112345"}, Inside, "engine serial KD4112345 lies in KD4110000-KD4168000"},

		{"built in the range", []Fit{{BuildDate: []DayRange{{on(2016, 3, 1), on(2016, 3, 31)}}}}, Vehicle{BuildDate: on(2016, 3, 31)}, Inside, "built 2016-03-31"},
		{"built after it", []Fit{{BuildDate: []DayRange{{on(2016, 3, 1), on(2016, 3, 31)}}}}, Vehicle{BuildDate: on(2016, 4, 1)}, Outside, "built 2016-04-01, not in the range"},
		{"open at its beginning", []Fit{{BuildDate: []DayRange{{0, on(2016, 3, 31)}}}}, Vehicle{BuildDate: on(2001, 1, 1)}, Inside, "built 2001-01-01"},
		{"build date missing", []Fit{{BuildDate: []DayRange{{on(2016, 3, 1), 0}}}}, Vehicle{}, Unknown, "build date not given"},

		{"VIN serial inside", []Fit{{VINSerial: []SerialRange{rangeOf(t, "230000-240000")}}}, whole, Inside, "VIN serial 234567 lies in 230000-240000"},
		{"VIN serial in the second of two ranges", []Fit{{VINSerial: []SerialRange{rangeOf(t, "1000000-1100000"), rangeOf(t, "230000-240000")}}}, whole, Inside, "VIN serial 234567 lies in 230000-240000"},
		{"VIN serial outside, a second range of letters says nothing more", []Fit{{VINSerial: []SerialRange{rangeOf(t, "100000-200000"), rangeOf(t, "01000000-02000000")}}}, whole, Outside, "VIN serial 234567 lies outside 100000-200000"},
		{"VIN serial with letters", []Fit{{VINSerial: []SerialRange{rangeOf(t, "01000000-02000000")}}}, whole, Unknown, "serial of the VIN is not all digits"},
		{"VIN serial without a VIN", []Fit{{VINSerial: []SerialRange{rangeOf(t, "100000-200000")}}}, Vehicle{VINPrefix: "Z9KLA4E29G1"}, Unknown, "serial of the VIN not known"},

		{"VIN in a range, whatever the check digit", []Fit{{VIN: []SerialRange{rangeOf(t, "Z9KLA4E27G1200000-Z9KLA4E27G1300000")}}}, whole, Inside, "VIN lies in Z9KLA4E27G1200000-Z9KLA4E27G1300000"},
		{"VIN of another beginning", []Fit{{VIN: []SerialRange{rangeOf(t, "Z9KLB4E27G1200000-Z9KLB4E27G1300000")}}}, whole, Outside, "VIN lies in none of the ranges"},
		{"VIN past the range", []Fit{{VIN: []SerialRange{rangeOf(t, "Z9KLA4E27G1200000-Z9KLA4E27G1230000")}}}, whole, Outside, "VIN lies in none of the ranges"},
		{"first characters of another beginning", []Fit{{VIN: []SerialRange{rangeOf(t, "Z9KLB4E27G1200000-Z9KLB4E27G1300000")}}}, Vehicle{VINPrefix: "Z9KLA4E29G"}, Outside, "VIN beginning Z9KLA4E29G is not of the range"},
		{"first characters of the range's own beginning", []Fit{{VIN: []SerialRange{rangeOf(t, "Z9KLA4E27G1200000-Z9KLA4E27G1300000")}}}, Vehicle{VINPrefix: "Z9KLA4E29G"}, Unknown, "only the beginning of the VIN is known: Z9KLA4E29G"},
		{"digits that reach back over the check digit", []Fit{{VIN: []SerialRange{rangeOf(t, "Z9KLA4E2761200000-Z9KLA4E2761300000")}}}, Vehicle{VIN: "Z9KLA4E2961234567"}, Inside, "VIN lies in Z9KLA4E2761200000-Z9KLA4E2761300000"},
		{"a VIN of which the range leaves characters open", []Fit{{VIN: []SerialRange{vins(t, "Z9K******G1200000", "Z9K******G1300000")}}}, whole, Inside, "VIN lies in Z9K******G1200000-Z9K******G1300000"},
		{"what it does not leave open counts", []Fit{{VIN: []SerialRange{vins(t, "Z9K******H1200000", "Z9K******H1300000")}}}, whole, Outside, "VIN lies in none of the ranges"},
		{"and so does the number", []Fit{{VIN: []SerialRange{vins(t, "Z9K******G1200000", "Z9K******G1234566")}}}, whole, Outside, "VIN lies in none of the ranges"},
		{"first characters where characters are open", []Fit{{VIN: []SerialRange{vins(t, "Z9K******G1200000", "Z9K******G1300000")}}}, Vehicle{VINPrefix: "Z9KLA4E29G"}, Unknown, "only the beginning of the VIN is known: Z9KLA4E29G"},
		{"first characters of another plant", []Fit{{VIN: []SerialRange{vins(t, "Z9K******H1200000", "Z9K******H1300000")}}}, Vehicle{VINPrefix: "Z9KLA4E29G"}, Outside, "VIN beginning Z9KLA4E29G is not of the range"},
		{"a whole VIN answers for make and model, however they are spelled", []Fit{{WMI: []string{"Z9K"}, Make: []string{"NF"}, Model: []string{"KESTREL VAN"}, VIN: []SerialRange{vins(t, "Z9KLA4E27G1200000", "Z9KLA4E27G1300000")}}}, whole, Inside, "VIN lies in Z9KLA4E27G1200000-Z9KLA4E27G1300000"},
		{"without a VIN they are asked for", []Fit{{WMI: []string{"Z9K"}, Make: []string{"NF"}, VIN: []SerialRange{vins(t, "Z9KLA4E27G1200000", "Z9KLA4E27G1300000")}}}, with(func(v *Vehicle) { v.VIN = "" }), Outside, "make Northfold is not of the range"},
		{"and the range stays open", []Fit{{WMI: []string{"Z9K"}, Model: []string{"Kestrel"}, VIN: []SerialRange{vins(t, "Z9KLA4E27G1200000", "Z9KLA4E27G1300000")}}}, with(func(v *Vehicle) { v.VIN = "" }), Unknown, "VIN not known"},
		{"where the range leaves the model open it is asked for", []Fit{{WMI: []string{"Z9K"}, Make: []string{"NF"}, Model: []string{"Heron"}, VIN: []SerialRange{vins(t, "Z9K******G1200000", "Z9K******G1300000")}}}, whole, Outside, "model Kestrel is not of the range"},
		{"but not the make, which the maker's code names", []Fit{{WMI: []string{"Z9K"}, Make: []string{"NF"}, Model: []string{"Kestrel"}, VIN: []SerialRange{vins(t, "Z9K******G1200000", "Z9K******G1300000")}}}, whole, Inside, "VIN lies in Z9K******G1200000-Z9K******G1300000"},
		{"a VIN outside is outside whatever the row calls the vehicle", []Fit{{Make: []string{"Northfold"}, Model: []string{"Kestrel"}, VIN: []SerialRange{vins(t, "Z9KLA4E27G1200000", "Z9KLA4E27G1210000")}}}, whole, Outside, "VIN lies in none of the ranges"},

		{"any of several ranges", []Fit{{Model: []string{"Heron"}}, kestrel}, whole, Inside, "engine serial KD4112345 lies in KD4110000-KD4168000"},
		{"not known in one and outside the other: not known", []Fit{{Model: []string{"Heron"}}, kestrel}, with(func(v *Vehicle) { v.EngineSerial = "" }), Unknown, "engine serial not given"},
		{"outside all: the range that came nearest is named", []Fit{kestrel, {Model: []string{"Heron"}}}, with(func(v *Vehicle) { v.EngineSerial = "KD4200000" }), Outside, "engine serial KD4200000 lies outside KD4110000-KD4168000"},
		{"no ranges", nil, whole, Outside, "no range is stated"},
		{"a range without conditions holds for all", []Fit{{}}, whole, Inside, "the range names no condition"},
	} {
		t.Run(k.name, func(t *testing.T) {
			p := WeakPart{Fits: k.fits, ShareIfUnknown: 0.45}
			got := p.Belongs(&k.v)
			assert.Equal(t, k.want, got.Membership)
			assert.Equal(t, k.reason, got.Reason().String())
			assert.NotEqual(t, k.reason, got.Reason().In(say.Spanish), "every reason has its Spanish")
			assert.Equal(t, map[Membership]float64{Inside: 1, Outside: 0, Unknown: 0.45}[k.want], got.Share)
		})
	}
}

// TestReasonsInSpanish: names and serials stay, words and days are Spanish; what
// is lacking is named by itself.
func TestReasonsInSpanish(t *testing.T) {
	serials := []SerialRange{rangeOf(t, "KD4110000-KD4168000")}
	for _, k := range []struct {
		fit   Fit
		v     Vehicle
		says  string
		lacks string
	}{
		{Fit{EngineSerial: serials}, Vehicle{EngineSerial: "KD4112345"}, "número de motor KD4112345 está dentro de KD4110000-KD4168000", ""},
		{Fit{EngineSerial: serials}, Vehicle{}, "número de motor sin indicar", "número de motor"},
		{Fit{BuildDate: []DayRange{{on(2016, 3, 1), on(2016, 3, 31)}}}, Vehicle{BuildDate: on(2016, 4, 1)}, "fabricado el 1 abr 2016, fuera del intervalo", ""},
		{Fit{BuildDate: []DayRange{{on(2016, 3, 1), 0}}}, Vehicle{}, "fecha de fabricación sin indicar", "fecha de fabricación"},
		{Fit{Model: []string{"Kestrel"}}, Vehicle{Model: "Teal"}, "modelo Teal, fuera del intervalo", ""},
		{Fit{WMI: []string{"Z9K"}}, Vehicle{}, "código de fabricante desconocido (sin VIN)", ""},
	} {
		got := (&WeakPart{Fits: []Fit{k.fit}}).Belongs(&k.v)
		assert.Equal(t, k.says, got.Reason().In(say.Spanish))
		assert.Equal(t, k.lacks, got.Lacks.Say().In(say.Spanish))
		assert.Equal(t, "lo demuestra lo hallado en este vehículo ("+k.says+")", shownBy(Belonging{Membership: Unknown, by: got.by, vehicle: &k.v}).Reason().In(say.Spanish))
	}
}

// TestAskingMakesNoWords: a vehicle is asked of every part, and hardly any reason
// is ever read.
func TestAskingMakesNoWords(t *testing.T) {
	p := WeakPart{Fits: []Fit{{WMI: []string{"Z9K"}, Make: []string{"Northfold"}, Model: []string{"Kestrel"}, ModelYear: []YearRange{{2015, 2017}},
		EngineFamily: []string{"KD4"}, EngineSerial: []SerialRange{rangeOf(t, "KD4110000-KD4168000")}, BuildDate: []DayRange{{on(2016, 3, 1), 0}}}}}
	for _, v := range []Vehicle{
		{},
		{VIN: "Z9KLA4E29G1234567", Make: "NORTHFOLD", Model: "Kestrel", ModelYear: 2016, EngineFamily: "KD4", EngineSerial: "KD4112345", BuildDate: on(2016, 4, 1)},
		{VIN: "Z9KLA4E29G1234567", Make: "NORTHFOLD", Model: "Kestrel", ModelYear: 2016, EngineFamily: "KD4", EngineSerial: "KD4999999"},
		{VIN: "Z9XLA4E29G1234567"},
		{Make: "Northfold", Model: "Teal", ModelYear: 2012},
	} {
		assert.Zero(t, testing.AllocsPerRun(10, func() { p.Belongs(&v) }), "%+v", v)
	}
}

// TestNear: outside, but of the model that the ranges speak of.
func TestNear(t *testing.T) {
	p := WeakPart{Fits: []Fit{{WMI: []string{"Z9K"}, Make: []string{"Northfold"}, Model: []string{"Kestrel"}, ModelYear: []YearRange{{2015, 2017}}}}}
	for _, k := range []struct {
		name string
		v    Vehicle
		want bool
	}{
		{"too young", Vehicle{Make: "Northfold", Model: "Kestrel", ModelYear: 2020}, true},
		{"another model", Vehicle{Make: "Northfold", Model: "Teal", ModelYear: 2016}, false},
		{"another make", Vehicle{Make: "Westrow", Model: "Kestrel", ModelYear: 2016}, false},
		{"another maker's code", Vehicle{VIN: "Z9XLA4E29G1234567", Make: "Northfold", Model: "Kestrel", ModelYear: 2020}, false},
		{"not known", Vehicle{Make: "Northfold", Model: "Kestrel"}, true},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, p.Belongs(&k.v).Near) })
	}
}

func BenchmarkBelongs(b *testing.B) {
	p := WeakPart{Fits: []Fit{{WMI: []string{"Z9K"}, Model: []string{"Kestrel", "Heron-2"}, ModelYear: []YearRange{{2015, 2017}}, EngineSerial: []SerialRange{rangeOf(b, "KD4110000-KD4168000")}}}}
	for _, k := range []struct {
		name string
		v    Vehicle
	}{
		{"inside", Vehicle{VIN: "Z9KLA4E29G1234567", Model: "Kestrel", ModelYear: 2016, EngineSerial: "KD4112345"}},
		{"outside", Vehicle{VIN: "Z9KLA4E29G1234567", Model: "Teal", ModelYear: 2016, EngineSerial: "KD4112345"}},
	} {
		b.Run(k.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p.Belongs(&k.v)
			}
		})
	}
}
