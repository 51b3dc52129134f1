package header

import (
	"encoding/json"
	"os"
	"slices"
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

// realBeyond are columns right beyond the collection's mapping, by hand.
var realBeyond = map[string]map[int]Field{
	"nhtsa_cmpl": {37: BuildDate}, // MANUF_DT, date of manufacture
	"nhtsa_rcl":  {22: Remarks},   // NOTES
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
	data, err := os.ReadFile("../../testdata/headers/real_headers.json")
	require.NoError(t, err)
	var list []realHeader
	require.NoError(t, json.Unmarshal(data, &list))
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
			want := make(map[int]Field)
			for name, i := range h.Expected {
				if f, ok := realNames[name]; ok {
					want[i] = f
				}
			}
			for i, f := range realBeyond[h.ID] {
				want[i] = f
			}
			for _, c := range l.Columns {
				assert.Equal(t, want[c.Index], c.Field, "column %d %q: %s", c.Index, c.Heading, c.Why)
			}
			if _, ok := h.Expected["year_make"]; ok {
				assert.True(t, slices.ContainsFunc(l.Ambiguous, func(p Problem) bool { return slices.Contains(p.Columns, h.Expected["year_make"]) }), "the combined column is reported")
			}
		})
	}
}
