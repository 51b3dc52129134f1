package header

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/ingest/value"
)

// sheetOf reads rows written as lines with | between cells.
func sheetOf(text string) [][]string {
	var rows [][]string
	for _, line := range strings.Split(strings.TrimSuffix(strings.TrimPrefix(text, "\n"), "\n"), "\n") {
		var row []string
		if line != "" {
			row = strings.Split(line, "|")
			for i := range row {
				row[i] = strings.ReplaceAll(strings.TrimSpace(row[i]), `\n`, "\n")
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// fieldsIn lists the fields by column, "-" where none was taken.
func fieldsIn(l Layout) string {
	var parts []string
	for _, c := range l.Columns {
		f := string(c.Field)
		if f == "" {
			f = "-"
		}
		parts = append(parts, f)
	}
	return strings.Join(parts, " ")
}

func kindsIn(l Layout) string {
	var parts []string
	for _, k := range l.Holds {
		parts = append(parts, string(k))
	}
	return strings.Join(parts, " ")
}

func TestRecogniseSheets(t *testing.T) {
	cases := []struct {
		rule, sheet string
		o           Options
		row, rows   int
		holds       string
		fields      string
		ambiguous   int
	}{
		{rule: "a list of vehicles below a title and blank rows, German", sheet: `
Fuhrpark Küste| | | Stand 25.11.2026


Fzg.-Nr.|FIN|Standort|Hersteller|Modell|Modelljahr|km-Stand|Stand vom|Motornummer|Nachweise ab km|Bemerkung
0001|Z8LCA4E2XJB100001|Insel|Northfold|Crane|2018|174553|25.11.2026||40850|`,
			row: 3, rows: 1, holds: "vehicles", fields: "unit vin depot make model model_year odometer odometer_date engine_serial history_from_km remarks"},
		{rule: "a list of scans: Status is the code's state", sheet: `
Fzg.-Nr.|Auslesedatum|Fehlercode|Status|km-Stand|km seit Löschung
0001|46346|no codes||174553|107
0003|46349|P0087|gespeichert|145458|49`,
			rows: 1, holds: "codes", fields: "unit date codes state odometer km_since_clear"},
		{rule: "a list of repairs: Status is the repair's, km the odometer", sheet: `
Datum|Fzg.-Nr.|km|Arbeit|Status
41642|0213|1|put into service|done`,
			rows: 1, holds: "repairs", fields: "date unit odometer text status"},
		{rule: "repairs that carry make and model along are no list of vehicles", sheet: `
Date|Unit|Make|Model|Odometer|Work done|Cost
2024-01-02|17|Northfold|Heron|12000|Rail pressure sensor replaced|120`,
			rows: 1, holds: "repairs", fields: "date unit make model odometer text cost"},
		{rule: "a list of vehicles with a column of codes holds both", sheet: `
Unit|VIN|Make|Model|Odometer|Codes|km since clear
17|Z9KAA1E21BB100001|Northfold|Heron|12000|P0087; P0191|120`,
			rows: 1, holds: "vehicles codes", fields: "unit vin make model odometer codes km_since_clear"},
		{rule: "dated scans with make and model are scans", sheet: `
VIN|Make|Model|Scan date|DTC
Z9KAA1E21BB100001|Northfold|Heron|2024-01-02|P0087`,
			rows: 1, holds: "codes", fields: "vin make model date codes"},
		{rule: "odometer and date only are readings", sheet: `
Vehicle No|Date|Odometer|Source
17|2024-01-02|12000|fuel card`,
			rows: 1, holds: "readings", fields: "unit date odometer source"},
		{rule: "the day of a reading is the date of a list of readings", sheet: `
Reg|Mileage|Reading date
AB12|12000|2024-01-02`,
			rows: 1, holds: "readings", fields: "registration odometer date"},
		{rule: "unit, VIN and the day of the reading are a list of vehicles", sheet: `
Unit|VIN|Mileage|Reading date
17|Z9KAA1E21BB100001|12000|2024-01-02`,
			rows: 1, holds: "vehicles", fields: "unit vin odometer odometer_date"},
		{rule: "unit, VIN and an undated odometer are a list of vehicles", sheet: `
Unit|VIN|Mileage
17|Z9KAA1E21BB100001|12000`,
			rows: 1, holds: "vehicles", fields: "unit vin odometer"},
		{rule: "a bare date beside the odometer of a vehicle is the reading's", sheet: `
Unit|Make|Model|km-Stand|Datum
17|Northfold|Heron|12000|2024-01-02`,
			rows: 1, holds: "vehicles", fields: "unit make model odometer odometer_date"},
		{rule: "a bare date on a list of vehicles without a reading says nothing", sheet: `
Unit|Make|Model|Date
17|Northfold|Heron|2024-01-02`,
			rows: 1, holds: "vehicles", fields: "unit make model -", ambiguous: 1},
		{rule: "recurring vehicles with make and model are readings", sheet: `
Unit|Make|Model|Odometer|Date
17|Northfold|Heron|12000|2024-01-02
18|Northfold|Heron|9000|2024-01-02
17|Northfold|Heron|12900|2024-02-02
18|Northfold|Heron|9900|2024-02-02`,
			rows: 1, holds: "readings", fields: "unit make model odometer date"},
		{rule: "inspections with a measure of the catalogue", sheet: `
Unit|Part|Position|Finding|Date|Odometer|By|Tappet (mm)
17|pump follower|1|worn|2024-01-02|12000|JK|0,32`,
			o: Options{Measures: []string{"tappet_mm", "tappet"}}, rows: 1, holds: "inspections", fields: "unit part position finding date odometer by measure"},
		{rule: "headings on row 7 with line breaks", sheet: `




Vehicles 2026

Fleet\nNo.|VIN\n(17 digits)|Licence\nplate|Odometer\n(km)|In\nservice
17|Z9KAA1E21BB100001|AB 12|12000|2024-01-02`,
			row: 6, rows: 1, holds: "vehicles", fields: "unit vin registration odometer in_service_date"},
		{rule: "two heading rows, the upper filled to the right", sheet: `
Unit|VIN|Odometer||Engine||Disposal|
||km|date|family|serial no.|km|date
17|Z9KAA1E21BB100001|12000|2024-01-02|KD|KD411|300000|2028-01-01`,
			rows: 2, holds: "vehicles", fields: "unit vin odometer odometer_date engine_family engine_serial disposal_km disposal_date"},
		{rule: "two heading rows in German below a title", sheet: `
Bestand Nord
Fahrzeug||km-Stand|
Fzg.-Nr.|FIN|Wert|Datum
17|Z9KAA1E21BB100001|12000|01.02.2024`,
			row: 1, rows: 2, holds: "vehicles", fields: "unit vin odometer odometer_date"},
		{rule: "group titles above plain headings don't make two rows", sheet: `
Vehicle||Use|
Unit No|VIN|Odometer|Depot
17|Z9KAA1E21BB100001|12000|North`,
			row: 1, rows: 1, holds: "vehicles", fields: "unit vin odometer depot"},
		{rule: "duplicated headings are never first-wins", sheet: `
Unit|Date|Date|Work done
17|2024-01-02|2024-01-05|Sensor replaced`,
			rows: 1, holds: "repairs", fields: "unit - - text", ambiguous: 1},
		{rule: "the job tells duplicated headings apart by letter", sheet: `
Unit|Date|Date|Work done
17|2024-01-02|2024-01-05|Sensor replaced`,
			o: Options{Told: map[string]string{"column C": "date"}}, rows: 1, holds: "repairs", fields: "unit - date text"},
		{rule: "a mere ID with VINs underneath is the VIN", sheet: `
DEPARTMENT|I.D.#|MAKE
North|Z9KAA1E21BB100001|Northfold
North|Z9KAA1E27BB100002|Northfold`,
			rows: 1, holds: "vehicles", fields: "depot vin make"},
		{rule: "an unknown heading with VINs underneath is the VIN", sheet: `
Depot|Kerrigan key|Make
North|Z9KAA1E21BB100001|Northfold
North|Z9KAA1E27BB100002|Northfold`,
			rows: 1, holds: "vehicles", fields: "depot vin make"},
		{rule: "a column headed VIN with eleven characters is the front of one", sheet: `
VIN|Make|Odometer
Z9KAA1E21BB|Northfold|1
Z9KAA1E27BC|Northfold|2`,
			rows: 1, holds: "vehicles", fields: "vin_prefix make odometer"},
		{rule: "ten characters under a part number are no VIN", sheet: `
VIN|Work done|Date|Part number
Z9KAA1E21BB100001|Sensor replaced|2024-01-02|KD1180B221
Z9KAA1E27BB100002|Sensor replaced|2024-01-02|KD1180B222`,
			rows: 1, holds: "repairs", fields: "vin text date part_no"},
		{rule: "Unit with km and mi underneath is the odometer's unit", sheet: `
VIN|Model|Odometer|Unit
Z9KAA1E21BB100001|Heron|12000|km
Z9KAA1E27BB100002|Heron|9000|mi`,
			rows: 1, holds: "vehicles", fields: "vin model odometer odometer_unit"},
		{rule: "a Nr. that counts the rows identifies nothing", sheet: `
Nr.|FIN|Modell
1|Z9KAA1E21BB100001|Heron
2|Z9KAA1E27BB100002|Heron
3|Z9KAA1E27BB100003|Heron`,
			rows: 1, holds: "vehicles", fields: "- vin model"},
		{rule: "a Nr. that does not count is the unit", sheet: `
Nr.|Modell|km-Stand
17|Heron|12000
4|Heron|900`,
			rows: 1, holds: "vehicles", fields: "unit model odometer"},
		{rule: "a combined column is reported, not split", sheet: `
Unit|YEAR/MAKE|Odometer
17|2011 Northfold|12000`,
			rows: 1, holds: "vehicles", fields: "unit - odometer", ambiguous: 1},
		{rule: "the first registration stands back behind the in-service date", sheet: `
Unit|Erstzulassung|Inbetriebnahme|Modell
17|2024-01-02|2024-01-05|Heron`,
			rows: 1, holds: "vehicles", fields: "unit - in_service_date model"},
		{rule: "several columns of codes are all taken", sheet: `
Unit|Scan date|Code 1|Code 2|Code 3
17|2024-01-02|P0087|P0191|`,
			rows: 1, holds: "codes", fields: "unit date codes codes codes"},
		{rule: "a Code without trouble codes underneath is none", sheet: `
Unit|Date|Code|Work done
17|2024-01-02|LAB-10|Sensor replaced
18|2024-01-02|LAB-20|Sensor replaced`,
			rows: 1, holds: "repairs", fields: "unit date - text"},
		{rule: "a US state on a list of vehicles is no state of a code", sheet: `
VIN|State|Make|Model
Z9KAA1E21BB100001|TX|Northfold|Heron`,
			rows: 1, holds: "vehicles", fields: "vin - make model"},
		{rule: "Price on a list of repairs is the cost", sheet: `
Unit|Datum|Arbeit|Preis
17|2024-01-02|Sensor ersetzt|120`,
			rows: 1, holds: "repairs", fields: "unit date text cost"},
		{rule: "notes on a dated list of nothing else are the work", sheet: `
Unit|Date|km|Notes
17|2024-01-02|12000|sensor replaced`,
			rows: 1, holds: "repairs", fields: "unit date odometer text"},
		{rule: "a description on a list of vehicles is no work", sheet: `
ASSET NUMBER|DESCRIPTION|VIN|MILEAGE
17|2017 Heron|Z9KAA1E21BB100001|12000`,
			rows: 1, holds: "vehicles", fields: "unit - vin odometer"},
		{rule: "what the job says goes before all", sheet: `
Fleet ref|Standing|Notes|Odo
17|A|leak|12000`,
			o: Options{Told: map[string]string{"fleet REF": "unit", "Standing": "depot", "Notes": "ignore"}, Holds: []Kind{Vehicles}}, rows: 1, holds: "vehicles", fields: "unit depot - odometer"},
		{rule: "the job takes a field from the column that would have had it", sheet: `
Unit|Odometer|Odometer corrected|Model
17|12000|13000|Heron`,
			o: Options{Told: map[string]string{"Odometer corrected": "odometer"}}, rows: 1, holds: "vehicles", fields: "unit - odometer model"},
		{rule: "a lot list", sheet: `
Lot No|Order|Reg|VIN|Model|Mileage|Guide price|Runs
1|1|AB12|Z9KAA1E21BB100001|Heron|12000|4000|Y`,
			rows: 1, holds: "vehicles", fields: "lot - registration vin model odometer guide_price runs"},
		{rule: "any order", sheet: `
Bemerkung|km-Stand|Modell|Kennzeichen
-|12000|Heron|AB 12`,
			rows: 1, holds: "vehicles", fields: "remarks odometer model registration"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			l, err := Recognise(sheetOf(c.sheet), c.o)
			require.NoError(t, err)
			assert.Equal(t, c.row, l.Row)
			assert.Equal(t, c.rows, l.Rows)
			assert.Equal(t, c.holds, kindsIn(l))
			assert.Equal(t, c.fields, fieldsIn(l))
			assert.Len(t, l.Ambiguous, c.ambiguous, "%v", l.Ambiguous)
		})
	}
}

func TestStatusOnVehiclesWithCodes(t *testing.T) {
	head := "Unit|Make|Model|Odometer|Codes|Status\n"
	l, err := Recognise(sheetOf(head+"17|Northfold|Heron|1|P0087|stored\n18|Northfold|Heron|2|P0087|pending"), Options{})
	require.NoError(t, err)
	assert.Equal(t, "unit make model odometer codes state", fieldsIn(l))
	l, err = Recognise(sheetOf(head+"17|Northfold|Heron|1|P0087|in use\n18|Northfold|Heron|2|P0087|sold"), Options{})
	require.NoError(t, err)
	assert.Equal(t, "unit make model odometer codes status", fieldsIn(l))
	l, err = Recognise(sheetOf(head+"17|Northfold|Heron|1|P0087|A\n18|Northfold|Heron|2|P0087|B"), Options{})
	require.NoError(t, err)
	assert.Equal(t, "unit make model odometer codes -", fieldsIn(l))
	require.Len(t, l.Ambiguous, 1)
	assert.Equal(t, []Field{Status, State}, l.Ambiguous[0].Fields)
}

func TestGuessesAreMarked(t *testing.T) {
	l, err := Recognise(sheetOf("DEPARTMENT|I.D.#|Odometr|Model\nNorth|Z9KAA1E21BB100001|1|Heron"), Options{})
	require.NoError(t, err)
	sure := make(map[Field]bool)
	for _, c := range l.Columns {
		sure[c.Field] = c.Sure
	}
	assert.Equal(t, map[Field]bool{Depot: true, VIN: false, Odometer: false, Model: true}, sure)
	vin, _ := l.Column(VIN)
	assert.Contains(t, vin.Why, "17-character VINs")
	odometer, _ := l.Column(Odometer)
	assert.Contains(t, odometer.Why, "one letter")
}

func TestToldColumnsAreFixedAndFaultsNamed(t *testing.T) {
	l, err := Recognise(sheetOf("Fleet ref|Odo\n17|1"), Options{Told: map[string]string{"Fleet ref": "unit", "Reg": "registration", "Odo": "odometre"}})
	require.NoError(t, err)
	unit, ok := l.Column(Unit)
	require.True(t, ok)
	assert.True(t, unit.Fixed && unit.Sure)
	assert.Equal(t, "unit odometer", fieldsIn(l), "a field that there is not leaves the heading to itself")
	require.Len(t, l.Ambiguous, 2)
	assert.Contains(t, l.Ambiguous[0].Text.String(), `"odometre", which is no field`)
	assert.Contains(t, l.Ambiguous[1].Text.String(), `no heading "Reg"`)
}

func TestAColumnMayBeToldToBeAMeasure(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Part|Finding|Gap 1 [mm]"), Options{Told: map[string]string{"Gap 1 [mm]": "measure"}})
	require.NoError(t, err)
	c, ok := l.Column(Measured)
	require.True(t, ok)
	assert.Equal(t, "Gap 1 [mm]", c.Measure)
	assert.Empty(t, l.Ambiguous)
}

func TestAmbiguousShowsBothAndWhatToWrite(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Date|Date|Work done"), Options{})
	require.NoError(t, err)
	require.Len(t, l.Ambiguous, 1)
	assert.Equal(t, `"Date" (column B) and "Date" (column C) may each be date; say in the job which it is, for example columns: { "column B": date }`, l.Ambiguous[0].String())
	assert.Equal(t, Date, l.Columns[1].Candidates[0])
	assert.Equal(t, Date, l.Columns[2].Candidates[0])
}

func TestMissingNamesWhatFollowsAndCandidates(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Work done|Repair week"), Options{})
	require.NoError(t, err)
	var fields []Field
	for _, p := range l.Missing {
		fields = append(fields, p.Fields[0])
		assert.False(t, p.Required, p.Text)
	}
	assert.Equal(t, []Field{Date, Odometer}, fields)
	l, err = Recognise(sheetOf("Unit|Model|Vehicle location|Mileage figure"), Options{})
	require.NoError(t, err)
	for _, p := range l.Missing {
		if p.Fields[0] == Odometer {
			assert.Equal(t, []int{3}, p.Columns)
			assert.Contains(t, p.Hint.String(), "Mileage figure")
			return
		}
	}
	t.Fatal("the missing odometer is not reported")
}

// TestLeftAloneCodesAreNamed: a list of units with a column that may be codes
// is not merged away in silence.
func TestLeftAloneCodesAreNamed(t *testing.T) {
	l, err := Recognise(sheetOf("Van|Date read|Faults seen\n17|2026-11-02|P0087\n18|2026-11-03|P0191"), Options{})
	require.NoError(t, err)
	i := slices.IndexFunc(l.Missing, func(p Problem) bool { return p.Fields[0] == Codes })
	require.GreaterOrEqual(t, i, 0, "%v", l.Missing)
	assert.Equal(t, []int{2}, l.Missing[i].Columns)
	assert.Equal(t, `"Faults seen" may be it: columns: { "Faults seen": codes }`, l.Missing[i].Hint.String())
	l, err = Recognise(sheetOf("Van|Model|Odometer 2024|Odometer 2025\n17|Heron|1000|2000"), Options{})
	require.NoError(t, err)
	i = slices.IndexFunc(l.Missing, func(p Problem) bool { return p.Fields[0] == Odometer })
	assert.Equal(t, `"Odometer 2024" or "Odometer 2025" may be it: name the one that is in the job's columns`, l.Missing[i].Hint.String(), "neither is named alone")
	l, err = Recognise(sheetOf("Van|Model|Colour\n17|Heron|red"), Options{})
	require.NoError(t, err)
	assert.False(t, slices.ContainsFunc(l.Missing, func(p Problem) bool { return p.Fields[0] == Codes }), "a list of vehicles needs no codes")
}

func TestNotRecognised(t *testing.T) {
	cases := []struct{ rule, sheet, says string }{
		{"nothing at all", "\n\n", "none of the first rows"},
		{"values without a heading", "17|12000|2024-01-02\n18|9000|2024-01-03", "none of the first rows"},
		{"no column names a vehicle", "Make|Model|Odometer\nNorthfold|Heron|1", "no column says which vehicle"},
		{"a vehicle and nothing else", "VIN\nZ9KAA1E21BB100001", "nothing but that column"},
		{"two columns with an equal claim to be the vehicle", "Fleet No|Asset No|Odometer\n17|4|1", "may each be unit"},
		{"the heading stands too far down", strings.Repeat("x\n", 31) + "Unit|Odometer\n17|1", "none of the first rows"},
		{"statistics by make", "Käyttöönottovuosi|Merkki|Malli|Katsastusten\\nlukumäärä|Hylkäys-%\n2007|Northfold|Heron|127|32.64", "no column says which vehicle"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, err := Recognise(sheetOf(c.sheet), Options{})
			var e *NotRecognised
			require.ErrorAs(t, err, &e)
			assert.Contains(t, e.Error(), c.says)
			assert.Contains(t, e.Hint().String(), "columns:")
		})
	}
	_, err := Recognise(sheetOf("Make|Model|Fleet locator\nNorthfold|Heron|1"), Options{})
	assert.ErrorContains(t, err, `"Make" is make`)
	assert.ErrorContains(t, err, `"Fleet locator"`)
}

func TestIsHeading(t *testing.T) {
	l, err := Recognise(sheetOf("Fzg.-Nr.|FIN|km-Stand|Bemerkung"), Options{})
	require.NoError(t, err)
	assert.True(t, l.IsHeading([]string{"Fzg.-Nr.", "FIN", "km-Stand", "Bemerkung"}))
	assert.True(t, l.IsHeading([]string{" FZG.-NR. ", "fin", "km-Stand"}), "case, blanks and a cut end don't matter")
	assert.False(t, l.IsHeading([]string{"Fzg.-Nr.", "", "", ""}), "one cell is not enough")
	assert.False(t, l.IsHeading([]string{"0001", "Z9KAA1E21BB100001", "1", "FIN"}))
	assert.False(t, l.IsHeading([]string{"FIN", "Fzg.-Nr.", "km-Stand", "Bemerkung"}), "other places")
	assert.False(t, l.IsHeading([]string{"Fzg.-Nr.", "FIN", "km-Stand", "Bemerkung", "more"}))
	assert.False(t, l.IsHeading(nil))
	two, err := Recognise(sheetOf("Unit|Odometer|\n|km|date\n17|1|2024-01-02"), Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, two.Rows)
	assert.True(t, two.IsHeading([]string{"", "km", "date"}))
	assert.True(t, two.IsHeading([]string{"Unit", "Odometer"}))
}

func TestIsTotal(t *testing.T) {
	for _, line := range []string{"Total|41|123", "TOTALS||", "Grand total||9", "Summe||123", "Gesamt|41", "Zwischensumme|3", "Sum|3", "Yhteensä|41", "N = 41", "n=41|", "Razem|41", "Suma|", "Ogółem|3", "Totalt|3", "Somme|3", "Sous-total|3",
		"Total: 41", "Total (41)", "|Total|41", "Average||123456", "Mittelwert|123", "Moyenne|3", "Keskiarvo|3", "Anzahl: 41", "Count: 41", "* estimated", "Source: workshop", "Quelle: Werkstatt", "Page 1 of 3", "Seite 2",
		"All figures as of the day of the export, without warranty of any kind", "Note: km rounded", "Anzahl Fahrzeuge|41"} {
		assert.True(t, IsTotal(strings.Split(line, "|")), line)
	}
	for _, line := range []string{"", "||", "17|12000", "0001|Z9KAA1E21BB100001", "Totara|1", "N12|4", "N 12|3", "Sum-1|4", "A-17", "Z9KAA1E21BB100001", "note-taker 3|5|6", "N|5"} {
		assert.False(t, IsTotal(strings.Split(line, "|")), line)
	}
}

// The order of columns must not matter: each heading keeps its field wherever it stands.
func TestAnyOrderOfColumns(t *testing.T) {
	sheets := []string{
		"Fzg.-Nr.|FIN|Standort|Hersteller|Modell|Modelljahr|km-Stand|Stand vom|Motornummer|Nachweise ab km|Bemerkung|Einheit\n0001|Z8LCA4E2XJB100001|Insel|Northfold|Crane|2018|174553|25.11.2026||40850||km",
		"Datum|Fzg.-Nr.|km|Arbeit|Status|Kosten|Teilenummer|Hersteller\n41642|0213|1|Sensor ersetzt|done|12|KD-1|Northfold",
		"Unit|Scan date|Code 1|Code 2|Status|Distance since MIL reset|MIL\n17|2024-01-02|P0087|P0191|stored|120|on",
	}
	rapid.Check(t, func(t *rapid.T) {
		rows := sheetOf(rapid.SampledFrom(sheets).Draw(t, "sheet"))
		plain, err := Recognise(rows, Options{})
		require.NoError(t, err)
		order := rapid.Permutation(plain.Columns).Draw(t, "order")
		moved := make([][]string, len(rows))
		for _, c := range order {
			for r := range rows {
				moved[r] = append(moved[r], rows[r][c.Index])
			}
		}
		got, err := Recognise(moved, Options{})
		require.NoError(t, err)
		require.Equal(t, plain.Holds, got.Holds)
		for i, c := range got.Columns {
			require.Equal(t, order[i].Field, c.Field, c.Heading)
			require.Equal(t, order[i].Unit, c.Unit, c.Heading)
		}
	})
}

func TestLetter(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		assert.Equal(t, want, Letter(i))
	}
}

func TestMeasuresKeepTheirUnit(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Part|Finding|Tappet (mm)|Rail bar"), Options{Measures: []string{"tappet", "rail_bar"}})
	require.NoError(t, err)
	assert.Equal(t, "unit part finding measure measure", fieldsIn(l))
	assert.Equal(t, "tappet", l.Columns[3].Measure)
	assert.Equal(t, value.Unit("mm"), l.Columns[3].Unit)
	assert.Equal(t, "rail_bar", l.Columns[4].Measure)
}

// Whatever stands in the rows, recognition ends, gives the same twice, and never takes one field twice unless several columns may hold it.
func FuzzHeading(f *testing.F) {
	for _, s := range []string{"Unit|VIN|Odometer (km)\n17|Z9KAA1E21BB100001|1", "Fzg.-Nr.|Datum|Datum|Arbeit", "Unit|Odometer|\n|km|date", "YEAR/MAKE|I.D.#", "km\n\nkm|km", "\xff|VIN", "Date (dd/mm/yyyy)|Reg|#|°|n°"} {
		f.Add(s)
	}
	for _, s := range corpusCells(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		rows := sheetOf(s)
		l, err := Recognise(rows, Options{Measures: []string{"tappet_mm"}})
		again, errAgain := Recognise(rows, Options{Measures: []string{"tappet_mm"}})
		require.Equal(t, l, again)
		require.Equal(t, err, errAgain)
		seen := make(map[Field]bool)
		for i, c := range l.Columns {
			require.Equal(t, i, c.Index)
			require.False(t, seen[c.Field] && c.Field != Ignore && !c.Field.Several(), "%s twice", c.Field)
			seen[c.Field] = true
		}
		for _, r := range rows {
			l.IsHeading(r)
			IsTotal(r)
		}
	})
}

func BenchmarkRecognise(b *testing.B) {
	rows := sheetOf("Fleet 2026\n\nFzg.-Nr.|FIN|Standort|Hersteller|Modell|Modelljahr|km-Stand|Stand vom|Motornummer|Nachweise ab km|Bemerkung\n0001|Z8LCA4E2XJB100001|Insel|Northfold|Crane|2018|174553|25.11.2026||40850|")
	for b.Loop() {
		_, _ = Recognise(rows, Options{})
	}
}

func BenchmarkIsHeading(b *testing.B) {
	l, _ := Recognise(sheetOf("Fzg.-Nr.|FIN|km-Stand|Bemerkung"), Options{})
	row := []string{"0001", "Z8LCA4E2XJB100001", "174553", ""}
	for b.Loop() {
		l.IsHeading(row)
	}
}

// TestStateOfAWorkOrder: a heading that says State, over words of which none is a code's state.
func TestStateOfAWorkOrder(t *testing.T) {
	for _, c := range []struct {
		rule, sheet string
		want        Field
	}{
		{"closed and open are of the order", "WO|Unit|Closed on|Work done|State|Fault codes\n1|17|2026-11-02|pads fitted|closed|P0087\n2|18|2026-11-03|chain advised|open|\n3|18|2026-11-04|belt fitted|closed|P0016", Status},
		{"stored and pending are of the code", "WO|Unit|Closed on|Work done|State|Fault codes\n1|17|2026-11-02|pads fitted|stored|P0087\n2|18|2026-11-03|chain fitted|pending|P0191", State},
		{"what is neither stays what the heading says", "WO|Unit|Closed on|Work done|State|Fault codes\n1|17|2026-11-02|pads fitted|NSW|P0087\n2|18|2026-11-03|chain fitted|VIC|P0191", State},
	} {
		t.Run(c.rule, func(t *testing.T) {
			l, err := Recognise(sheetOf(c.sheet), Options{})
			require.NoError(t, err)
			i := slices.IndexFunc(l.Columns, func(col Column) bool { return col.Heading == "State" })
			assert.Equal(t, c.want, l.Columns[i].Field)
		})
	}
}

// TestModelBehindItsMake: a column for both is the model's, which ranges ask for, and says that the make stands first.
func TestModelBehindItsMake(t *testing.T) {
	const rows = "\n17|Northfold Heron 2.0|1200\n18|Northfold Kestrel|90000"
	for _, heading := range []string{"Make / Model", "Make & model", "Make and Model", "Make Model", "Make, Model", "Vehicle make/model", "Marke/Modell", "Marque et modèle", "Marca y modelo", "Fabrikat/Modell",
		"Year/Make/Model", "Year Make Model", "Manufacturer & Model"} {
		for _, told := range []map[string]string{nil, {heading: "model"}} {
			l, err := Recognise(sheetOf("Unit|"+heading+"|Odometer"+rows), Options{Told: told})
			require.NoError(t, err)
			assert.Empty(t, l.Ambiguous, heading)
			assert.Equal(t, Model, l.Columns[1].Field, heading)
			assert.True(t, l.Columns[1].MakeFirst, heading)
		}
	}
	l, err := Recognise(sheetOf("Unit|Make|Model|Make/Model|Odometer\n17|Northfold|Heron|Northfold Heron|1200"), Options{})
	require.NoError(t, err)
	assert.Equal(t, []Field{Unit, Make, Model, Ignore, Odometer}, []Field{l.Columns[0].Field, l.Columns[1].Field, l.Columns[2].Field, l.Columns[3].Field, l.Columns[4].Field})
	assert.False(t, l.Columns[2].MakeFirst)
	l, err = Recognise(sheetOf("Unit|Model/Make|Odometer"+rows), Options{})
	require.NoError(t, err)
	require.Len(t, l.Ambiguous, 1, "in the other order it is asked")
	assert.Contains(t, l.Ambiguous[0].String(), `columns: { "Model/Make": model }`)
}

// TestVehicleThatIsAKind: lots of a sale say "2019 Northfold Heron" under Vehicle, which names no vehicle.
func TestVehicleThatIsAKind(t *testing.T) {
	for _, c := range []struct {
		rule, sheet string
		want        Field
	}{
		{"years and models beside a VIN", "Lot|VIN|Vehicle|Odometer\n1|ZSNHV2D44JK110000|2019 Northfold Heron 2.0|1200\n2|ZSNHV2D43KK110037|2018 Solvane Plover|90000", Model},
		{"beside the lot alone", "Lot|Vehicle|Odometer\n1|2019 Northfold Heron 2.0|1200\n2|2018 Solvane Plover|90000", Model},
		{"lots by names, some without a year", "Lot|Vehicle|Odometer\n1|2019 Northfold Heron 2.0|1200\n2|Solvane Plover 2018|90000\n3|Northfold Kestrel|80000", Model},
		{"lots by the seller's numbers", "Lot|Vehicle|Odometer\n1|MQ-139|1200\n2|MQ-140|90000", Unit},
		{"models that come again", "Reg|Vehicle|Odometer\nA1|Northfold Heron|1200\nA2|Solvane Plover|90000\nA3|Northfold Heron|500\nA4|Northfold Heron|700", Model},
		{"a model is there already", "Reg|Vehicle|Model|Odometer\nA1|2019 Northfold Heron|Heron|1200\nA2|2018 Solvane Plover|Plover|90000", Ignore},
		{"names that come again because the vehicles do", "Reg|Vehicle|Date|Work done\nA1|Quay sweeper|2026-10-01|tyres\nA2|North ferry van|2026-10-02|pads\nA1|Quay sweeper|2026-10-03|belt\nA1|Quay sweeper|2026-10-04|oil", Unit},
		{"names of their own", "Reg|Vehicle|Odometer\nA1|Harbour crane 3|1200\nA2|North ferry van|90000\nA3|Harbour crane 4|500\nA4|Quay sweeper one|700", Unit},
		{"nothing else names the vehicle", "Vehicle|Odometer|Engine hours\n2019 Northfold Heron|1200|4\n2018 Solvane Plover|90000|5", Unit},
		{"numbers", "Reg|Vehicle|Odometer\nA1|Van 12|1200\nA2|Van 13|90000", Unit},
	} {
		t.Run(c.rule, func(t *testing.T) {
			l, err := Recognise(sheetOf(c.sheet), Options{})
			require.NoError(t, err)
			i := slices.IndexFunc(l.Columns, func(col Column) bool { return col.Heading == "Vehicle" })
			assert.Equal(t, c.want, l.Columns[i].Field, l.Columns[i].Why)
		})
	}
}

// TestTwoColumnsToldToBeOne: what the job says twice is answered with what to change, not asked back.
func TestTwoColumnsToldToBeOne(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Date|Odometer|Complaint|Work done\n17|2026-11-02|1200|noise|pads fitted\n18|2026-11-03|90000|leak|hose fitted"), Options{Told: map[string]string{"Complaint": "text", "Work done": "text"}})
	require.NoError(t, err)
	require.Len(t, l.Ambiguous, 1)
	assert.Equal(t, `the job's columns make "Complaint" (column D) and "Work done" (column E) each text, and a sheet has one such column; neither is read; leave one of them out of the job's columns, or write ignore for it`, l.Ambiguous[0].String())
	assert.Equal(t, []Choice{{Heading: "Complaint", Field: Ignore}}, l.Ambiguous[0].Choices)
}

// TestComplaintBesideTheWork: what the driver said stands beside what the workshop did; alone such a column is what a list of work has.
func TestComplaintBesideTheWork(t *testing.T) {
	for _, c := range []struct{ rule, sheet, want string }{
		{"a complaint and the work", "Unit|Date|Complaint|Work done\n17|2026-11-02|knocks when hot|oil changed", "unit date remarks text"},
		{"complaint, cause not known as a column of work, correction", "Unit|Date|Complaint|Diagnosis|Correction\n17|2026-11-02|knocks|chain slack|chain fitted", "unit date remarks remarks text"},
		{"a description beside notes", "Unit|Date|Description|Notes\n17|2026-11-02|oil changed|knocks when hot", "unit date text remarks"},
		{"German", "Fzg|Datum|Kundenbeanstandung|Arbeiten\n17|02.11.2026|klopft|Öl gewechselt", "unit date remarks text"},
		{"notes alone are the work", "Unit|Date|Notes\n17|2026-11-02|oil changed", "unit date text"},
		{"remarks alone too", "Unit|Date|Remarks\n17|2026-11-02|oil changed", "unit date text"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			l, err := Recognise(sheetOf(c.sheet), Options{})
			require.NoError(t, err)
			assert.Equal(t, c.want, fieldsIn(l))
			assert.Empty(t, l.Ambiguous)
		})
	}
	l, _ := Recognise(sheetOf("Unit|Date|Complaint|Notes\n17|2026-11-02|knocks when hot|oil changed"), Options{})
	assert.Len(t, l.Ambiguous, 1, "which of the two is the work is asked")
}
