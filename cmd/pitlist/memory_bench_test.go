package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// A record of 52 weeks of 3,000 vehicles: the run with it against the same run
// without, how long it takes to open, and its bytes a stored fact. Compare the
// two runs of one invocation as a ratio:
//
//	go test ./cmd/pitlist -run '^$' -bench 'Memory|OpenRecord' -benchtime 3x
const (
	memoryVehicles = 3000
	memoryWeeks    = 52
)

// aYear makes the job of the big fleet at that size, with a record of a year.
var aYear = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "pitlist-year-")
	if err != nil {
		return "", err
	}
	if err := writeBig(dir, memoryVehicles); err != nil {
		return "", err
	}
	return dir, writeYear(filepath.Join(dir, "year.db"))
})

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
	r := rand.New(rand.NewPCG(3, 4))
	for w := range memoryWeeks {
		day := int32(end) - int32(7*(memoryWeeks-w))
		known, err := record.Recall(ctx, aWeek(r, w, day))
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

func aWeek(r *rand.Rand, w int, day int32) *history.Read {
	codes := []string{"", "", "", "", "", "", "P0087", "P0299; P2263", "P0810", "P0420"}
	texts := []string{"oil service", "front brake pads renewed", "tyres changed", "rail pressure sensor replaced", "wheel alignment", "wiper blades"}
	read := &history.Read{Day: day, Sources: []history.Source{{File: fmt.Sprintf("fleet-W%d.xlsx", w), Sheet: "Scans", SHA256: fmt.Sprintf("%064x", w)}}}
	for i := range memoryVehicles {
		at := history.Number{Value: float64(20_000 + 97*i + w*450 + r.IntN(50)), Known: true}
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

func benchMemory(b *testing.B, remember bool) {
	dir, err := aYear()
	require.NoError(b, err)
	day, err := parseDay("2026-11-25")
	require.NoError(b, err)
	data, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	require.NoError(b, err)
	year, err := os.ReadFile(filepath.Join(dir, "year.db"))
	require.NoError(b, err)
	job := filepath.Join(dir, "forgets.yaml")
	if remember {
		job = filepath.Join(dir, "remembers.yaml")
		data = append(data, []byte("history: record.db\n")...)
	}
	require.NoError(b, os.WriteFile(job, data, 0o666))
	easeCollector()
	for b.Loop() {
		b.StopTimer()
		require.NoError(b, os.WriteFile(filepath.Join(dir, "record.db"), year, 0o666))
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

func BenchmarkRunWithoutMemory(b *testing.B) { benchMemory(b, false) }
func BenchmarkRunWithMemory(b *testing.B)    { benchMemory(b, true) }

// BenchmarkOpenRecord opens the record of a year, every page of it checked, and
// reports its bytes a stored fact.
func BenchmarkOpenRecord(b *testing.B) {
	dir, err := aYear()
	require.NoError(b, err)
	for b.Loop() {
		record, err := history.Open(context.Background(), filepath.Join(dir, "year.db"))
		require.NoError(b, err)
		facts, bytes, err := record.Size(context.Background())
		require.NoError(b, err)
		b.ReportMetric(float64(facts), "facts")
		b.ReportMetric(float64(bytes)/float64(facts), "bytes/fact")
		require.NoError(b, record.Close())
	}
}
