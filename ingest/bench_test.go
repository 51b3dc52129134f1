package ingest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/ingest/value"
	"pitlist/ingest/xlsx"
	"pitlist/score"
)

// The benchmark reads a fleet of invented vehicles, each with a scan and
// three repairs, and the same workbook bare, in one run:
//
//	go test ./ingest -run '^$' -bench Read -benchtime 3x
//
// PITLIST_BENCH_VEHICLES sets the size (default 10,000).

func benchSize(t testing.TB) int {
	s := os.Getenv("PITLIST_BENCH_VEHICLES")
	if s == "" {
		return 10_000
	}
	n, err := strconv.Atoi(s)
	require.NoError(t, err)
	return n
}

// bigBook writes the workbook once for all that use it.
var bigBook = sync.OnceValues(func() (string, error) {
	var err error
	if bigDir, err = os.MkdirTemp("", "pitlist-ingest-"); err != nil {
		return "", err
	}
	path := filepath.Join(bigDir, "fleet.xlsx")
	return path, writeBig(path, bigSize)
})

var (
	bigSize int
	bigDir  string // removed when the tests have ended
)

func bigFleet(t testing.TB) string {
	t.Helper()
	if bigSize = benchSize(t); testing.Short() {
		bigSize = 1000
	}
	path, err := bigBook()
	require.NoError(t, err)
	return path
}

// writeBig writes n vehicles with an odometer each, n scans and 3n repairs.
func writeBig(path string, n int) error {
	r := rand.New(rand.NewPCG(1, 2))
	f := excelize.NewFile()
	defer f.Close()
	km := make([]int, n)
	for i := range km {
		km[i] = 20_000 + r.IntN(400_000)
	}
	models, codes := []string{"Heron", "Teal", "Crane"}, []string{"no codes", "no codes", "no codes", "P0087", "P0299; P2263", "P0420"}
	texts := []string{"oil service", "front brake pads renewed", "rail pressure sensor replaced", "wheel alignment", "annual inspection"}
	sheets := []struct {
		name string
		rows int
		head []any
		row  func(i int) []any
	}{
		{"Units", n, []any{"Unit", "VIN", "Depot", "Make", "Model", "Model year", "Odometer", "Odometer date", "Engine serial", "Remarks"}, func(i int) []any {
			return []any{fmt.Sprintf("U%06d", i), fmt.Sprintf("Z8LCA4E2XJ%07d", i), "North", "Northfold", models[i%3], 2012 + r.IntN(12), km[i], 46340 + r.IntN(10), fmt.Sprintf("HR%06d", i), nil}
		}},
		{"Scans", n, []any{"Unit", "Date", "Codes", "Odometer", "km since clear"}, func(i int) []any {
			return []any{fmt.Sprintf("U%06d", i), 46340 + r.IntN(10), codes[r.IntN(len(codes))], km[i], r.IntN(4000)}
		}},
		{"Repairs", 3 * n, []any{"Date", "Unit", "km", "Work", "Status"}, func(i int) []any {
			return []any{42000 + i/n*1400 + r.IntN(1400), fmt.Sprintf("U%06d", i%n), km[i%n] * (1 + r.IntN(8)) / 10, texts[r.IntN(len(texts))], "done"}
		}},
	}
	for _, s := range sheets {
		if _, err := f.NewSheet(s.name); err != nil {
			return err
		}
		w, err := f.NewStreamWriter(s.name)
		if err != nil {
			return err
		}
		err = w.SetRow("A1", s.head)
		for i := 0; i < s.rows && err == nil; i++ {
			err = w.SetRow(fmt.Sprintf("A%d", i+2), s.row(i))
		}
		if err := errors.Join(err, w.Flush()); err != nil {
			return err
		}
	}
	return errors.Join(f.DeleteSheet("Sheet1"), f.SaveAs(path))
}

func BenchmarkRead(b *testing.B) {
	path, tmp := bigFleet(b), b.TempDir()
	o := Options{Day: runDay, Market: "eu", TmpDir: tmp}
	var bare, whole time.Duration
	for b.Loop() {
		begin := time.Now()
		require.NoError(b, readBare(path, tmp))
		bare += time.Since(begin)
		begin = time.Now()
		_, err := Read(context.Background(), []Input{{Path: path}}, o)
		require.NoError(b, err)
		whole += time.Since(begin)
	}
	b.ReportMetric(float64(5*bigSize*b.N)/whole.Seconds(), "rows/s")
	b.ReportMetric(whole.Seconds()/bare.Seconds(), "x-bare")
}

// readBare reads every row and drops it.
func readBare(path, tmp string) error {
	book, err := xlsx.Open(context.Background(), path, xlsx.Options{TmpDir: tmp})
	if err != nil {
		return err
	}
	defer book.Close()
	for _, s := range book.Sheets() {
		r, err := book.Rows(s.Name)
		if err != nil {
			return err
		}
		for err == nil {
			_, _, err = r.Read()
		}
		if !errors.Is(err, io.EOF) {
			return err
		}
	}
	return nil
}

// TestMemoryOfVehicle: at most 2 KB of live heap a vehicle once reading has
// ended, with a scan, three repairs and a reading each.
func TestMemoryOfVehicle(t *testing.T) {
	path := bigFleet(t)
	read(t, path) // makes what is made once for all
	before := liveHeap()
	res, err := Read(context.Background(), []Input{{Path: path}}, Options{Day: runDay, Market: "eu", TmpDir: t.TempDir()})
	require.NoError(t, err)
	each := (float64(liveHeap()) - float64(before)) / float64(bigSize)
	require.Len(t, res.Fleet.Vehicles, bigSize)
	v := &res.Fleet.Vehicles[bigSize/2]
	require.Equal(t, []int{1, 1, 3}, []int{len(v.Readings), len(v.Scans), len(v.Repairs)})
	require.Equal(t, 5*bigSize, score.Sum(res.Fleet.Counts).Used)
	t.Logf("%d vehicles: %.0f bytes of live heap a vehicle", bigSize, each)
	require.LessOrEqual(t, each, 2048.0)
	runtime.KeepAlive(res)
}

// TestMemoryOfIssue: what is said of a row is kept in few bytes, for a column
// that nothing decides, or a list of strangers, says it of every row.
func TestMemoryOfIssue(t *testing.T) {
	const rows = 20000
	lines := []string{"unit,date,odometer,text"}
	for i := range rows {
		lines = append(lines, fmt.Sprintf("N%05d,0%d/0%d/2026,%d,Pump renewed", i, 1+i%4, 5+i%4, 90000+i))
	}
	units := textFile(t, "units.csv", "unit,vin,make,model", "H1,"+vinA+",Northfold,Kestrel")
	before := liveHeap()
	for _, c := range []struct {
		says  string
		order value.Order
		most  float64
	}{{"cannot be told", "", 640}, {"on no vehicle sheet", value.DayFirst, 320}} {
		res, err := Read(context.Background(), []Input{{Path: units}, {Path: textFile(t, "repairs.csv", lines...), DateOrder: c.order}}, Options{Day: runDay, Market: "eu"})
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(res.Fleet.Issues), rows)
		require.Contains(t, res.Fleet.Issues[rows/2].Reason.String(), c.says)
		each := (float64(liveHeap()) - float64(before)) / rows
		t.Logf("%s: %.0f bytes of live heap a row", c.says, each)
		require.LessOrEqual(t, each, c.most)
		runtime.KeepAlive(res)
	}
}

func liveHeap() uint64 {
	var m runtime.MemStats
	for range 2 { // the second collects what finalizers let go of
		runtime.GC()
	}
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
