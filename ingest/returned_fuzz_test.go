package ingest

import (
	"context"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/slip"
)

// FuzzReturned fills in two copies of a list and its card with anything: no
// entry panics, every row has its class, and no fact lies outside the days
// from the list to the run.
func FuzzReturned(f *testing.F) {
	f.Add("worn", "0.41", "252400", "2026-11-24", "pump replaced", "sound", "2026-11-24", "")
	f.Add("W", "0,41 mm", "134,400 mi", "46350", "", "", "25/11/2026", "Q-002")
	f.Add("#REF!", "1e400", "-1", "0", "a\x00b", "failed", "2027-01-01", "Rack joint")
	unit := slip.Slip{Fills: slip.All, Job: "j", Run: "2026-11-23", Row: 1, Card: 1, Unit: "Q-001", Part: "pump", Name: "Pump", LastKM: 200000, Measures: []string{"play_mm"}}
	f.Fuzz(func(t *testing.T, found, measured, km, on, done, found2, on2, part string) {
		heads := []string{slip.HeadRow, slip.HeadUnit, slip.HeadPart, slip.HeadFound, slip.HeadDone, slip.HeadOdometer, slip.HeadDay, slip.HeadInitials, slip.HeadValue(0), slip.Heading}
		card := func(fills slip.Fills, cells map[int]string) []string {
			s := unit
			s.Fills = fills
			if fills == slip.Visit {
				s.Part, s.Name, s.Row = "", "", 0
			}
			row := make([]string, slip.CardSlip+1)
			for i, c := range cells {
				row[i] = c
			}
			row[slip.CardSlip] = s.String()
			return row
		}
		res := readRows(t,
			[][]string{{"unit", "make", "model", "odometer", "odometer date"}, {"Q-001", "Northfold", "Heron", "199000", "2026-11-20"}},
			[][]string{heads,
				{"1", "Q-001", "Pump", found, done, km, on, "JH", measured, unit.String()},
				{"1", "Q-001", part, found2, "", "", on2, "", "", unit.String()},
				{"", part, "", found2, "", "", "", "", "", part}},
			[][]string{card(slip.Found, map[int]string{slip.CardFound: found2}), card(slip.Measure, map[int]string{slip.CardMeasured: measured}),
				card(slip.Done, map[int]string{slip.CardDone: done}), card(slip.Visit, map[int]string{slip.CardOdometer: km, slip.CardDay: on2})},
		)
		require.NotNil(t, res, "the fleet's own sheet is read whatever comes back")
		from, to := day(2026, 11, 23), day(2026, 11, 30)
		for i := range res.Fleet.Vehicles {
			v := &res.Fleet.Vehicles[i]
			for _, n := range v.Inspections {
				require.True(t, n.Day >= from && n.Day <= to, "%v", n)
			}
			for _, n := range v.Repairs {
				require.True(t, n.Day >= from && n.Day <= to, "%v", n)
			}
		}
	})
}

// rowsInMemory hands out rows as a file would.
type rowsInMemory struct {
	rows [][]string
	at   int
}

func (r *rowsInMemory) Read() (int, []string, error) {
	if r.at == len(r.rows) {
		return 0, nil, io.EOF
	}
	r.at++
	return r.at, r.rows[r.at-1], nil
}

// readRows reads sheets from memory; nil where nothing of them is a fleet.
func readRows(t *testing.T, sheets ...[][]string) *Result {
	t.Helper()
	return readRowsWith(t, optionsOfTest(), sheets...)
}

func optionsOfTest() Options {
	return Options{Day: day(2026, 11, 30), Measures: []string{"play_mm"}, Parts: []string{"pump"}}
}

func readRowsWith(t *testing.T, o Options, sheets ...[][]string) *Result {
	t.Helper()
	f := &file{input: &Input{Path: "memory.xlsx"}, opts: &o}
	for _, cells := range sheets {
		s := f.newSheet(fmt.Sprint(len(f.sheets)), nil)
		require.NoError(t, s.read(context.Background(), func() (rows, error) { return &rowsInMemory{rows: cells}, nil }))
		f.sheets = append(f.sheets, s)
	}
	f.listed()
	res, err := assemble([]*file{f}, &o)
	if err != nil {
		require.ErrorIs(t, err, ErrNothing)
		return nil
	}
	for _, c := range res.Fleet.Counts {
		require.True(t, c.Balanced(), "%+v", c)
	}
	return res
}
