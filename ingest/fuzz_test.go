package ingest

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// FuzzRead: no text file, however odd, stops the reading other than with an
// error, and the account of its rows adds up.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"Unit;VIN;Odometer\nU1;Z9KHA11B5HK100001;80.000 km\n", "Unit,Date,Codes\n1,03/04/2026,\"P0087\n1,25/04/2026,none\n",
		"as of 25 November 2026\n\nUnit\tModel\n00017\tHeron\n17.0\tHeron\nTotal\t2\n", "Unit;Work;Status\nU1;oil;done\n;;\n#N/A;x;y", "\"", "Unit;Unit\n1;2", "Unit;Model;;Unit;Odometer\nU1;Heron;;U1;80000\n;;;Unit;Date;Work\n;;;U1;2026-03-02;oil\n",
	} {
		f.Add([]byte(seed))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		path := filepath.Join(dir, "fuzz.csv")
		require.NoError(t, os.WriteFile(path, data, 0o600))
		res, err := Read(context.Background(), []Input{{Path: path}}, Options{Day: runDay, Market: "eu", TmpDir: dir})
		if err != nil {
			require.ErrorIs(t, err, ErrNothing)
		}
		require.True(t, score.Sum(res.Fleet.Counts).Balanced())
		for _, i := range res.Fleet.Issues {
			require.NotEmpty(t, i.Reason)
		}
	})
}

func FuzzAsOf(f *testing.F) {
	for _, seed := range []string{"Stand: 25.11.2026", "as of 25 November 2026", "0000-00-00", "1/1/1", "page 3 of 4"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		if d, ok := asOf(cell); ok {
			require.GreaterOrEqual(t, d.Time().Year(), oldest)
		}
	})
}
