package odometer

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/say"
)

// quarter is the usual distance between the readings of the tables below.
const quarter = 91 // days

// assessSeries assesses readings a quarter apart on the day of the last one.
func assessSeries(km ...float64) Estimate {
	readings := series(20000, quarter, km...)
	return Assess(readings, readings[len(readings)-1].Day, Usage{Default: 450}, Limits{})
}

// TestCauses holds one vehicle with readings a quarter apart against each cause and its near miss. The
// distances today follow from the rule named, worked by hand.
func TestCauses(t *testing.T) {
	tests := []struct {
		name    string
		km      []float64
		finding Finding
		today   float64 // km; exact to 1
		odd     []int
	}{
		{"steady readings have no finding", []float64{50000, 56000, 62000, 68000}, None, 68000, nil},
		{"a fall below 1 % is rounding", []float64{50000, 56000, 55500, 62000}, None, 62000, nil},
		{"a fall of 20 km at small distances is rounding", []float64{100, 85, 4000}, None, 4000, nil},
		{"a vehicle at rest keeps its reading", []float64{50000, 50000, 50000}, None, 50000, nil},

		{"miles last: 74,565.4 mi are 120,001 km", []float64{102000, 108000, 114000, 74565.4}, UnitMixUp, 74565.4 * KMPerMile, nil},
		{"miles in the middle", []float64{102000, 67109, 114000, 120000}, UnitMixUp, 120000, nil},
		{"miles first", []float64{63379, 108000, 114000, 120000}, UnitMixUp, 120000, nil},
		{"miles from some day on", []float64{102000, 108000, 114000, 74565, 78293}, UnitMixUp, 78293 * KMPerMile, nil},
		{"miles every other time", []float64{102000, 67108, 114000, 74565, 126000, 82021}, UnitMixUp, 126000 + 6000, nil},
		{"a ratio of 1.8 is no unit mix-up", []float64{102000, 108000, 114000, 66000}, SuspectedRollback, 114000 + 6000, []int{3}},
		{"a ratio of 1.4 is no unit mix-up", []float64{102000, 108000, 114000, 86000}, SuspectedRollback, 114000 + 6000, []int{3}},
		{"kilometres taken for miles, last", []float64{60000, 62000, 64000, 66000 * KMPerMile}, UnitMixUp, 66000, nil},

		{"a digit too many in the middle", []float64{50000, 560005, 62000, 68000}, DigitSlip, 68000, []int{1}},
		{"tenths read as kilometres, last", []float64{50000, 56000, 62000, 680004}, DigitSlip, 62000 + 6000, []int{3}},
		{"a digit too many in the first reading does not poison the rest", []float64{500000, 56000, 62000, 68000}, DigitSlip, 68000, nil},
		{"a digit missing in the middle", []float64{50000, 5612, 62000, 68000}, DigitSlip, 68000, []int{1}},
		{"a digit missing last", []float64{50000, 56000, 62000, 6841}, DigitSlip, 62000 + 6000, []int{3}},
		{"two neighbours swapped", []float64{50000, 65000, 62000, 68000}, DigitSlip, 68000, []int{1}},
		{"thousands written alone", []float64{50000, 56, 62000, 68000}, DigitSlip, 68000, []int{1}},
		{"a digit doubled", []float64{145000, 1552000, 158000, 164000}, DigitSlip, 164000, []int{1}},
		{"a reading that no slip explains is implausible", []float64{50000, 33333, 62000, 68000}, Implausible, 68000, []int{1}},

		{"past 99,999 on five digits", []float64{88000, 94000, 99000, 5000, 11000}, Rollover, 111000, nil},
		{"past 99,999, seen once", []float64{88000, 94000, 99000, 5000}, Rollover, 105000, nil},
		{"past 999,999 on six digits", []float64{980000, 990000, 999000, 8000, 17000}, Rollover, 1017000, nil},
		{"a fall from 99,000 to 45,000 is no rollover", []float64{88000, 94000, 99000, 45000, 51000}, SuspectedRollback, 99000 + 2*5500, []int{3, 4}},
		{"a six-digit reading cannot have rolled over at 99,999", []float64{88000, 94000, 101000, 40000, 46000}, SuspectedRollback, 101000 + 2*6500, []int{3, 4}},

		{"a fall to near 0, then rising, is a new counter", []float64{150000, 156000, 162000, 900, 6900}, CounterChange, 168900, nil},
		{"a fall to near 0, seen once", []float64{150000, 156000, 162000, 900}, CounterChange, 162900, nil},
		{"a fall to near 0 on a vehicle almost new is no new counter", []float64{800, 1400, 2000, 100}, SuspectedRollback, 2600, []int{3}},
		{"a fall to 60,000 is no new counter", []float64{150000, 156000, 162000, 60000, 66000}, SuspectedRollback, 162000 + 2*6000, []int{3, 4}},

		{"lower readings that agree are a suspected rollback", []float64{130000, 145000, 160000, 120000, 126000}, SuspectedRollback, 160000 + 2*15000, []int{3, 4}},
		{"one high first reading, all later ones lower", []float64{140000, 115000, 121000, 127000}, SuspectedRollback, 140000 + 450.0/7*3*quarter, []int{1, 2, 3}},
		{"one high reading among lower ones is the odd one", []float64{50000, 75000, 56000, 62000}, Implausible, 62000, []int{1}},
		{"two readings, the later lower", []float64{80000, 65000}, SuspectedRollback, 80000 + 450.0/7*quarter, []int{1}},

		{"a negative reading is set aside", []float64{50000, -5, 62000}, Implausible, 62000, []int{1}},
		{"a reading over 2,000,000 km is set aside", []float64{50000, 2000001, 62000}, Implausible, 62000, []int{1}},
		{"over 60,000 miles a year is doubted but kept", []float64{50000, 80000, 110000, 140000, 170000}, Implausible, 170000, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := assessSeries(tt.km...)
			assert.Equal(t, tt.finding, e.Finding, e.Detail)
			assert.InDelta(t, tt.today, e.KM, 1, e.Detail)
			assert.Equal(t, tt.odd, e.Odd, e.Detail)
			assert.Equal(t, tt.finding == None, e.Detail.Empty())
			assert.Len(t, append(e.Used, e.Odd...), len(tt.km), "every reading is kept or left out")
		})
	}
}

// TestSuspicionIsWordedAsOne: no detail states a cause as a fact, and each names its reading.
func TestSuspicionIsWordedAsOne(t *testing.T) {
	tests := []struct {
		km    []float64
		words []string
	}{
		{[]float64{130000, 145000, 160000, 120000, 126000}, []string{"120,000 km on 2025-07-04 (scan)", "160,000 km on 2025-04-04 (scan)", "may have been wound back", "ask for"}},
		{[]float64{150000, 156000, 162000, 900, 6900}, []string{"900 km on", "162,000 km on", "may be a new counter", "ask for"}},
		{[]float64{88000, 94000, 99000, 5000, 11000}, []string{"5,000 km on", "99,999", "100,000 was added", "ask"}},
		{[]float64{102000, 108000, 114000, 74565}, []string{"74,565 km on", "if it is in miles: 120,001 km", "ask in which unit"}},
		{[]float64{50000, 560000, 62000, 68000}, []string{"560,000 km on", "may have a slip of a digit", "56,000 km", "left out"}},
	}
	for _, tt := range tests {
		e := assessSeries(tt.km...)
		for _, w := range tt.words {
			assert.Contains(t, e.Detail.String(), w)
		}
	}
}

// TestSuspicionInSpanish: the same in the other language, numbers and days with it.
func TestSuspicionInSpanish(t *testing.T) {
	for _, tt := range []struct {
		km   []float64
		says string
	}{
		{[]float64{130000, 145000, 160000, 120000, 126000}, "120.000 km el 4 jul 2025 (lectura de códigos) después de 160.000 km el 4 abr 2025 (lectura de códigos) puede ser un cuentakilómetros retrocedido; " +
			"o la lectura es anterior a su fecha, o de otro vehículo; se siguió con la lectura más alta; pedir los papeles de ambas."},
		{[]float64{102000, 108000, 114000, 74565}, "74.565 km el 4 jul 2025 (lectura de códigos) encaja con las demás lecturas si está en millas: se usó 120.001 km; preguntar en qué unidad se leyó."},
	} {
		e := assessSeries(tt.km...)
		assert.Equal(t, tt.says, e.Detail.In(say.Spanish))
		assert.NotEmpty(t, e.Finding.Say().In(say.Spanish))
	}
	e := Assess(series(20000, quarter, 6000, 6100), 20000+quarter+5, Usage{Stated: 22.4, Unit: Hours}, Limits{})
	assert.Equal(t, "lectura del 3 ene 2025 llevada 5 días a 22 h por semana (según lo indicado)", e.Basis().In(say.Spanish))
}

// TestSourcesAreWorded: a reading's source is said in the language, a name of the
// fleet's own as it is.
func TestSourcesAreWorded(t *testing.T) {
	for _, source := range []string{FromScan, FromScanSheet, FromRepair, FromInspection, FromVehicles, FromReadings, FromMonth, FromReturned} {
		assert.Equal(t, source, from(source).String())
		assert.NotEqual(t, source, from(source).In(say.Spanish))
	}
	assert.Equal(t, "fuel cards", from("fuel cards").In(say.Spanish))
}

// TestStatedUnitDecides: a value that a stated "mi" already multiplied is not taken for miles again,
// and the set that was multiplied is the one to be divided.
func TestStatedUnitDecides(t *testing.T) {
	readings := series(20000, quarter, 102000, 108000, 114000, 74565)
	readings[3].Unit = "mi"
	e := Assess(readings, readings[3].Day, Usage{Default: 450}, Limits{})
	assert.Equal(t, SuspectedRollback, e.Finding)

	readings = series(20000, quarter, 96000*KMPerMile, 102000*KMPerMile, 108000, 114000)
	readings[0].Unit, readings[1].Unit = "mi", "mi"
	e = Assess(readings, readings[3].Day, Usage{Default: 450}, Limits{})
	assert.Equal(t, UnitMixUp, e.Finding, e.Detail)
	assert.InDelta(t, 114000, e.KM, 1)
	assert.Contains(t, e.Detail.String(), "was in kilometres and taken for miles")
}

// TestSheetInMiles: many kilometre readings along the years and one latest reading in miles, the
// usual fault of a sheet, at several distances and usages.
func TestSheetInMiles(t *testing.T) {
	for _, perYear := range []float64{8000, 18000, 30000, 60000} {
		for _, years := range []int{4, 7, 10} {
			var readings []Reading
			for i := range 2 * years {
				readings = append(readings, Reading{Day: Day(18000 + i*183), KM: 500 + perYear/2*float64(i), Source: "repair"})
			}
			last := Day(18000 + 2*years*183 - 120)
			truth := 500 + perYear*float64(last-18000)/366
			readings = append(readings, Reading{Day: last, KM: truth / KMPerMile, Source: "vehicle sheet"})
			e := Assess(readings, last, Usage{Default: 450}, Limits{})
			assert.Equal(t, UnitMixUp, e.Finding, "%v km a year, %d years: %s", perYear, years, e.Detail)
			assert.InEpsilon(t, truth, e.KM, 0.001)
		}
	}
}

// TestNoNumberIsASlipOfItself: two like digits swapped are the same number, which
// must not be offered as what would fit in its place.
func TestNoNumberIsASlipOfItself(t *testing.T) {
	for _, n := range []int64{118264, 100000, 112233, 77, 5} {
		for _, low := range []float64{0, 1e9} {
			assert.NotContains(t, slips(n, low, 120000), n)
		}
	}
	e := Assess([]Reading{
		{Day: 20449, KM: 98785, Source: FromRepair}, {Day: 20752, KM: 118264, Source: FromScanSheet},
		{Day: 20760, KM: 142300, Source: FromVehicles}, {Day: 20764, KM: 107400, Source: FromScan},
	}, 20780, Usage{Default: 450}, Limits{})
	assert.NotContains(t, e.Detail.String(), "about 118,264 km would fit")
}
