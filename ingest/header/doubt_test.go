package header

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestVINOfATrailer: beside the vehicle's own name it is not the vehicle's; a list of trailers is named by it.
func TestVINOfATrailer(t *testing.T) {
	for sheet, want := range map[string]Field{
		"Unit|Trailer VIN|Odometer\n17|ZSNHV2D4XHK109492|1200":                              Ignore,
		"Reg|Previous chassis|Odometer\nA1|ZSNHV2D4XHK109492|1200":                          Ignore,
		"Trailer VIN|Model|In service\nZSNHV2D4XHK109492|Heron|2019-01-01":                  VIN,
		"Unit|Code on plate|Odometer\n17|ZSNHV2D4XHK109492|1200\n18|ZSNHV2D41FK107885|1300": VIN,
	} {
		l, err := Recognise(sheetOf(sheet), Options{})
		require.NoError(t, err)
		i := slices.IndexFunc(l.Columns, func(c Column) bool { return c.Heading != "Unit" && c.Heading != "Reg" })
		assert.Equal(t, want, l.Columns[i].Field, sheet)
	}
}

// TestUnitsSpeakAgainst: a unit in the heading keeps a column from being taken for what is not counted in it.
func TestUnitsSpeakAgainst(t *testing.T) {
	for heading, want := range map[string]Field{
		"Engine hours (h)": EngineHours, "Engine hours [h]": EngineHours, "Odometer (km)": Odometer, "Odometer (mi)": Odometer, "Odometer (approx.)": Odometer,
		"Odometer (m)": Ignore, "Odometer (l)": Ignore, "Odometer (litres)": Ignore, "Meter (h)": Ignore, "Total km": Odometer, "Price (km)": Ignore, "Chassis (last 7)": Ignore,
		"Next service": NextService, "Next service (km)": Ignore, "nächster Service km": Ignore, "Prochaine révision (km)": Ignore,
	} {
		l, err := Recognise(sheetOf("Unit|Model|"+heading+"\nU1|Heron|x\nU2|Teal|y"), Options{})
		require.NoError(t, err)
		assert.Equal(t, want, l.Columns[2].Field, heading)
	}
}

// TestNextServiceInDistances: numbers of which one cannot be a day are distances.
func TestNextServiceInDistances(t *testing.T) {
	for last, want := range map[string]Field{"46112": NextService, "105000": Ignore, "15000": Ignore} {
		l, err := Recognise(sheetOf("Unit|Model|Next service\nU1|Heron|45000\nU2|Teal|"+last), Options{})
		require.NoError(t, err)
		assert.Equal(t, want, l.Columns[2].Field, last)
	}
}

// TestNotNow: what is due, allowed or agreed is not offered as the odometer.
func TestNotNow(t *testing.T) {
	for heading, offered := range map[string]bool{
		"Mileage figure": true, "Odometer figure": true, "Next service odometer": false, "Mileage at purchase": false, "km-Stand bei Übernahme": false, "Last service odometer": false, "Mileage allowance": false, "Annual mileage limit": false, "Contract mileage p.a.": false,
	} {
		l, err := Recognise(sheetOf("Unit|Model|"+heading+"\nU1|Heron|80000"), Options{})
		require.NoError(t, err)
		assert.Equal(t, Ignore, l.Columns[2].Field, heading)
		assert.Equal(t, offered, len(l.Columns[2].Candidates) > 0 && l.Columns[2].Candidates[0] == Odometer, heading)
	}
}

// TestSerialOfWhat: a serial beside a part is the vehicle's only where VINs stand underneath.
func TestSerialOfWhat(t *testing.T) {
	for serial, want := range map[string]string{"77": "unit part - date odometer finding", "Z9KAA1E21BB100001": "unit part vin date odometer finding"} {
		l, err := Recognise(sheetOf("Unit|Part|Serial|Date|Km|Finding\n1|pump|"+serial+"|2026-01-01|100|worn"), Options{})
		require.NoError(t, err)
		assert.Equal(t, want, fieldsIn(l))
	}
}

// TestWordsInBrackets: what stands in brackets may say that the column is of another day, or of something else.
func TestWordsInBrackets(t *testing.T) {
	for heading, want := range map[string]Field{
		"Mileage (annual)": Ignore, "Mileage [Contract]": DisposalKm, "Odometer (at purchase)": Ignore, "Odometer (when new)": Ignore, "Kilometerstand (Übernahme)": Ignore, "Kilométrage (achat)": Ignore, "Kilometraje (compra)": Ignore, "Odometer (next service)": Ignore,
		"Odometer (latest)": Odometer, "Odometer (last)": Odometer, "Odometer (in km)": Odometer, "Odometer (today)": Odometer, "Kilometerstand (letzter)": Odometer, "Odometer (from telematics)": Odometer, "Mileage (miles)": Odometer,
		"Date (next service)": NextService, "VIN (engine)": Ignore, "VIN (17 characters)": VIN, "VIN (trailer)": Ignore, "Registration (previous)": Ignore, "Depot (old)": Ignore, "Depot (home)": Depot,
	} {
		l, err := Recognise(sheetOf("Unit|Model|"+heading+"\nU1|Heron|x\nU2|Teal|y"), Options{})
		require.NoError(t, err)
		assert.Equal(t, want, l.Columns[2].Field, heading)
	}
}

// TestHistoryShapes: what one column a month holds, by its figures and by what stands above.
func TestHistoryShapes(t *testing.T) {
	row := func(cells string) []string { return sheetOf(cells)[0] }
	head := row("Unit|Model|Jan 2026|Feb 2026|Mar 2026")
	for _, c := range []struct {
		name  string
		above string
		rows  [][]string
		want  Field
		asks  bool
	}{
		{"rises, and nothing says what it is", "", [][]string{row("U1|Heron|80000|81000|82000"), row("U2|Teal|40000|40500|41000")}, Ignore, true},
		{"rises under a distance", "km", [][]string{row("U1|Heron|80000|81000|82000"), row("U2|Teal|40000|40500|41000")}, OdometerByMonth, true},
		{"rises, and the cells say km", "", [][]string{row("U1|Heron|80000 km|81000 km|82000 km"), row("U2|Teal|40000 km|40500 km|41000 km")}, OdometerByMonth, true},
		{"rises under an odometer", "Odometer at the end of each month", [][]string{row("U1|Heron|80000|81000|82000"), row("U2|Teal|40000|40500|41000")}, OdometerByMonth, false},
		{"an odometer may be small where it says so", "Odometer at the end of each month", [][]string{row("U1|Heron|4000|4100|4200"), row("U2|Teal|3000|3100|3150")}, OdometerByMonth, false},
		{"small figures that rise", "", [][]string{row("U1|Heron|4000|4100|4200"), row("U2|Teal|3000|3100|3150")}, Ignore, true},
		{"diesel", "Diesel", [][]string{row("U1|Heron|80000|81000|82000"), row("U2|Teal|40000|40500|41000")}, Ignore, false},
		{"both said", "Odometer and fuel", [][]string{row("U1|Heron|80000|81000|82000"), row("U2|Teal|40000|40500|41000")}, Ignore, true},
		{"no month is driven so far", "", [][]string{row("U1|Heron|800000|900000|990000"), row("U2|Teal|400000|470000|550000")}, Ignore, true},
		{"from nothing on", "", [][]string{row("U1|Heron|6000|12000|18000"), row("U2|Teal|3000|6100|9500")}, Ignore, true},
		{"falls", "", [][]string{row("U1|Heron|8000|7000|9000"), row("U2|Teal|4000|4500|4100")}, Ignore, true},
	} {
		rows := append([][]string{{c.above}, head}, c.rows...)
		l, err := Recognise(rows, Options{})
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, l.Columns[2].Field, c.name)
		asked := false
		for _, p := range l.Ambiguous {
			asked = asked || len(p.Choices) == 3
		}
		assert.Equal(t, c.asks, asked, c.name)
	}
	l, err := Recognise([][]string{head, row("U1|Heron|80000|81000|82000"), row("U2|Teal|40000|40500|41000")}, Options{Named: []string{"Sheet1", "diesel 2026"}})
	require.NoError(t, err)
	assert.Equal(t, Ignore, l.Columns[2].Field, "the file's name speaks of diesel")
	assert.Len(t, l.Ambiguous[0].Choices, 3, "a name alone does not settle it")
}

// TestDrivenIsNoReading: small figures under a heading of what was driven are asked about where vehicles come again, and give way to an odometer.
func TestDrivenIsNoReading(t *testing.T) {
	events := func(heading, figures string) Layout {
		rows := "Unit|Date|" + heading
		for i, f := range strings.Fields(figures) {
			rows += fmt.Sprintf("\nU%d|2026-09-0%d|%s", i%2, i+1, strings.ReplaceAll(f, "/", "|"))
		}
		l, _ := Recognise(sheetOf(rows), Options{})
		return l
	}
	small, large := "120 80 310 55 60 20", "80120 60080 80310 60155 80460 60220"
	for heading, taken := range map[string]bool{"Distance": false, "Distance driven": false, "km": false, "Gefahrene km": false, "Odometer": true, "Mileage": true} {
		assert.Equal(t, taken, events(heading, small).Columns[2].Field == Odometer, heading)
	}
	for _, heading := range []string{"Distance", "Distance driven", "km", "Odometer"} {
		assert.Equal(t, Odometer, events(heading, large).Columns[2].Field, heading)
	}
	l := events("Odometer reading|Distance driven", "80120/120 60080/80 80310/190 60155/75 80460/150 60220/65")
	assert.Equal(t, Odometer, l.Columns[2].Field)
	assert.Equal(t, Ignore, l.Columns[3].Field)
	assert.Empty(t, l.Ambiguous, "nothing is left to ask")
}
