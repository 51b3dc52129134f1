package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// spoiler puts the planted faults into the tables.
type spoiler struct {
	rng    *rand.Rand
	tables map[string]*table
	past   bool // only rows of earlier years, else none of them
}

// fault is one kind of slip: how often, on which rows, and what it does to a
// row. Want says what a reader should make of it.
type fault struct {
	kind, table, want string
	count             int
	fits              func(*table, *row) bool
	spoil             func(*spoiler, *table, *row)
}

// Names of the tables, as faults speak of them.
const (
	inVehicles    = "register.xlsx/Vehicles"
	inWorkshop    = "register.xlsx/Workshop"
	inInspections = "register.xlsx/Inspections"
	inMeters      = "register.xlsx/Hour meters"
	inIsland      = "skarvik/kjoretoy.xlsx/Kjøretøy"
	inIslandWork  = "skarvik/verksted.csv/"
	inLight       = "scans/light.csv/"
	inHeavy       = "scans/heavy.xlsx/DM1 export"
)

func spoil(tables []*table, seed uint64) {
	s := &spoiler{rng: rand.New(rand.NewPCG(seed, 1<<40)), tables: map[string]*table{}}
	for _, t := range tables {
		s.tables[t.file+"/"+t.sheet] = t
	}
	for i := range inPlace {
		s.plant(&inPlace[i], (*spoiler).same)
	}
	for i := range addedRows {
		s.plant(&addedRows[i], (*spoiler).again)
	}
	for _, name := range []string{inVehicles, inIsland} {
		s.sold(s.tables[name])
		s.furniture(s.tables[name])
	}
	old := &spoiler{rng: rand.New(rand.NewPCG(seed, 1<<41)), tables: s.tables, past: true}
	for i := range oldRows {
		old.plant(&oldRows[i], (*spoiler).same)
	}
	for i := range oldTwice {
		old.plant(&oldTwice[i], (*spoiler).again)
	}
}

// plant makes a fault on as many rows as it asks for, each row at most once:
// on the row that take gives for it, itself or a copy.
func (s *spoiler) plant(f *fault, take func(*spoiler, *table, *row) *row) {
	t := s.tables[f.table]
	var rows []*row
	for _, r := range t.rows {
		if r.plant == nil && r.v != nil && !r.v.sold && r.past == s.past && (f.fits == nil || f.fits(t, r)) {
			rows = append(rows, r)
		}
	}
	for range min(f.count, len(rows)) {
		i := s.rng.IntN(len(rows))
		r := rows[i]
		rows = slices.Delete(rows, i, i+1)
		r = take(s, t, r)
		r.plant = &Planted{Kind: f.kind, Want: f.want}
		if f.spoil != nil {
			f.spoil(s, t, r)
		}
	}
}

func (s *spoiler) same(_ *table, r *row) *row { return r }

// again puts a copy of the row some rows farther down.
func (s *spoiler) again(t *table, r *row) *row {
	c := *r
	c.cells = slices.Clone(r.cells)
	at := min(len(t.rows), slices.Index(t.rows, r)+1+s.rng.IntN(12))
	t.rows = slices.Insert(t.rows, at, &c)
	return &c
}

// col is the place of a heading.
func (t *table) col(heading string) int { return slices.Index(t.head, heading) }

func set(heading string, value any) func(*spoiler, *table, *row) {
	return func(_ *spoiler, t *table, r *row) { r.cells[t.col(heading)] = value }
}

// turn changes a cell that holds a text.
func turn(heading string, f func(s *spoiler, text string) any) func(*spoiler, *table, *row) {
	return func(s *spoiler, t *table, r *row) {
		i := t.col(heading)
		text, _ := r.cells[i].(string)
		r.cells[i] = f(s, text)
	}
}

// scale changes a cell that holds a number.
func scale(heading string, f func(v float64) float64) func(*spoiler, *table, *row) {
	return func(_ *spoiler, t *table, r *row) {
		i := t.col(heading)
		v, _ := r.cells[i].(float64)
		r.cells[i] = math.Floor(f(v))
	}
}

func lookalike(_ *spoiler, vin string) any {
	return strings.NewReplacer("H", "Н", "K", "К", "P", "Р").Replace(vin) // Cyrillic letters
}
func letterForDigit(_ *spoiler, vin string) any {
	return vin[:11] + strings.Replace(vin[11:], "1", "I", 1)
}
func shortened(s *spoiler, vin string) any {
	i := 4 + s.rng.IntN(9)
	return vin[:i] + vin[i+1:]
}

// asNumber is what remains of an all-digit text of 17 characters that a
// spreadsheet took for a number.
func asNumber(s *spoiler, _ string) any { return 7.1e16 + 1e4*float64(s.rng.IntN(1e9)) }

func tenth(v float64) float64 { return v / 10 }
func miles(v float64) float64 { return v / 1.609344 }

// quiet rows are those of vehicles whose list reading stands last, with others
// before it.
func quiet(_ *table, r *row) bool {
	v := r.v
	last := v.recordsFrom
	for _, s := range v.scans {
		last = max(last, s.day)
	}
	for _, p := range v.repairs {
		last = max(last, p.day)
	}
	for _, n := range v.inspections {
		last = max(last, n.day)
	}
	return last < v.read-5 && last > v.read-500 && len(v.repairs) >= 4 && !v.miles && v.km(v.read) > 60000
}

func isSpare(_ *table, r *row) bool { return r.spare }
func tippers(_ *table, r *row) bool { return r.v.model == "Drover" }

// afterGood rows follow a row without a fault, of the same model.
func afterGood(t *table, r *row) bool {
	i := slices.Index(t.rows, r)
	return i > 0 && t.rows[i-1].plant == nil && t.rows[i-1].v.kind == r.v.kind && !t.rows[i-1].v.sold
}

// inPlace are the faults of rows that stand there anyway.
var inPlace = []fault{
	{"look-alike letters in the VIN", inVehicles, "noted", 4, nil, turn("Chassis No.", lookalike)},
	{"letter for a digit in the VIN", inVehicles, "set aside", 4, nil, turn("Chassis No.", letterForDigit)},
	{"VIN too short", inVehicles, "set aside", 3, nil, turn("Chassis No.", shortened)},
	{"VIN turned into a number", inVehicles, "set aside", 2, nil, turn("Chassis No.", asNumber)},
	{"impossible build date", inVehicles, "noted", 3, tippers, set("Date built", "31.02.2016")},
	{"model year slip", inVehicles, "noted", 2, tippers, set("Model year", 2061)},
	{"odometer digit slip", inVehicles, "odometer", 4, quiet, scale("Odometer", tenth)},
	{"miles written as km", inVehicles, "odometer", 4, quiet, scale("Odometer", miles)},
	{"suspected rollback", inVehicles, "odometer", 2, quiet, scale("Odometer", func(v float64) float64 { return 0.72 * v })},
	{"letter for a digit in the VIN", inIsland, "set aside", 2, nil, turn("Understellsnummer", letterForDigit)},
	{"look-alike letters in the VIN", inIsland, "noted", 2, nil, turn("Understellsnummer", lookalike)},
	{"VIN turned into a number", inIsland, "set aside", 1, nil, turn("Understellsnummer", asNumber)},
	{"impossible date", inWorkshop, "rejected", 14, isSpare, set("Date", "31.02.2025")},
	{"date after the day of the run", inWorkshop, "set aside", 6, isSpare, set("Date", on(2027, 8, 14))},
	{"no text and no distance", inWorkshop, "set aside", 5, isSpare, func(_ *spoiler, t *table, r *row) {
		r.cells[t.col("Work done")], r.cells[t.col("Odometer km")] = "", ""
	}},
	{"unknown status", inWorkshop, "noted", 4, isSpare, set("Work status", "job sheet 4")},
	{"odometer digit slip", inWorkshop, "odometer", 14, isSpare, scale("Odometer km", tenth)},
	{"impossible date", inIslandWork, "rejected", 6, isSpare, set("Utført dato", "00.13.2025")},
	{"quotation mark not closed", inIslandWork, "used", 4, isSpare, set("Utført arbeid", "Nye dekk 19"+stray+" foran")},
	{"reading without a day", inMeters, "rejected", 8, nil, set("Reading date", "")},
	{"impossible date", inLight, "rejected", 4, isSpare, set("SCAN_DATE", "2026-02-30")},
	{"VIN of another unit", inVehicles, "set aside", 1, afterGood, func(_ *spoiler, t *table, r *row) {
		i := t.col("Chassis No.")
		r.cells[i] = t.rows[slices.Index(t.rows, r)-1].cells[i]
	}},
}

// addedRows are faults on rows of their own.
var addedRows = []fault{
	{"vehicle twice", inVehicles, "merged", 4, nil, nil},
	{"row twice", inMeters, "merged", 8, nil, nil},
	{"row twice", inWorkshop, "merged", 20, nil, nil},
	{"unknown unit", inWorkshop, "set aside", 12, isSpare, turn("Unit No.", unknownUnit)},
	{"row twice", inInspections, "merged", 5, nil, nil},
	{"finding not understood", inInspections, "rejected", 4, nil, set("Finding", "see note")},
	{"vehicle twice", inIsland, "merged", 2, nil, nil},
	{"row twice", inIslandWork, "merged", 8, nil, nil},
	{"unknown unit", inIslandWork, "set aside", 4, isSpare, turn("Internnr", func(s *spoiler, _ string) any { return fmt.Sprint(7000 + s.rng.IntN(900)) })},
	{"row twice", inLight, "merged", 12, nil, nil},
	{"codes of an unknown vehicle", inLight, "set aside", 8, nil, func(s *spoiler, t *table, r *row) {
		r.cells[t.col("VIN")], r.cells[t.col("UNIT")] = fmt.Sprintf("ZSNHV2D40JK9%05d", s.rng.IntN(90000)), ""
	}},
	{"not a code", inLight, "rejected", 6, isSpare, set("DTC_CODES", "P00Z7")},
	{"row twice", inHeavy, "merged", 4, nil, nil},
	{"codes of an unknown vehicle", inHeavy, "set aside", 3, nil, turn("Vehicle ID", unknownUnit)},
	{"older J1587 code", inHeavy, "rejected", 3, isSpare, set("Fault codes (SPN/FMI)", "MID 128 PSID 21 FMI 12")},
}

// oldRows and oldTwice are the faults of earlier years' rows.
var (
	oldRows = []fault{
		{"impossible date", inLight, "rejected", 18, nil, set("SCAN_DATE", "2024-06-31")},
		{"not a code", inLight, "rejected", 12, nil, set("DTC_CODES", "P00Z7")},
		{"impossible date", inHeavy, "rejected", 12, nil, set("Scan date", "31/04/2023")},
		{"older J1587 code", inHeavy, "rejected", 8, nil, set("Fault codes (SPN/FMI)", "MID 128 PSID 21 FMI 12")},
	}
	oldTwice = []fault{
		{"row twice", inLight, "merged", 26, nil, nil},
		{"row twice", inHeavy, "merged", 12, nil, nil},
	}
)

func unknownUnit(s *spoiler, _ string) any { return fmt.Sprintf("MQ-%d", 901+s.rng.IntN(90)) }

// sold marks the rows of vehicles that are gone: set aside by themselves.
func (s *spoiler) sold(t *table) {
	for _, r := range t.rows {
		if r.v != nil && r.v.sold && r.plant == nil {
			r.plant = &Planted{Kind: "sold vehicle", Want: "set aside"}
		}
	}
}

// furniture adds what printing leaves in a sheet: the heading again in the
// middle, hidden rows, a row of totals.
func (s *spoiler) furniture(t *table) {
	heading := make([]any, len(t.head))
	for i, h := range t.head {
		heading[i] = h
	}
	middle := len(t.rows) / 2
	t.rows = slices.Insert(t.rows, middle, &row{cells: heading, plant: &Planted{Kind: "heading repeated", Want: "blank"}})
	for range 6 {
		t.rows[s.rng.IntN(middle)].hidden = true
	}
	total := map[string]string{"Unit No.": "Total", "Internnr": "Sum"}[t.head[0]]
	t.rows = append(t.rows, &row{cells: []any{total, float64(len(t.rows) - 1)}, plant: &Planted{Kind: "row of totals", Want: "set aside"}})
}
