package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// benchSize is how many vehicles the benchmarks run over; each has a scan and
// three repairs.
func benchSize() int {
	n := 100_000
	if s := os.Getenv("PITLIST_BENCH_VEHICLES"); s != "" {
		fmt.Sscan(s, &n)
	}
	return n
}

// sheetRows is how many rows a sheet holds beside its heading: Excel's own
// limit of 1,048,576 (ECMA-376 part 1 leaves it open).
const sheetRows = 1<<20 - 1

// madeSheet is one table of an invented fleet.
type madeSheet struct {
	name string
	head []any
	rows int
	row  func(i int) []any
}

// bigFleet writes a fleet of n invented vehicles in the shape of the simulated
// one, as a workbook or as text files, and a job that reads it. The sheets
// go on in a next one where a workbook's sheet is full.
func bigFleet(b *testing.B, n int, text bool) (job string) {
	b.Helper()
	kind, inputs, write := "xlsx", "[ { path: fleet.xlsx } ]", writeWorkbook
	if text {
		kind, inputs, write = "csv", "[ { path: Units.csv }, { path: Scans.csv }, { path: Repairs.csv } ]", writeTexts
	}
	dir, kept := benchDir(b, fmt.Sprintf("%s-%d", kind, n))
	job = filepath.Join(dir, "job.yaml")
	if kept {
		return job
	}
	require.NoError(b, write(dir, madeFleet(n)))
	parts, err := os.ReadFile("../../testdata/fleet/parts.yaml")
	require.NoError(b, err)
	require.NoError(b, os.WriteFile(filepath.Join(dir, "parts.yaml"), parts, 0o600))
	require.NoError(b, os.WriteFile(job, []byte("job: big\ninputs: "+inputs+"\n"+`catalogue: [parts.yaml]
market: eu
usage: { next_run_days: 7, holding_km: 60000, default_km_per_week: 450 }
money: { currency: EUR, bay_hour: 95, off_road_day: 0 }
records_from: new
bay_hours: { "*": 200 }
`), 0o600))
	return job
}

// benchDir is the folder of a made fleet: a temporary one, or one under
// PITLIST_BENCH_DIR that stays for runs outside the benchmark; kept tells that
// the fleet lies there.
func benchDir(b *testing.B, name string) (dir string, kept bool) {
	root := os.Getenv("PITLIST_BENCH_DIR")
	if root == "" {
		return b.TempDir(), false
	}
	dir = filepath.Join(root, name)
	_, err := os.Stat(filepath.Join(dir, "job.yaml"))
	require.NoError(b, os.MkdirAll(dir, 0o700))
	return dir, err == nil
}

// models of the invented fleet. The catalogue speaks of the first three: one
// vehicle in four may be concerned (common practice, no source: a large fleet is
// mixed). yearLetters are position 10 of a VIN from 2012 on (49 CFR 565.15).
var models = [...]string{"Heron", "Teal", "Crane", "Kestrel", "Plover", "Curlew", "Dunlin", "Avocet", "Godwit", "Knot", "Ruff", "Snipe"}

const yearLetters = "CDEFGHJKLMNP"

// madeFleet is a sheet of vehicles, one of codes and one of repairs. The model
// years of one vehicle in thirty contradict their VINs, and one distance of a
// repair in a hundred is wrong.
func madeFleet(n int) []madeSheet {
	r := rand.New(rand.NewPCG(1, 2))
	depots := []string{"Insel", "Hafen", "Ost"}
	codes := []string{"no codes", "no codes", "no codes", "no codes", "no codes", "P0087", "P0299; P2263", "P0810", "P0420", "no codes"}
	texts := []string{"oil service", "front brake pads renewed", "tyres changed", "rail pressure sensor replaced", "clutch release bearing renewed",
		"high-pressure pump follower inspected, no fault found", "wheel alignment", "turbo actuator replaced, revised part", "annual inspection", "wiper blades"}
	km := make([]int, n)
	for i := range km {
		km[i] = 20_000 + r.IntN(400_000)
	}
	return []madeSheet{
		{"Units", []any{"Unit", "VIN", "Depot", "Make", "Model", "Model year", "Odometer", "Odometer date", "Engine serial", "Remarks"}, n, func(i int) []any {
			remark := ""
			if r.IntN(20) == 0 {
				remark = "knocks when hot"
			}
			year := r.IntN(len(yearLetters))
			vin := fmt.Sprintf("Z8LCA4E2X%c%07d", yearLetters[year], i)
			if r.IntN(30) == 0 {
				year = r.IntN(len(yearLetters))
			}
			return []any{fmt.Sprintf("U%06d", i), vin, depots[r.IntN(3)], "Northfold", models[i%len(models)], 2012 + year, km[i], 46340 + r.IntN(10),
				fmt.Sprintf("HR%06d", 700_000+r.IntN(90_000)), remark}
		}},
		{"Scans", []any{"Unit", "Date", "Codes", "Odometer", "km since clear"}, n, func(i int) []any {
			return []any{fmt.Sprintf("U%06d", i), 46340 + r.IntN(10), codes[r.IntN(len(codes))], km[i], r.IntN(4000)}
		}},
		{"Repairs", []any{"Date", "Unit", "km", "Work", "Status"}, 3 * n, func(i int) []any {
			v, day := i%n, 42000+r.IntN(4300)
			at := km[v] * (day - 41000) / (46350 - 41000)
			if r.IntN(100) == 0 { // a slip of the pen
				at = r.IntN(2 * km[v])
			}
			return []any{day, fmt.Sprintf("U%06d", v), at, texts[r.IntN(len(texts))], "done"}
		}},
	}
}

// writeWorkbook writes fleet.xlsx.
func writeWorkbook(dir string, sheets []madeSheet) error {
	f := excelize.NewFile()
	defer f.Close()
	for _, s := range sheets {
		for from := 0; from < s.rows; from += sheetRows {
			name := s.name
			if from > 0 {
				name = fmt.Sprintf("%s %d", s.name, from/sheetRows+1)
			}
			if err := writeSheet(f, name, &s, from, min(s.rows, from+sheetRows)); err != nil {
				return err
			}
		}
	}
	return errors.Join(f.DeleteSheet("Sheet1"), f.SaveAs(filepath.Join(dir, "fleet.xlsx")))
}

// writeSheet writes rows from, up to but without to, below the heading.
func writeSheet(f *excelize.File, name string, s *madeSheet, from, to int) error {
	if _, err := f.NewSheet(name); err != nil {
		return err
	}
	w, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	err = w.SetRow("A1", s.head)
	for i := from; i < to && err == nil; i++ {
		err = w.SetRow(fmt.Sprintf("A%d", i-from+2), s.row(i))
	}
	return errors.Join(err, w.Flush())
}

// writeTexts writes a CSV file a sheet.
func writeTexts(dir string, sheets []madeSheet) error {
	for _, s := range sheets {
		f, err := os.Create(filepath.Join(dir, s.name+".csv"))
		if err != nil {
			return err
		}
		w := csv.NewWriter(f)
		line := func(cells []any) error {
			out := make([]string, len(cells))
			for i, c := range cells {
				out[i] = fmt.Sprint(c)
			}
			return w.Write(out)
		}
		err = line(s.head)
		for i := 0; i < s.rows && err == nil; i++ {
			err = line(s.row(i))
		}
		w.Flush()
		if err = errors.Join(err, w.Error(), f.Close()); err != nil {
			return err
		}
	}
	return nil
}
