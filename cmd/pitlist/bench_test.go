package main

import (
	"archive/zip"
	"bufio"
	"context"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/ingest/xlsx"
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
// three repair rows). With PITLIST_BENCH_DIR the fleets stay where it says, for
// runs of the program itself under a clock of the system's.

func BenchmarkWholeRun(b *testing.B) {
	for _, kind := range kinds {
		b.Run(kind.name, func(b *testing.B) { wholeRun(b, bigFleet(b, benchSize(), kind.text)) })
	}
}

var kinds = []struct {
	name string
	text bool
}{{"xlsx", false}, {"csv", true}}

func wholeRun(b *testing.B, job string) {
	day, err := parseDay("2026-11-25")
	require.NoError(b, err)
	easeCollector()
	go keepPace(b.Context())
	for b.Loop() {
		w := &world{out: io.Discard, errOut: io.Discard}
		got, err := w.runJob(context.Background(), job, day)
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

// BenchmarkBareReadWrite reads the same files raw and writes the same result
// with the same writers. A workbook is read in two ways: by the library after
// the integrity pass of encoding/xml, and by our own reader alone.
func BenchmarkBareReadWrite(b *testing.B) {
	for _, kind := range kinds {
		job := bigFleet(b, benchSize(), kind.text)
		doc := composed(b, job)
		dir := filepath.Dir(job)
		if kind.text {
			b.Run("csv", func(b *testing.B) { bareRun(b, doc, func() error { return bareTexts(dir) }) })
			continue
		}
		path := filepath.Join(dir, "fleet.xlsx")
		b.Run("xlsx-library", func(b *testing.B) { bareRun(b, doc, func() error { return bareRead(path) }) })
		b.Run("xlsx-own", func(b *testing.B) { bareRun(b, doc, func() error { return bareOwn(path) }) })
	}
}

// composed is the result of a job's run, ready to be written.
func composed(b *testing.B, job string) *report.Document {
	day, err := parseDay("2026-11-25")
	require.NoError(b, err)
	batch, err := configure(job, day, nil)
	require.NoError(b, err)
	require.NoError(b, batch.readInputs(context.Background()))
	require.NoError(b, batch.judge(context.Background()))
	return report.Compose(batch.run("x"), batch.read.Fleet, batch.assessed, batch.list, batch.catalogue)
}

func bareRun(b *testing.B, doc *report.Document, read func() error) {
	easeCollector()
	go keepPace(b.Context())
	for b.Loop() {
		require.NoError(b, read())
		out := b.TempDir()
		require.NoError(b, table.Write(context.Background(), create(out), doc))
		require.NoError(b, workbook.Write(context.Background(), io.Discard, doc, workbook.Options{TmpDir: out}))
	}
}

// bareTexts reads the CSV files of a folder with encoding/csv.
func bareTexts(dir string) error {
	for _, name := range []string{"Units", "Scans", "Repairs"} {
		f, err := os.Open(filepath.Join(dir, name+".csv"))
		if err != nil {
			return err
		}
		defer f.Close()
		r := csv.NewReader(bufio.NewReaderSize(f, 1<<16))
		r.ReuseRecord = true
		for err == nil {
			_, err = r.Read()
		}
		if !errors.Is(err, io.EOF) {
			return err
		}
	}
	return nil
}

// bareOwn reads every sheet with our own reader.
func bareOwn(path string) error {
	book, err := xlsx.Open(context.Background(), path, xlsx.Options{})
	if err != nil {
		return err
	}
	defer book.Close()
	for _, s := range book.Sheets() {
		if _, err := book.Count(s.Name); err != nil {
			return err
		}
	}
	return nil
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
