package csv

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFixedWidth: cells at the same place on every line, right or left in their column, blank ones too; what runs over an edge is rejected, a title
// above and a note below are one cell.
func TestFixedWidth(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"by blanks in common":  {"Unit    Model       km\nU1      Heron    80000\nU2               90000\nU3      Heron X   1000\n", "Unit|Model|km\nU1|Heron|80000\nU2||90000\nU3|Heron X|1000"},
		"by a rule":            {"A list\nUnit Model km\n---- ----- -----\nU1   Heron 80000\nend of it\n", "A list\nUnit|Model|km\n\nU1|Heron|80000\nend of it"},
		"over the edge":        {"Unit Model km\n---- ----- -----\nU1   Heron 80000\nU2   Herons 9\n", "Unit|Model|km\n\nU1|Heron|80000\nbad"},
		"letters of two bytes": {"Unit    Dépôt      km\nÜ1      Über    80000\nU2      Ostsee  90000\n", "Unit|Dépôt|km\nÜ1|Über|80000\nU2|Ostsee|90000"},
		"commas hold":          {"Unit,Model  A,km\nU1,Heron  B  x,80000\nU2,Teal  B  x,90000\n", "Unit|Model  A|km\nU1|Heron  B  x|80000\nU2|Teal  B  x|90000"},
		"commas in figures":    {"Unit    Model      km\nU1      Heron  80,000\nU2      Teal   90,000\nU3      Teal   91,000\n", "Unit|Model|km\nU1|Heron|80,000\nU2|Teal|90,000\nU3|Teal|91,000"},
		"prose":                {"a note of few words\nanother  one\nand a third\n", "a note of few words\nanother  one\nand a third"},
	} {
		path := filepath.Join(t.TempDir(), "a.txt")
		require.NoError(t, os.WriteFile(path, []byte(c.text), 0o600))
		f, err := Open(context.Background(), path, Options{})
		require.NoError(t, err, name)
		var got []string
		for {
			_, cells, err := f.Read()
			var bad *RowError
			if errors.As(err, &bad) {
				got = append(got, "bad")
				continue
			}
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, name)
			got = append(got, strings.Join(cells, "|"))
		}
		require.NoError(t, f.Close())
		assert.Equal(t, c.want, strings.Join(got, "\n"), name)
	}
}
