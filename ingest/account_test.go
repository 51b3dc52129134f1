package ingest

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"pitlist/ingest/header"
	"pitlist/score"
)

// headings and the messy cells that stand under them, of every kind of sheet.
var messyColumns = []struct {
	heading string
	cells   []string
}{
	{"Unit", []string{"U1", "U2", "U3", "u 3", "0004", "4", "4.0", "", "n/a", "Total", "#N/A"}},
	{"VIN", []string{vinA, vinB, vinC, "z9k ha11b5 hk100001", "Z9KHA11B5", "1.2345678901234501E16", "Z9KHA11B5НК100001", "", "-"}},
	{"Registration", []string{"NF 1", "NF-2", "nf 1", "", "unknown"}},
	{"vin_prefix", []string{"Z9KHA11B5HK", vinA, "Z9", ""}},
	{"Model", []string{"Heron", "Teal", "heron", "", "?"}},
	{"Model year", []string{"2017", "2016/17", "2061", "new", ""}},
	{"Depot", []string{"North", "Harbour", ""}},
	{"Status", []string{"in use", "sold", "done", "declined", "perhaps", ""}},
	{"Odometer", []string{"80000", "80.000", "80,000 km", "50000 mi", "many", "0", "-5", "9000000", "1E5", "", "#REF!"}},
	{"odometer_unit", []string{"km", "mi", "leagues", ""}},
	{"Odometer date", []string{"2026-03-02", "03/04/2026", "25/04/2026", "2027-05-05", "60", "46000", "31.02.2026", ""}},
	{"Date", []string{"2026-03-02", "03/04/2026", "25/04/2026", "04/25/2026", "2027-05-05", "46000", "soon", ""}},
	{"Codes", []string{"P0087", "P0087; P0191", "none", "no codes", "n/a", "P0O8", "SPN 636 FMI 2", "", "#N/A"}},
	{"State", []string{"stored", "pending", "odd", ""}},
	{"Work", []string{"oil service", "rail pressure sensor replaced", "", "-"}},
	{"cost", []string{"1.180,50 €", "free", "90", ""}},
	{"Part", []string{"pump-follower", ""}},
	{"Finding", []string{"worn", "sound", "perhaps", ""}},
	{"tappet_mm", []string{"0,32", "0.1", "thick", ""}},
	{"Engine hours", []string{"1200.5", "many", ""}},
	{"Remarks", []string{"knocks when hot", `"19" wheel`, `un"balanced`, ""}},
	{"Colour", []string{"blue", "red"}},
}

// messyTable draws a table: any columns in any order, titles and blank rows
// above, headings again and totals in between.
func messyTable(t *rapid.T, label string) [][]string {
	columns := rapid.SliceOfNDistinct(rapid.IntRange(0, len(messyColumns)-1), 1, 9, rapid.ID).Draw(t, label+" columns")
	var rows [][]string
	for range rapid.IntRange(0, 2).Draw(t, label+" above") {
		rows = append(rows, []string{rapid.SampledFrom([]string{"Fleet, as of 2026-09-30", "", "printed 1.2.2026"}).Draw(t, "title")})
	}
	var head []string
	for _, c := range columns {
		head = append(head, messyColumns[c].heading)
	}
	rows = append(rows, head)
	for range rapid.IntRange(0, 25).Draw(t, label+" rows") {
		switch rapid.IntRange(0, 15).Draw(t, "row") {
		case 0:
			rows = append(rows, nil)
		case 1:
			rows = append(rows, head)
		case 2:
			rows = append(rows, []string{"Total", "12"})
		default:
			var cells []string
			for _, c := range columns {
				cells = append(cells, rapid.SampledFrom(messyColumns[c].cells).Draw(t, messyColumns[c].heading))
			}
			rows = append(rows, cells)
		}
	}
	return rows
}

// inText writes a table as a text file without quoting anything, as careless
// exports do.
func inText(rows [][]string) []byte {
	var b bytes.Buffer
	for _, r := range rows {
		b.WriteString(strings.Join(r, ";") + "\n")
	}
	return b.Bytes()
}

// inBook writes tables as a workbook.
func inBook(t require.TestingT, tables ...[][]string) []byte {
	f := excelize.NewFile()
	defer f.Close()
	for i, rows := range tables {
		name := fmt.Sprintf("Sheet%d", i+1)
		_, err := f.NewSheet(name)
		require.NoError(t, err)
		for r, cells := range rows {
			require.NoError(t, f.SetSheetRow(name, fmt.Sprintf("A%d", r+1), &cells))
		}
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

// inFolder writes files that belong together.
func inFolder(t require.TestingT, dir string, files map[string][]byte) []Input {
	var inputs []Input
	for name, data := range files {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, data, 0o600))
		inputs = append(inputs, Input{Path: path})
	}
	slices.SortFunc(inputs, func(a, b Input) int { return strings.Compare(a.Path, b.Path) })
	return inputs
}

func readAll(t require.TestingT, dir string, inputs []Input) *Result {
	res, err := Read(context.Background(), inputs, Options{Day: runDay, Market: "eu", TmpDir: dir, Measures: []string{"tappet_mm"}})
	if err != nil {
		require.ErrorIs(t, err, ErrNothing)
	}
	return res
}

// TestAccount: read = used + set aside + rejected + merged + blank for each
// sheet and in all, whatever the sheets hold; a row is rejected if and only if
// an issue says so, and every issue points to a row that is there. Reading
// twice gives the same.
func TestAccount(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		one, two := messyTable(t, "one"), messyTable(t, "two")
		files := map[string][]byte{"a.csv": inText(one)}
		length := map[score.Source]int{{File: filepath.Join(dir, "a.csv")}: len(one)}
		if rapid.IntRange(0, 3).Draw(t, "book") == 0 {
			files["b.xlsx"] = inBook(t, two, one)
			length[score.Source{File: filepath.Join(dir, "b.xlsx"), Sheet: "Sheet1"}] = len(two)
			length[score.Source{File: filepath.Join(dir, "b.xlsx"), Sheet: "Sheet2"}] = len(one)
		} else {
			files["b.csv"] = inText(two)
			length[score.Source{File: filepath.Join(dir, "b.csv")}] = len(two)
		}
		inputs := inFolder(t, dir, files)
		defer func() {
			for _, in := range inputs {
				os.Remove(in.Path)
			}
		}()
		res := readAll(t, dir, inputs)
		for i, c := range res.Fleet.Counts {
			require.True(t, c.Balanced(), "%+v", c)
			require.LessOrEqual(t, c.Read, length[c.Source], "%+v", c)
			if c.Source.Sheet == "" {
				require.Equal(t, length[c.Source], c.Read, "a text file has no row that is not read: %+v", c)
			}
			require.Equal(t, res.Sheets[i].Counts, c)
		}
		require.True(t, score.Sum(res.Fleet.Counts).Balanced())
		issuesPoint(t, res, length)
		require.Equal(t, res, readAll(t, dir, inputs), "read twice")
	})
}

// issuesPoint checks that issues and classes of rows agree.
func issuesPoint(t *rapid.T, res *Result, length map[score.Source]int) {
	rows := map[score.Severity]map[score.Ref]bool{score.Rejected: {}, score.SetAside: {}, score.Noted: {}}
	for _, i := range res.Fleet.Issues {
		s, ok := res.Fleet.SourceOf(i.Ref)
		require.True(t, ok, "%+v", i)
		require.GreaterOrEqual(t, i.Ref.Row, int32(1), "%+v", i)
		require.LessOrEqual(t, int(i.Ref.Row), length[s], "%+v", i)
		require.NotEmpty(t, i.Reason)
		rows[i.Severity][i.Ref] = true
	}
	count := func(sev score.Severity, source int) int {
		n := 0
		for r := range rows[sev] {
			if int(r.Source) == source+1 {
				n++
			}
		}
		return n
	}
	for i, c := range res.Fleet.Counts {
		require.Equal(t, c.Rejected, count(score.Rejected, i), "rejected rows and their issues: %+v %+v", c, res.Fleet.Issues)
		if res.Sheets[i].Skipped.Empty() {
			require.LessOrEqual(t, c.SetAside, count(score.SetAside, i), "rows set aside and their issues: %+v %+v", c, res.Fleet.Issues)
		}
	}
}

// truth is one vehicle of an invented fleet with all its names. The first two
// bear no registration: their VINs and units get mixed up.
type truth struct{ unit, vin, registration string }

// someNames draws a row's names of a vehicle: some of them, now and then the
// VIN of another.
func someNames(t *rapid.T, fleet []truth) []string {
	v := rapid.SampledFrom(fleet).Draw(t, "vehicle")
	switch rapid.IntRange(0, 7).Draw(t, "names") {
	case 0:
		return []string{v.unit, "", ""}
	case 1:
		return []string{"", v.vin, ""}
	case 2:
		return []string{"", "", v.registration}
	case 3:
		return []string{v.unit, "", v.registration}
	case 4:
		return []string{"", v.vin, v.registration}
	case 5:
		return []string{fleet[rapid.IntRange(0, 1).Draw(t, "unit")].unit, fleet[rapid.IntRange(0, 1).Draw(t, "VIN")].vin, ""}
	}
	return []string{v.unit, v.vin, v.registration}
}

// alone reports a row that holds nothing but the cell at i.
func alone(i int) func([]string) bool {
	return func(row []string) bool { return row[i] != "" && strings.Join(row, "") == row[i] }
}

// TestOrderOfRowsDecidesNothing: the rows of the sheets in another order give
// the same fleet, facts as sets, and the same account.
func TestOrderOfRowsDecidesNothing(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		var fleet []truth
		for i := range rapid.IntRange(2, 6).Draw(t, "vehicles") {
			fleet = append(fleet, truth{fmt.Sprintf("%03d", 7*i+5), fmt.Sprintf("Z9KHA11B5HK1%05d", i), fmt.Sprintf("NF %d", i)})
		}
		fleet[0].registration, fleet[1].registration = "", ""
		pick := func(label string, values ...string) string { return rapid.SampledFrom(values).Draw(t, label) }
		units := [][]string{{"Unit", "VIN", "Registration", "Odometer", "Odometer date", "Codes", "Remarks"}}
		repairs := [][]string{{"Unit", "VIN", "Registration", "Date", "Work", "Odometer"}}
		for range rapid.IntRange(1, 15).Draw(t, "units") {
			units = append(units, append(someNames(t, fleet), pick("km", "80000", "90,000 km", "50000 mi", ""), pick("day", "2026-03-02", "03/04/2026", "2026-05-05", ""),
				pick("codes", "P0087", "none", ""), pick("remark", "knocks when hot", "")))
		}
		for range rapid.IntRange(0, 15).Draw(t, "repairs") {
			repairs = append(repairs, append(someNames(t, fleet), pick("day", "2026-03-02", "04/25/2026", "03/04/2026", "2027-01-01", ""), pick("work", "oil service", "tyres", ""), pick("km", "70000", "")))
		}
		units, repairs = slices.DeleteFunc(units, alone(6)), slices.DeleteFunc(repairs, alone(4)) // a text alone belongs to the row above
		seed := rapid.Uint64().Draw(t, "order")
		read := func(units, repairs [][]string) *Result {
			inputs := inFolder(t, dir, map[string][]byte{"a.csv": inText(units), "b.csv": inText(repairs)})
			inputs[0].Sheets = []Told{{Holds: []header.Kind{header.Vehicles, header.CodesSheet}}}
			inputs[1].Sheets = []Told{{Holds: []header.Kind{header.Repairs}}}
			return readAll(t, dir, inputs)
		}
		a, b := read(units, repairs), read(shuffled(units, seed), shuffled(repairs, seed+1))
		require.Equal(t, portrait(a.Fleet), portrait(b.Fleet))
		for i, c := range a.Fleet.Counts { // which of two rows that say the same comes first decides which is merged
			d := b.Fleet.Counts[i]
			require.Equal(t, []int{c.Read, c.Rejected, c.SetAside, c.Blank}, []int{d.Read, d.Rejected, d.SetAside, d.Blank})
		}
		require.Equal(t, complaints(a.Fleet), complaints(b.Fleet))
	})
}

// shuffled puts the rows below the heading into another order.
func shuffled(rows [][]string, seed uint64) [][]string {
	out := slices.Clone(rows)
	rand.New(rand.NewPCG(seed, 0)).Shuffle(len(out)-1, func(i, j int) { out[i+1], out[j+1] = out[j+1], out[i+1] })
	return out
}

// portrait writes a fleet without its row numbers, facts in a fixed order.
func portrait(f *score.Fleet) []string {
	var out []string
	for i := range f.Vehicles {
		v := &f.Vehicles[i]
		var facts []string
		add := func(format string, args ...any) { facts = append(facts, fmt.Sprintf(format, args...)) }
		for _, r := range v.Readings {
			add("reading %v %v", r.Day, r.KM)
		}
		for _, s := range v.Scans {
			add("scan %v %v %v", s.Day, s.KM, written(s.Codes))
		}
		for _, r := range v.Repairs {
			add("repair %v %v %s", r.Day, r.KM, r.Text)
		}
		for _, r := range v.Remarks {
			add("remark %v %s", r.Day, r.Text)
		}
		slices.Sort(facts)
		out = append(out, fmt.Sprintf("%s|%s|%s|%s", v.Unit, v.VIN, v.Registration, strings.Join(facts, ";")))
	}
	slices.Sort(out)
	return out
}

// complaints counts the issues by severity.
func complaints(f *score.Fleet) map[score.Severity]int {
	out := map[score.Severity]int{}
	for _, i := range f.Issues {
		out[i.Severity]++
	}
	return out
}
