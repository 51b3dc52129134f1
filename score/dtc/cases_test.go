package dtc

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readTable reads a case file as one map a row. See testdata/dtc/SOURCE.md.
func readTable(t testing.TB, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, r := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = r[i]
		}
		out = append(out, row)
	}
	return out
}

// codes lists the codes of a cell as text.
func codes(c Cell) []string {
	out := []string{}
	for _, r := range c.Codes {
		out = append(out, r.Code.String())
	}
	return out
}

func TestPublishedAndComputedJ2012Cases(t *testing.T) {
	rows := readTable(t, "../../testdata/dtc/dtc_cases.csv")
	require.Len(t, rows, 86)
	for _, r := range rows {
		t.Run(r["id"]+" "+r["raw"]+" is "+r["expect"], func(t *testing.T) {
			if r["form"] == "wire" {
				checkWireCase(t, r)
				return
			}
			checkTextCase(t, r)
		})
	}
}

func checkWireCase(t *testing.T, r map[string]string) {
	c, err := ParseWire(r["raw"])
	switch r["expect"] {
	case "truncated":
		require.ErrorIs(t, err, ErrNoCode)
		return
	case "padding":
		require.NoError(t, err)
		assert.True(t, c.NoFault())
		return
	}
	require.NoError(t, err)
	checkCode(t, r, c)
	assert.Equal(t, r["expect"] == "filler", c.Filler())
	cell := ParseCell(r["raw"], Options{})
	if r["expect"] == "filler" {
		assert.Empty(t, cell.Codes)
		return
	}
	// Three pairs of decimal digits may be a date and are only suggested.
	if len(cell.Faults) == 1 {
		assert.Equal(t, c, cell.Faults[0].Suggestion)
		return
	}
	assert.Equal(t, []Reading{{Code: c}}, cell.Codes)
}

func checkTextCase(t *testing.T, r map[string]string) {
	cell := ParseCell(r["raw"], Options{})
	switch r["expect"] {
	case "ok":
		require.Len(t, cell.Codes, 1)
		checkCode(t, r, cell.Codes[0].Code)
		assert.Equal(t, r["status_hint"], string(cell.Codes[0].State))
		assert.Empty(t, cell.Faults)
	case "split":
		assert.Equal(t, strings.Split(r["code"], "+"), codes(cell))
	case "reject":
		assert.Empty(t, cell.Codes)
		require.NotEmpty(t, cell.Faults)
		assert.False(t, cell.Scanned)
		if _, want, ok := strings.Cut(r["note"], "suggest "); ok {
			assert.Equal(t, want, cell.Faults[0].Suggestion.String())
		}
		_, err := Parse(r["raw"])
		require.ErrorIs(t, err, ErrNoCode)
	case "empty":
		assert.Empty(t, cell.Codes)
		assert.Empty(t, cell.Faults)
	case "reserved":
		c, err := Parse(r["raw"])
		require.NoError(t, err)
		checkCode(t, r, c)
		assert.True(t, c.NoFault())
		assert.Equal(t, Cell{Scanned: true}, cell)
	case "j1939":
		cell = ParseCell(r["raw"], Options{J1939: true})
		assert.Equal(t, []string{"SPN 636 FMI 2"}, codes(cell))
	default:
		t.Fatalf("case of unknown kind %q", r["expect"])
	}
}

func checkCode(t *testing.T, r map[string]string, c Code) {
	t.Helper()
	want := r["code"]
	if r["failure_type"] != "" {
		want += "-" + r["failure_type"]
	}
	assert.Equal(t, want, c.String())
	assert.Equal(t, r["code"], c.Base().String())
	assert.Equal(t, r["hex"], c.Hex())
	assert.Equal(t, r["range_owner"], Owner(c))
}

func TestJ1939Cases(t *testing.T) {
	rows := readTable(t, "../../testdata/dtc/j1939_cases.csv")
	require.Len(t, rows, 38)
	for _, r := range rows {
		t.Run(r["id"]+" "+r["raw"]+" is "+r["expect"], func(t *testing.T) {
			cell := ParseCell(r["raw"], Options{J1939: true})
			switch r["expect"] {
			case "ok":
				require.Len(t, cell.Codes, 1, "%+v", cell)
				checkSPN(t, r, cell.Codes[0].Code)
				assert.Empty(t, cell.Faults)
			case "split":
				assert.Equal(t, []string{"SPN 636 FMI 2", "SPN 723 FMI 8"}, codes(cell))
			case "reject":
				assert.Empty(t, cell.Codes)
				require.NotEmpty(t, cell.Faults)
			case "empty":
				assert.Equal(t, Cell{Scanned: true}, cell)
			case "filler":
				assert.Empty(t, cell.Codes)
				c, err := ParseWire(r["raw"])
				require.NoError(t, err)
				checkSPN(t, r, c)
				assert.True(t, c.Filler())
			default:
				t.Fatalf("case of unknown kind %q", r["expect"])
			}
		})
	}
}

func checkSPN(t *testing.T, r map[string]string, c Code) {
	t.Helper()
	spn, fmi, ok := c.SPN()
	require.True(t, ok)
	assert.Equal(t, r["spn"], strconv.Itoa(int(spn)))
	assert.Equal(t, r["fmi"], strconv.Itoa(int(fmi)))
	assert.Equal(t, c.Base(), must(ParseWire(c.Hex())), "bytes and back")
	if strings.Contains(r["note"], "manufacturer-assignable") {
		assert.Equal(t, OwnerManufacturer, Owner(c))
	}
}

func must(c Code, err error) Code {
	if err != nil {
		panic(err)
	}
	return c
}
