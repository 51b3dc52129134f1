package ingest

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
)

// corpusFolder holds the messy files of testdata/intake (see its SOURCE.md).
const corpusFolder = "../testdata/intake"

// corpusCase is one reading of the corpus with what it must come to; written
// by the generator's author, never copied from a reading.
type corpusCase struct {
	Name     string
	Files    []string
	Points   []string
	Error    string // part of why the file is not read
	Nothing  bool   // no vehicle is in it
	Password string
	Job      struct {
		Encoding  string
		DateOrder string `json:"date_order"`
	}
	Sheets   map[string]string
	Vehicles map[string]corpusVehicle
	Issues   []corpusIssue
	Asks     []string
	Notes    []string
	Holds    map[string][]header.Kind
	Heading  map[string]int
}

// corpusVehicle is what a vehicle must hold; what is left out is not compared.
type corpusVehicle struct {
	VIN, Make, Model, Depot *string
	Year, Row, Codes, Scans *int
	KM, Hours               *[]float64
	Days                    *[]string
	Repairs, Remarks        *[]string
	RepairDays              *[]string  `json:"repair_days"`
	RepairKM                *[]float64 `json:"repair_km"`
	Statuses                *[]string
}

type corpusIssue struct {
	Sheet, Severity, Says, Column, Value string
	Row                                  int
}

type corpus struct {
	Points map[string]string
	Cases  []corpusCase
}

func loadCorpus(t testing.TB) corpus {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(corpusFolder, "expected.json"))
	require.NoError(t, err)
	var c corpus
	require.NoError(t, json.Unmarshal(data, &c))
	return c
}

// TestCorpus: every file of testdata/intake is read as its author meant it, or
// refused for the reason that its author built into it.
func TestCorpus(t *testing.T) {
	c := loadCorpus(t)
	covered, files := map[string]bool{}, map[string]bool{}
	for _, k := range c.Cases {
		for _, p := range k.Points {
			assert.Contains(t, c.Points, p)
			covered[p] = true
		}
		for _, f := range k.Files {
			files[f] = true
		}
		t.Run(k.Name, func(t *testing.T) { k.check(t) })
	}
	for p, what := range c.Points {
		assert.True(t, covered[p] || p == "zip-bomb", "no file covers: %s", what) // TestHostile makes the bomb
	}
	assert.GreaterOrEqual(t, len(files), 60)
}

func (k *corpusCase) inputs() []Input {
	var out []Input
	for _, f := range k.Files {
		out = append(out, Input{Path: filepath.Join(corpusFolder, "files", f), Shown: f, Password: k.Password, Encoding: k.Job.Encoding, DateOrder: value.Order(k.Job.DateOrder)})
	}
	return out
}

func (k *corpusCase) check(t *testing.T) {
	res, err := tryRead(t, k.inputs(), Options{})
	if k.Nothing {
		require.ErrorIs(t, err, ErrNothing)
	} else {
		require.NoError(t, err)
	}
	r := result{res, t}
	if k.Error != "" {
		require.Error(t, r.Files[0].Err)
		assert.Contains(t, r.Files[0].Err.Error(), k.Error)
		var f *Fault
		require.True(t, errors.As(err, &f))
		assert.NotEmpty(t, f.Hint, "a refused file says what to do")
		return
	}
	for _, f := range r.Files {
		require.NoError(t, f.Err)
	}
	k.accounts(t, r)
	for unit, want := range k.Vehicles {
		want.check(t, r.vehicle(unit))
	}
	k.issues(t, r)
	k.said(t, r)
}

// place is how the corpus names a sheet: by its name, else by its file.
func (k *corpusCase) place(s score.Source) string {
	switch {
	case s.Sheet != "":
		return s.Sheet
	case len(k.Files) == 1:
		return ""
	}
	return s.File
}

func (k *corpusCase) accounts(t *testing.T, r result) {
	got := map[string]string{}
	for _, s := range r.Sheets {
		c := s.Counts
		assert.True(t, c.Balanced())
		got[k.place(s.Source)] = fmt.Sprintf("%d = %d used + %d set aside + %d rejected + %d merged + %d blank", c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank)
		if want := k.Holds[k.place(s.Source)]; want != nil {
			assert.Equal(t, want, s.Layout.Holds, "holds")
		}
		if want := k.Heading[k.place(s.Source)]; want != 0 {
			assert.Equal(t, want, s.Heading, "row of the headings")
		}
	}
	assert.Equal(t, k.Sheets, got)
	if t.Failed() {
		for _, i := range r.Fleet.Issues {
			t.Logf("%s %s: %q: %s (%s)", i.Severity, r.Fleet.Where(i.Ref), i.Value, i.Reason, i.Suggestion)
		}
	}
}

func (k *corpusCase) issues(t *testing.T, r result) {
	for _, want := range k.Issues {
		found := slices.ContainsFunc(r.Fleet.Issues, func(i score.Issue) bool {
			s, _ := r.Fleet.SourceOf(i.Ref)
			return k.place(s) == want.Sheet && int(i.Ref.Row) == want.Row && string(i.Severity) == want.Severity && (want.Column == "" || i.Column == want.Column) &&
				(want.Value == "" || i.Value == clip(want.Value)) && strings.Contains(i.Reason.String(), want.Says)
		})
		assert.True(t, found, "no issue %+v", want)
		if !found {
			for _, i := range r.Fleet.Issues {
				t.Logf("%s %s: %s %q: %s", i.Severity, r.Fleet.Where(i.Ref), i.Column, i.Value, i.Reason)
			}
		}
	}
}

// said looks for notes, and for what was asked in one message.
func (k *corpusCase) said(t *testing.T, r result) {
	var notes []say.Text
	for _, f := range r.Files {
		notes = append(notes, f.Notes...)
	}
	for _, s := range r.Sheets {
		notes = append(notes, s.Notes...)
	}
	for _, n := range k.Notes {
		assert.Contains(t, say.Join("\n", notes...).String(), n)
	}
	if len(k.Asks) == 0 {
		return
	}
	asked := 0
	for _, i := range r.Fleet.Issues {
		if strings.Contains(i.Suggestion.String(), "goes under inputs") && containsAll(i.Reason.String()+"\n"+i.Suggestion.String(), k.Asks...) {
			asked++
		}
	}
	assert.Equal(t, 1, asked, "one message asks all of %q", k.Asks)
}

func (w *corpusVehicle) check(t *testing.T, v *score.Vehicle) {
	t.Helper()
	same(t, w.VIN, string(v.VIN), "VIN")
	same(t, w.Make, v.Make, "make")
	same(t, w.Model, v.Model, "model")
	same(t, w.Depot, v.Depot, "depot")
	same(t, w.Year, v.ModelYear, "year")
	same(t, w.Row, int(v.Ref.Row), "row")
	same(t, w.Scans, len(v.Scans), "scans")
	km, days, hours := []float64{}, []string{}, []float64{}
	for _, r := range v.Readings {
		km, days = append(km, r.KM), append(days, r.Day.String())
	}
	for _, h := range v.Hours {
		hours = append(hours, h.KM)
	}
	same(t, w.KM, km, "readings")
	same(t, w.Days, days, "days of the readings")
	same(t, w.Hours, hours, "hours")
	codes, repairs, remarks := 0, []string{}, []string{}
	for _, s := range v.Scans {
		codes += len(s.Codes)
	}
	repairDays, statuses, repairKM := []string{}, []string{}, []float64{}
	for _, r := range v.Repairs {
		repairs, statuses = append(repairs, r.Text), append(statuses, string(r.Status))
		repairDays, repairKM = append(repairDays, r.Day.String()), append(repairKM, r.KM.Value)
	}
	same(t, w.RepairDays, repairDays, "days of the repairs")
	same(t, w.RepairKM, repairKM, "odometer of the repairs")
	same(t, w.Statuses, statuses, "statuses of the repairs")
	for _, r := range v.Remarks {
		remarks = append(remarks, r.Text)
	}
	same(t, w.Codes, codes, "codes")
	same(t, w.Repairs, repairs, "repairs")
	same(t, w.Remarks, remarks, "remarks")
}

func same[T any](t *testing.T, want *T, got T, what string) {
	t.Helper()
	if want != nil {
		assert.Equal(t, *want, got, what)
	}
}
