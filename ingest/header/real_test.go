package header

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type realHeader struct {
	ID       string
	Cells    []string
	Expected map[string]int
}

// realNames translates the collection's names (testdata/headers/SOURCE.md).
var realNames = map[string]Field{"unit_id": Unit, "vin": VIN, "vin_prefix": VINPrefix, "year": ModelYear, "mileage": Odometer, "dept": Depot, "plate": Registration,
	"in_service": InServiceDate, "first_use": InServiceDate, "make": Make, "model": Model}

// readReal reads the header rows, and the columns right beyond the
// collection's mapping: MANUF_DT is a date of manufacture, NOTES are remarks.
func readReal(t *testing.T) (list []realHeader, beyond map[string]map[int]Field) {
	t.Helper()
	for name, into := range map[string]any{"real_headers.json": &list, "beyond.json": &beyond} {
		data, err := os.ReadFile("../../testdata/headers/" + name)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(data, into))
	}
	return list, beyond
}

// want gives the fields by column, as the collection and what lies beyond it say.
func (h *realHeader) want(beyond map[string]map[int]Field) map[int]Field {
	want := map[int]Field{}
	for name, i := range h.Expected {
		if f, ok := realNames[name]; ok {
			want[i] = f
		}
	}
	maps.Copy(want, beyond[h.ID])
	return want
}

// TestRecognitionTable: over all header rows of public files every column that
// matters is found, and no other is taken for one. It prints the table.
func TestRecognitionTable(t *testing.T) {
	list, beyond := readReal(t)
	var b strings.Builder
	fmt.Fprintf(&b, "%-15s %7s %8s %6s %7s %14s\n", "header row", "columns", "matter", "found", "missed", "wrongly taken")
	var sum [5]int
	for _, h := range list {
		l, _ := Recognise(append([][]string{h.Cells}, realValues[h.ID]...), Options{})
		want := h.want(beyond)
		row := [5]int{len(h.Cells), len(want)}
		for _, c := range l.Columns {
			switch {
			case c.Field == want[c.Index] && c.Field != Ignore:
				row[2]++
			case c.Field != Ignore:
				row[4]++
			}
		}
		row[3] = row[1] - row[2]
		fmt.Fprintf(&b, "%-15s %7d %8d %6d %7d %14d\n", h.ID, row[0], row[1], row[2], row[3], row[4])
		for i := range sum {
			sum[i] += row[i]
		}
	}
	fmt.Fprintf(&b, "%-15s %7d %8d %6d %7d %14d", "all", sum[0], sum[1], sum[2], sum[3], sum[4])
	t.Log(b.String())
	assert.Zero(t, sum[3], "missed")
	assert.Zero(t, sum[4], "wrongly taken")
}

// realValues are rows below the heading where the values decide; invented.
var realValues = map[string][][]string{
	"tustin_ca_83": {{"Police", "81 Northfold", "Z9KAA1E21BB100001", "400"}, {"Parks", "79 Northfold", "Z9KAA1E27BB100002", "350"}},
	"nhtsa_cmpl":   {sparse(49, 14, "Z9KAA1E21BB"), sparse(49, 14, "Z9KAA1E27BC")},
}

func sparse(n, i int, v string) []string {
	row := make([]string, n)
	row[i] = v
	return row
}

func TestRealHeaders(t *testing.T) {
	list, beyond := readReal(t)
	require.Len(t, list, 11)
	for _, h := range list {
		t.Run(h.ID, func(t *testing.T) {
			l, err := Recognise(append([][]string{h.Cells}, realValues[h.ID]...), Options{})
			if h.ID == "nhtsa_rcl" {
				require.Error(t, err, "no column names a vehicle")
			} else {
				require.NoError(t, err)
			}
			require.Equal(t, 0, l.Row)
			want := h.want(beyond)
			for _, c := range l.Columns {
				assert.Equal(t, want[c.Index], c.Field, "column %d %q: %s", c.Index, c.Heading, c.Why)
			}
			if _, ok := h.Expected["year_make"]; ok {
				assert.True(t, slices.ContainsFunc(l.Ambiguous, func(p Problem) bool { return slices.Contains(p.Columns, h.Expected["year_make"]) }), "the combined column is reported")
			}
		})
	}
}
