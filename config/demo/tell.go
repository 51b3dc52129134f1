package demo

import (
	"math"
	"slices"
	"strings"
)

// table is one sheet, or one CSV file, before it is encoded.
type table struct {
	file, sheet string
	titles      []string // rows above the headings
	head        []string
	style       style
	rows        []*row
}

// style is how a file writes days and numbers.
type style struct {
	dates    string // layout of a day as text; "" a spreadsheet's own date
	csv      rune   // delimiter; 0 a workbook
	windows  bool   // Windows-1252, else UTF-8 with a byte order mark
	decimals string // the decimal mark of a text file
	spaced   bool   // distances as text with a blank between thousands
}

// row is one row of data, with what the spoiler must know of it.
type row struct {
	cells  []any
	v      *vehicle
	day    day
	spare  bool // bears nothing that a judgement rests on
	past   bool // of earlier years: today's list does not need it, a backtest does
	hidden bool
	plant  *Planted
}

// The ways of writing of the five files.
var (
	registerStyle = style{}
	islandStyle   = style{dates: "02.01.2006", spaced: true}
	islandCSV     = style{dates: "02.01.2006", csv: ';', windows: true, decimals: ","}
	scanCSV       = style{dates: "2006-01-02", csv: ',', decimals: "."}
	heavyStyle    = style{dates: "02/01/2006"}
)

// tell writes the fleet down as its people did, faults included.
func tell(fleet []*vehicle, seed uint64) []*table {
	mainland := slices.DeleteFunc(slices.Clone(fleet), func(v *vehicle) bool { return v.depot == skarvik })
	island := slices.DeleteFunc(slices.Clone(fleet), func(v *vehicle) bool { return v.depot != skarvik })
	tables := []*table{
		register(mainland), workshop(mainland), inspections(mainland), meters(mainland),
		islandList(island), islandInspections(island), islandMeters(island), islandWorkshop(island),
		lightScans(fleet), heavyScans(fleet),
	}
	spoil(tables, seed)
	return tables
}

// readable is an odometer as its counter shows it.
func (v *vehicle) readable(d day) float64 {
	if v.miles {
		return math.Round(v.km(d) / 1.609344)
	}
	return math.Round(v.km(d))
}

func (v *vehicle) unitOfDistance() string {
	if v.miles {
		return "mi"
	}
	return "km"
}

func (v *vehicle) status() string {
	switch {
	case v.sold:
		return map[string]string{english: "sold", norsk: "solgt"}[v.lang]
	case v.offRoad:
		return map[string]string{english: "off road", norsk: "på verksted"}[v.lang]
	}
	return map[string]string{english: "in use", norsk: "i bruk"}[v.lang]
}

// orNothing leaves a cell empty.
func orNothing(hide bool, value any) any {
	if hide {
		return ""
	}
	return value
}

func (v *vehicle) hourCell(d day) any {
	return orNothing(v.hoursWeek[1] == 0, math.Round(v.h(d)))
}

func register(fleet []*vehicle) *table {
	t := &table{file: "register.xlsx", sheet: "Vehicles", style: registerStyle,
		titles: []string{"Merrow Sound Harbour and Island Transport: vehicle register", "as of 2026-11-20", ""},
		head: []string{"Unit No.", "Chassis No.", "Reg No.", "Depot", "Make", "Model", "Model year", "Engine type", "Engine No.", "Date built", "In service date",
			"Odometer", "Odo unit", "Odo date", "Engine hours", "Status", "Driver remarks"}}
	for _, v := range fleet {
		t.add(v, v.read, false, v.unit, v.vin, v.reg, v.depot, v.make, v.model, v.year, orNothing(v.hidesEngine, v.family), orNothing(v.hidesEngine, v.engine),
			orNothing(v.hidesDate, v.built), v.inService, v.readable(v.read), v.unitOfDistance(), v.read, v.hourCell(v.read), v.status(), strings.Join(v.remarks, "; "))
	}
	return t
}

func (t *table) add(v *vehicle, d day, spare bool, cells ...any) {
	t.rows = append(t.rows, &row{cells: cells, v: v, day: d, spare: spare})
}

func (t *table) addPast(v *vehicle, d day, cells ...any) {
	t.rows = append(t.rows, &row{cells: cells, v: v, day: d, past: true})
}

func workshop(fleet []*vehicle) *table {
	t := &table{file: "register.xlsx", sheet: "Workshop", style: registerStyle,
		head: []string{"Date", "Unit No.", "Odometer km", "Work done", "Work status", "Cost EUR"}}
	for _, v := range fleet {
		for _, r := range v.repairs {
			t.add(v, r.day, r.spare, r.day, v.unit, math.Round(v.km(r.day)), r.text, r.status, r.cost)
		}
		for _, r := range v.notes {
			t.addPast(v, r.day, r.day, v.unit, math.Round(v.km(r.day)), r.text, "", "")
		}
	}
	t.byDay()
	return t
}

// byDay puts the rows in the order in which they were written.
func (t *table) byDay() {
	slices.SortStableFunc(t.rows, func(a, b *row) int { return int(a.day - b.day) })
}

func (n *inspection) of(measure string) any { return orNothing(n.measure != measure, n.value) }

func inspections(fleet []*vehicle) *table {
	t := &table{file: "register.xlsx", sheet: "Inspections", style: registerStyle, titles: []string{"Inspections, all workshops", ""},
		head: []string{"Unit No.", "Date of inspection", "Component", "Finding", "Odometer km", "joint_play_mm", "coupling_play_deg", "Inspector"}}
	for _, v := range fleet {
		for _, n := range v.inspections {
			t.add(v, n.day, false, v.unit, n.day, n.part, n.finding, math.Round(v.km(n.day)), n.of("joint_play_mm"), n.of("coupling_play_deg"), pick(v, []string{"ØH", "RM", "K. Aas", "TL"}))
		}
	}
	t.byDay()
	return t
}

func meters(fleet []*vehicle) *table {
	t := &table{file: "register.xlsx", sheet: "Hour meters", style: registerStyle, head: []string{"Fleet No.", "Reading date", "Hour meter"}}
	for _, v := range fleet {
		for _, d := range v.meters {
			t.add(v, d, true, v.unit, d, math.Round(v.h(d)))
		}
	}
	return t
}

func islandList(fleet []*vehicle) *table {
	t := &table{file: "skarvik/kjoretoy.xlsx", sheet: "Kjøretøy", style: islandStyle,
		titles: []string{"Skarvik stasjon – kjøretøyliste", "Status pr. 20.11.2026"},
		head: []string{"Internnr", "Understellsnummer", "Kjennemerke", "Stasjon", "Merke", "Modell", "Årsmodell", "Motortype", "Motornummer", "Produksjonsdato", "I drift fra",
			"Kilometerstand", "Avlest dato", "Motortimer", "Kjøretøystatus", "Merknader"}}
	for _, v := range fleet {
		t.add(v, v.read, false, v.unit, v.vin, v.reg, v.depot, v.make, v.model, v.year, orNothing(v.hidesEngine, v.family), orNothing(v.hidesEngine, v.engine),
			orNothing(v.hidesDate, v.built), v.inService, v.readable(v.read), v.read, v.hourCell(v.read), v.status(), strings.Join(v.remarks, ". "))
	}
	return t
}

func islandInspections(fleet []*vehicle) *table {
	t := &table{file: "skarvik/kjoretoy.xlsx", sheet: "Kontroller", style: islandStyle,
		head: []string{"Internnr", "Kontrolldato", "Komponent", "Funn", "Km-stand", "joint_play_mm", "coupling_play_deg"}}
	for _, v := range fleet {
		for _, n := range v.inspections {
			t.add(v, n.day, false, v.unit, n.day, n.part, n.finding, math.Round(v.km(n.day)), n.of("joint_play_mm"), n.of("coupling_play_deg"))
		}
	}
	t.byDay()
	return t
}

func islandMeters(fleet []*vehicle) *table {
	t := &table{file: "skarvik/kjoretoy.xlsx", sheet: "Timetellere", style: islandStyle, head: []string{"Internnr", "Avlest dato", "Motortimer"}}
	for _, v := range fleet {
		for _, d := range v.meters {
			t.add(v, d, true, v.unit, d, math.Round(v.h(d)))
		}
	}
	return t
}

func islandWorkshop(fleet []*vehicle) *table {
	t := &table{file: "skarvik/verksted.csv", style: islandCSV,
		head: []string{"Internnr", "Utført dato", "Kilometerstand", "Utført arbeid", "Ordrestatus", "Kostnad"}}
	words := map[string]string{"done": "utført", "declined": "avslått", "recommended": "anbefalt"}
	for _, v := range fleet {
		for _, r := range v.repairs {
			t.add(v, r.day, r.spare, strings.TrimLeft(v.unit, "0"), r.day, math.Round(v.km(r.day)), r.text, words[r.status], r.cost+0.5)
		}
		for _, r := range v.notes {
			t.addPast(v, r.day, strings.TrimLeft(v.unit, "0"), r.day, math.Round(v.km(r.day)), r.text, "", "")
		}
	}
	t.byDay()
	return t
}

// told writes the codes of a scan into one cell.
func (s *scan) told(between string) string {
	if len(s.codes) == 0 {
		return "no codes"
	}
	return strings.Join(s.codes, between)
}

func (s *scan) lamp() string {
	if len(s.codes) > 0 {
		return "on"
	}
	return "off"
}

func lightScans(fleet []*vehicle) *table {
	t := &table{file: "scans/light.csv", style: scanCSV, head: []string{"VIN", "UNIT", "SCAN_DATE", "ODO", "ODO_UNIT", "DTC_CODES", "KM_SINCE_CLEAR", "MIL"}}
	for _, v := range fleet {
		if v.heavy {
			continue
		}
		for _, s := range v.scans {
			t.add(v, s.day, s.spare, v.vin, v.unit, s.day, v.readable(s.day), v.unitOfDistance(), s.told("; "), orNothing(s.since < 0, s.since), s.lamp())
		}
		for _, s := range v.oldScans {
			t.addPast(v, s.day, v.vin, v.unit, s.day, v.readable(s.day), v.unitOfDistance(), s.told("; "), "", s.lamp())
		}
	}
	t.byDay()
	return t
}

func heavyScans(fleet []*vehicle) *table {
	t := &table{file: "scans/heavy.xlsx", sheet: "DM1 export", style: heavyStyle, titles: []string{"DM1 export of the heavy diagnostic set"},
		head: []string{"Vehicle ID", "Scan date", "Odometer (km)", "Fault codes (SPN/FMI)", "Km since cleared"}}
	for _, v := range fleet {
		if !v.heavy {
			continue
		}
		for _, s := range v.scans {
			t.add(v, s.day, s.spare, v.unit, s.day, math.Round(v.km(s.day)), s.told(" "), orNothing(s.since < 0, s.since))
		}
		for _, s := range v.oldScans {
			t.addPast(v, s.day, v.unit, s.day, math.Round(v.km(s.day)), s.told(" "), "")
		}
	}
	t.byDay()
	return t
}
