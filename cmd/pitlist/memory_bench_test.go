package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// A record of 52 weeks of 3,000 vehicles: the run with it against the same run
// without, how long it takes to open, and its bytes a stored fact. Compare the
// two runs of one invocation as a ratio:
//
//	go test ./cmd/pitlist -run '^$' -bench Memory -benchtime 3x
const (
	memoryVehicles = 3000
	memoryWeeks    = 52
)

// writeYear plays a year of weekly exports into a record: a reading and a scan
// of each vehicle a week, a repair of every eighth, a hundred inspections.
func writeYear(path string) error {
	ctx := context.Background()
	record, err := history.Open(ctx, path)
	if err != nil {
		return err
	}
	end, err := parseDay("2026-11-25")
	if err != nil {
		return err
	}
	r, now := rand.New(rand.NewPCG(3, 4)), odometers()
	for w := range memoryWeeks {
		day := int32(end) - int32(7*(memoryWeeks-w))
		known, err := record.Recall(ctx, aWeek(r, now, w, day))
		if err != nil {
			return err
		}
		run := &history.Run{Day: day, Name: fmt.Sprint(w), Vehicles: memoryVehicles, Above: 100}
		for i := range memoryVehicles {
			run.Rows = append(run.Rows, history.Row{Vehicle: (i*7 + w) % memoryVehicles, Rank: i + 1, Above: i < 100, Part: "pump-follower", Group: "rest",
				PWorn: r.Float64(), OdometerKM: history.Number{Value: r.Float64() * 4e5, Known: true}, FailNext: r.Float64() / 100, FailHold: r.Float64(),
				Worth: r.Float64() * 1000, Waiting: r.Float64() * 10, Hours: 1.25, Cumulative: float64(i)})
			if i < 100 {
				run.Promises = append(run.Promises, history.Promise{Vehicle: (i*7 + w) % memoryVehicles, Part: "pump-follower", PWorn: 0.4, Chance: 0.37})
			}
		}
		if err := errors.Join(record.Commit(ctx, known, run), record.Finish(ctx)); err != nil {
			return err
		}
	}
	return record.Close()
}

// weeklyJob writes the export of the last week, and a job that reads it: a row
// of each vehicle, a scan of each, a repair of every eighth.
func weeklyJob(b *testing.B, dir string) (job string) {
	r, now := rand.New(rand.NewPCG(5, 6)), odometers()
	var units, scans, repairs strings.Builder
	units.WriteString("unit,vin,depot,make,model,model_year,odometer,odometer_date,engine_serial\n")
	scans.WriteString("unit,date,odometer,codes,km_since_clear\n")
	repairs.WriteString("unit,date,odometer,text,status\n")
	for i := range memoryVehicles {
		fmt.Fprintf(&units, "U%06d,Z8LCA4E2XJ%07d,Hafen,Northfold,%s,%d,%.0f,2026-11-24,HR%06d\n", i, i, []string{"Heron", "Teal", "Crane"}[i%3], 2012+r.IntN(12), now[i], 700_000+r.IntN(90_000))
		fmt.Fprintf(&scans, "U%06d,2026-11-24,%.0f,%s,%d\n", i, now[i], []string{"none", "none", "none", "P0087", "P0420"}[r.IntN(5)], r.IntN(4000))
		if i%8 == 0 {
			fmt.Fprintf(&repairs, "U%06d,2026-11-23,%.0f,oil service,done\n", i, now[i])
		}
	}
	parts, err := os.ReadFile("../../testdata/fleet/parts.yaml")
	require.NoError(b, err)
	for name, text := range map[string]string{
		"units.csv": units.String(), "scans.csv": scans.String(), "repairs.csv": repairs.String(), "parts.yaml": string(parts),
		"job.yaml": "inputs: [ { path: \"*.csv\" } ]\ncatalogue: [parts.yaml]\nrecords_from: new\nbay_hours: { \"*\": 200 }\n",
	} {
		require.NoError(b, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	return filepath.Join(dir, "job.yaml")
}

// odometers are the vehicles' distances at the end of the year.
func odometers() []float64 {
	r := rand.New(rand.NewPCG(1, 2))
	out := make([]float64, memoryVehicles)
	for i := range out {
		out[i] = float64(20_000 + r.IntN(400_000))
	}
	return out
}

// aWeek is what one week's export says: two thirds of the codes are none.
func aWeek(r *rand.Rand, now []float64, w int, day int32) *history.Read {
	codes := []string{"", "", "", "", "", "", "P0087", "P0299; P2263", "P0810", "P0420"}
	texts := []string{"oil service", "front brake pads renewed", "tyres changed", "rail pressure sensor replaced", "wheel alignment", "wiper blades"}
	read := &history.Read{Day: day, Sources: []history.Source{{File: fmt.Sprintf("fleet-W%d.xlsx", w), Sheet: "Scans", SHA256: fmt.Sprintf("%064x", w)}}}
	for i := range memoryVehicles {
		at := history.Number{Value: math.Round(now[i] * (1 - float64(memoryWeeks-w)/200)), Known: true}
		facts := []history.Fact{
			{Kind: history.Reading, Key: "vehicle sheet", Day: day - 1, At: at, Detail: "km", Row: int32(i + 2)},
			{Kind: history.Scan, Day: day - int32(r.IntN(3)), At: at, Number: history.Number{Value: float64(r.IntN(4000)), Known: true}, Text: codes[r.IntN(len(codes))], Row: int32(i + 2)},
		}
		if (i+w)%8 == 0 {
			facts = append(facts, history.Fact{Kind: history.Repair, Day: day - 2, At: at, Text: texts[r.IntN(len(texts))], Detail: `{"status":"done"}`, Row: int32(i + 2)})
		}
		if (i+w)%30 == 0 {
			facts = append(facts, history.Fact{Kind: history.Inspection, Key: "pump-follower", Day: day - 1, At: at, Text: "sound", Row: int32(i + 2)})
		}
		read.Vehicles = append(read.Vehicles, history.Vehicle{Unit: fmt.Sprintf("U%06d", i), VIN: fmt.Sprintf("Z8LCA4E2XJ%07d", i), Facts: facts})
	}
	return read
}

// BenchmarkMemory runs the job without and with the record of a year, and
// opens it, every page checked.
func BenchmarkMemory(b *testing.B) {
	dir := b.TempDir()
	job := weeklyJob(b, dir)
	require.NoError(b, writeYear(filepath.Join(dir, "year.db")))
	b.Run("without", func(b *testing.B) { wholeRun(b, job) })
	b.Run("with", func(b *testing.B) { runWithYear(b, dir) })
	b.Run("open", func(b *testing.B) { openYear(b, filepath.Join(dir, "year.db")) })
}

// runWithYear makes the same run with the record, which is put back each time.
func runWithYear(b *testing.B, dir string) {
	data, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	require.NoError(b, err)
	year, err := os.ReadFile(filepath.Join(dir, "year.db"))
	require.NoError(b, err)
	job := filepath.Join(dir, "remembers.yaml")
	require.NoError(b, os.WriteFile(job, append(data, []byte("history: record.db\n")...), 0o600))
	day, err := parseDay("2026-11-25")
	require.NoError(b, err)
	easeCollector()
	for b.Loop() {
		b.StopTimer()
		require.NoError(b, os.WriteFile(filepath.Join(dir, "record.db"), year, 0o600))
		b.StartTimer()
		w := &world{out: io.Discard, errOut: io.Discard}
		got, err := w.runJob(context.Background(), job, day)
		var e *ended
		if err != nil && !errors.As(err, &e) {
			b.Fatal(err)
		}
		for _, s := range got.took {
			b.ReportMetric(s.Seconds, s.Stage+"-s")
		}
	}
}

// openYear also reports the bytes a stored fact.
func openYear(b *testing.B, path string) {
	for b.Loop() {
		record, err := history.Open(context.Background(), path)
		require.NoError(b, err)
		facts, bytes, err := record.Size(context.Background())
		require.NoError(b, err)
		b.ReportMetric(float64(facts), "facts")
		b.ReportMetric(float64(bytes)/float64(facts), "bytes/fact")
		require.NoError(b, record.Close())
	}
}
