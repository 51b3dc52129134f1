package life_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

// printed is a result as a source prints it, met to its digits, or with the
// reason why it cannot be.
type printed struct {
	What    string `json:"what"`
	Printed string `json:"printed"`
	Met     bool   `json:"met"`
	Why     string `json:"why"`
}

// settings are a case's, beside or instead of a file of data.
type settings struct {
	Shape         float64      `json:"shape"`
	Confidence    float64      `json:"confidence"`
	CensoredAt    []float64    `json:"right_censored_at"`
	EntryLowHigh  [][]*float64 `json:"entry_low_high"`
	Times         []float64    `json:"times"`
	From          float64      `json:"from"`
	LifeLRat95    bool         `json:"life_lr_95"`
	Prior         *struct{ Shape, Scale, Weight float64 }
	Probabilities []float64 `json:"probability"`
}

// published is one worked case. Expect holds numbers by name, or a text or
// {"error": true} where no number may come out.
type published struct {
	ID        string          `json:"id"`
	Method    string          `json:"method"`
	Data      string          `json:"data"`
	Settings  settings        `json:"settings"`
	Expect    json.RawMessage `json:"expect"`
	Tolerance *float64        `json:"tolerance"`
	Source    string          `json:"source"`
	Published json.RawMessage `json:"published"`
}

const testdata = "../../testdata/life"

// casesOf returns the cases with one of the methods; there must be some.
func casesOf(t *testing.T, methods ...string) []published {
	t.Helper()
	var found []published
	for _, name := range []string{"cases.json", "cases_more.json"} {
		raw, err := os.ReadFile(filepath.Join(testdata, name))
		require.NoError(t, err)
		var all []published
		require.NoError(t, json.Unmarshal(raw, &all))
		for _, c := range all {
			for _, m := range methods {
				if c.Method == m {
					found = append(found, c)
				}
			}
		}
	}
	require.NotEmpty(t, found)
	return found
}

// refuses says whether the case wants an error and no number.
func (c published) refuses() bool {
	return strings.HasPrefix(string(c.Expect), `"an error`) || strings.Contains(string(c.Expect), `"error": true`)
}

// rows reads a file of data as columns by name; an empty cell is +Inf.
func rows(t testing.TB, name string) map[string][]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join(testdata, name))
	require.NoError(t, err)
	defer f.Close()
	cells, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	columns := map[string][]float64{}
	for _, row := range cells[1:] {
		for i, heading := range cells[0] {
			v := math.Inf(1)
			if row[i] != "" {
				v, err = strconv.ParseFloat(row[i], 64)
				require.NoError(t, err)
			}
			columns[heading] = append(columns[heading], v)
		}
	}
	return columns
}

// records are the case's own, from its file or its settings.
func (c published) records(t testing.TB) []life.Record {
	t.Helper()
	var out []life.Record
	if c.Data != "" {
		d := rows(t, c.Data)
		for i, low := range d["low"] {
			out = append(out, life.Record{Entry: d["entry"][i], Low: low, High: d["high"][i], Weight: d["weight"][i]})
		}
	}
	for _, at := range c.Settings.CensoredAt {
		out = append(out, life.Running(at))
	}
	for _, r := range c.Settings.EntryLowHigh {
		high := math.Inf(1)
		if r[2] != nil {
			high = *r[2]
		}
		out = append(out, life.Record{Entry: *r[0], Low: *r[1], High: high, Weight: 1})
	}
	return out
}

// within checks a value to the case's tolerance, standard errors of the first
// file to 1e-3 as its README states.
func (c published) within(t *testing.T, name string, want, got float64) {
	t.Helper()
	gap := *c.Tolerance
	if strings.HasPrefix(name, "se_") && gap >= 1e-5 {
		gap = 1e-3
	}
	if math.Abs(want) < 1e-6 {
		require.InDelta(t, want, got, 1e-9, name)
		return
	}
	require.InEpsilon(t, want, got, gap, name)
}

// prints are the results that sources print for the case, by name; nested
// places ("shape_95_wald.0") end in their index.
func (c published) prints(t *testing.T) []printed {
	t.Helper()
	if len(c.Published) == 0 {
		return nil
	}
	var list []printed
	if json.Unmarshal(c.Published, &list) == nil {
		return list
	}
	// The first file gives numbers by name; JSON keeps their digits.
	var byName map[string]json.Number
	require.NoError(t, json.Unmarshal(c.Published, &byName))
	for name, n := range byName {
		// README: met "save the scale of the first row", whose search stopped short.
		met := !(name == "scale" && strings.HasPrefix(c.ID, "handbook_20_units"))
		list = append(list, printed{What: name, Printed: n.String(), Met: met, Why: "the maximum lies at 606.52756"})
	}
	return list
}

// meets compares a value with a printed one to half a unit of its last digit.
func (p printed) meets(t *testing.T, got float64) {
	t.Helper()
	number, scaled, _ := strings.Cut(p.Printed, " x ")
	want, err := strconv.ParseFloat(number, 64)
	require.NoError(t, err)
	if scaled != "" {
		factor, err := strconv.ParseFloat(scaled, 64)
		require.NoError(t, err)
		got /= factor
	}
	digits := 0
	if _, after, ok := strings.Cut(number, "."); ok {
		digits = len(after)
	}
	half := 0.5000001 * math.Pow(10, -float64(digits))
	if p.Met {
		require.InDelta(t, want, got, half, "printed %s", p.What)
		return
	}
	// Not met to its digits: the reason stands in the case, and the difference
	// is that of 1.96 for 1.959964 or of a search that stopped short.
	require.NotEmpty(t, p.Why)
	require.InEpsilon(t, want, got, 2e-5, "printed %s", p.What)
}
