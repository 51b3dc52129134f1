package main

import (
	"archive/zip"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/table"
	"pitlist/report/workbook"
)

// The whole run against what cannot be avoided: bare reading (raw values, every
// part checked to its end, the sheets' XML walked) and bare stream writing of
// the same result with the same library. Compare the two benchmarks of one
// run as a ratio:
//
//	go test ./cmd/pitlist -run '^$' -bench 'Whole|Bare' -benchtime 1x -count 3
//
// PITLIST_BENCH_VEHICLES sets the size (default 100,000; a scan row each and
// three repair rows).

func benchSize() int {
	n := 100_000
	if s := os.Getenv("PITLIST_BENCH_VEHICLES"); s != "" {
		fmt.Sscan(s, &n)
	}
	return n
}

var bigFleet = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "pitlist-bench-")
	if err != nil {
		return "", err
	}
	return dir, writeBig(dir, benchSize())
})

// writeBig writes a fleet of n invented vehicles in the shape of the
// simulated one: a sheet of vehicles, one of codes, one of repairs.
func writeBig(dir string, n int) error {
	r := rand.New(rand.NewPCG(1, 2))
	f := excelize.NewFile()
	defer f.Close()
	sheet := func(name string, head []any, rows int, row func(i int) []any) error {
		f.NewSheet(name)
		w, err := f.NewStreamWriter(name)
		if err != nil {
			return err
		}
		if err := w.SetRow("A1", head); err != nil {
			return err
		}
		for i := range rows {
			if err := w.SetRow(fmt.Sprintf("A%d", i+2), row(i)); err != nil {
				return err
			}
		}
		return w.Flush()
	}
	models, depots := []string{"Heron", "Teal", "Crane"}, []string{"Insel", "Hafen", "Ost"}
	km := make([]int, n)
	for i := range km {
		km[i] = 20_000 + r.IntN(400_000)
	}
	err := sheet("Units", []any{"Unit", "VIN", "Depot", "Make", "Model", "Model year", "Odometer", "Odometer date", "Engine serial", "Remarks"}, n, func(i int) []any {
		remark := ""
		if r.IntN(20) == 0 {
			remark = "knocks when hot"
		}
		return []any{fmt.Sprintf("U%06d", i), fmt.Sprintf("Z8LCA4E2XJ%07d", i), depots[i%3], "Northfold", models[i%3], 2012 + r.IntN(12), km[i], 46340 + r.IntN(10),
			fmt.Sprintf("HR%06d", 700_000+r.IntN(90_000)), remark}
	})
	if err != nil {
		return err
	}
	codes := []string{"no codes", "no codes", "no codes", "no codes", "no codes", "P0087", "P0299; P2263", "P0810", "P0420", "no codes"}
	err = sheet("Scans", []any{"Unit", "Date", "Codes", "Odometer", "km since clear"}, n, func(i int) []any {
		return []any{fmt.Sprintf("U%06d", i), 46340 + r.IntN(10), codes[r.IntN(len(codes))], km[i], r.IntN(4000)}
	})
	if err != nil {
		return err
	}
	texts := []string{"oil service", "front brake pads renewed", "tyres changed", "rail pressure sensor replaced", "clutch release bearing renewed",
		"high-pressure pump follower inspected, no fault found", "wheel alignment", "turbo actuator replaced, revised part", "annual inspection", "wiper blades"}
	err = sheet("Repairs", []any{"Date", "Unit", "km", "Work", "Status"}, 3*n, func(i int) []any {
		v := i % n
		return []any{42000 + r.IntN(4300), fmt.Sprintf("U%06d", v), km[v] * (1 + r.IntN(8)) / 10, texts[r.IntN(len(texts))], "done"}
	})
	if err != nil {
		return err
	}
	f.DeleteSheet("Sheet1")
	if err := f.SaveAs(filepath.Join(dir, "fleet.xlsx")); err != nil {
		return err
	}
	parts, err := os.ReadFile("../../testdata/fleet/parts.yaml")
	if err != nil {
		return err
	}
	job, err := os.ReadFile("../../testdata/fleet/job.yaml")
	if err != nil {
		return err
	}
	limited := string(job) + "bay_hours: { \"*\": 200 }\n"
	return errors.Join(os.WriteFile(filepath.Join(dir, "parts.yaml"), parts, 0o666), os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(limited), 0o666))
}

func BenchmarkWholeRun(b *testing.B) {
	dir, err := bigFleet()
	require.NoError(b, err)
	day, err := parseDay("2026-11-25")
	require.NoError(b, err)
	easeCollector()
	for b.Loop() {
		w := &world{out: io.Discard, errOut: io.Discard}
		got, err := w.runJob(context.Background(), filepath.Join(dir, "job.yaml"), day)
		var e *ended
		if err != nil && !errors.As(err, &e) {
			b.Fatal(err)
		}
		if got != nil {
			for _, s := range got.took {
				b.ReportMetric(s.Seconds, s.Stage+"-s")
			}
		}
	}
}

// BenchmarkBareReadWrite reads the same file raw after the integrity pass of
// encoding/xml, and writes the same result with the same writers.
func BenchmarkBareReadWrite(b *testing.B) {
	dir, err := bigFleet()
	require.NoError(b, err)
	day, err := parseDay("2026-11-25")
	require.NoError(b, err)
	batch, err := configure(filepath.Join(dir, "job.yaml"), day, nil)
	require.NoError(b, err)
	require.NoError(b, batch.readInputs(context.Background()))
	require.NoError(b, batch.judge(context.Background()))
	easeCollector()
	doc := report.Compose(batch.run("x"), batch.read.Fleet, batch.assessed, batch.list, batch.catalogue)
	for b.Loop() {
		if err := bareRead(filepath.Join(dir, "fleet.xlsx")); err != nil {
			b.Fatal(err)
		}
		out := b.TempDir()
		if err := table.Write(context.Background(), create(out), doc); err != nil {
			b.Fatal(err)
		}
		if err := workbook.Write(context.Background(), io.Discard, doc, workbook.Options{TmpDir: out}); err != nil {
			b.Fatal(err)
		}
	}
}

func bareRead(path string) error {
	z, err := zip.OpenReader(path)
	if err != nil {
		return err
	}
	defer z.Close()
	for _, p := range z.File {
		if err := walkPart(p); err != nil {
			return err
		}
	}
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	if err != nil {
		return err
	}
	defer f.Close()
	for _, name := range f.GetSheetList() {
		rows, err := f.Rows(name)
		if err != nil {
			return err
		}
		for rows.Next() {
			if _, err := rows.Columns(excelize.Options{RawCellValue: true}); err != nil {
				return err
			}
		}
		rows.Close()
	}
	return nil
}

func walkPart(p *zip.File) error {
	r, err := p.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	if !strings.HasPrefix(p.Name, "xl/worksheets/") {
		_, err = io.Copy(io.Discard, r)
		return err
	}
	d := xml.NewDecoder(r)
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}
