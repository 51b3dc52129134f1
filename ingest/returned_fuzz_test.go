package ingest

import (
	"context"
	"io"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/slip"
)

// fleetOfList is the sheet of vehicles that a list is returned to.
var fleetOfList = [][]string{{"unit", "make", "model", "odometer", "odometer date"}, {"Q-001", "Northfold", "Heron", "199000", "2026-11-20"}}

// FuzzReturned fills in two copies of a list and its card with anything: no
// entry panics, every row has its class, and no fact lies outside the days
// from the list to the run. The fleet's own sheet is always the same and is
// read once.
func FuzzReturned(f *testing.F) {
	f.Add("worn", "0.41", "252400", "2026-11-24", "pump replaced", "sound", "2026-11-24", "")
	f.Add("W", "0,41 mm", "134,400 mi", "46350", "", "", "25/11/2026", "Q-002")
	f.Add("#REF!", "1e400", "-1", "0", "a\x00b", "failed", "2027-01-01", "Rack joint")
	list, fleet := newListRows(), newInMemory(optionsOfTest()).add(f, fleetOfList).sheets[0]
	f.Fuzz(func(t *testing.T, found, measured, km, on, done, found2, on2, part string) {
		m := newInMemory(optionsOfTest())
		m.sheets = append(m.sheets, fleet.again(&m.file))
		results, cards := list.filled(found, measured, km, on, done, found2, on2, part)
		res := m.add(t, results).add(t, cards).assembled(t)
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

// TestSheetAgain: a sheet that was read once gives the same fleet each time it is
// joined, as one that is read each time.
func TestSheetAgain(t *testing.T) {
	list, fleet := newListRows(), newInMemory(optionsOfTest()).add(t, fleetOfList).sheets[0]
	for _, filled := range [][8]string{
		{"worn", "0.41", "252400", "2026-11-24", "pump replaced", "", "2026-11-24", ""},
		{"worn", "0.41", "252400", "2026-11-24", "pump replaced", "sound", "2026-11-24", "Q-001"},
		{"worn", "0.41", "252400", "2026-11-24", "pump replaced", "", "2026-11-24", ""},
		{"#REF!", "1e400", "-1", "0", "a\x00b", "failed", "2027-01-01", "Rack joint"},
	} {
		rows := func() (results, cards [][]string) {
			return list.filled(filled[0], filled[1], filled[2], filled[3], filled[4], filled[5], filled[6], filled[7])
		}
		results, cards := rows()
		want := readRows(t, fleetOfList, results, cards)
		m := newInMemory(optionsOfTest())
		m.sheets = append(m.sheets, fleet.again(&m.file))
		results, cards = rows()
		got := m.add(t, results).add(t, cards).assembled(t)
		require.Equal(t, want, got)
		require.Len(t, got.Fleet.Vehicles, 1)
	}
}

// listRows is a list of one part as it was handed out: its headings and identifiers.
type listRows struct {
	heads                             []string
	unit, found, measure, done, visit string // identifiers
}

func newListRows() *listRows {
	s := slip.Slip{Fills: slip.All, Job: "j", Run: "2026-11-23", Row: 1, Card: 1, Unit: "Q-001", Part: "pump", Name: "Pump", LastKM: 200000, Measures: []string{"play_mm"}}
	l := &listRows{unit: s.String(),
		heads: []string{slip.HeadRow, slip.HeadUnit, slip.HeadPart, slip.HeadFound, slip.HeadDone, slip.HeadOdometer, slip.HeadDay, slip.HeadInitials, slip.HeadValue(0), slip.Heading}}
	for fills, text := range map[slip.Fills]*string{slip.Found: &l.found, slip.Measure: &l.measure, slip.Done: &l.done} {
		s.Fills = fills
		*text = s.String()
	}
	s.Fills, s.Part, s.Name, s.Row = slip.Visit, "", "", 0
	l.visit = s.String()
	return l
}

// filled is the list with its cells filled in: the rows of its results and of its card.
func (l *listRows) filled(found, measured, km, on, done, found2, on2, part string) (results, cards [][]string) {
	card := func(id string, cells map[int]string) []string {
		row := make([]string, slip.CardSlip+1)
		for i, c := range cells {
			row[i] = c
		}
		row[slip.CardSlip] = id
		return row
	}
	return [][]string{l.heads,
			{"1", "Q-001", "Pump", found, done, km, on, "JH", measured, l.unit},
			{"1", "Q-001", part, found2, "", "", on2, "", "", l.unit},
			{"", part, "", found2, "", "", "", "", "", part}},
		[][]string{card(l.found, map[int]string{slip.CardFound: found2}), card(l.measure, map[int]string{slip.CardMeasured: measured}),
			card(l.done, map[int]string{slip.CardDone: done}), card(l.visit, map[int]string{slip.CardOdometer: km, slip.CardDay: on2})}
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
	m := newInMemory(o)
	for _, cells := range sheets {
		m.add(t, cells)
	}
	return m.assembled(t)
}

// inMemory is a file whose sheets are in memory.
type inMemory struct {
	file
	o Options
}

func newInMemory(o Options) *inMemory {
	m := &inMemory{o: o}
	m.file = file{input: &Input{Path: "memory.xlsx"}, opts: &m.o}
	return m
}

// add reads one more sheet.
func (m *inMemory) add(t testing.TB, cells [][]string) *inMemory {
	t.Helper()
	s := m.newSheet(strconv.Itoa(len(m.sheets)), nil)
	require.NoError(t, s.read(context.Background(), func() (rows, error) { return &rowsInMemory{rows: cells}, nil }))
	m.sheets = append(m.sheets, s)
	return m
}

// assembled makes the fleet; nil where nothing of the sheets is one.
func (m *inMemory) assembled(t *testing.T) *Result {
	t.Helper()
	m.listed()
	res, err := assemble([]*file{&m.file}, &m.o)
	if err != nil {
		require.ErrorIs(t, err, ErrNothing)
		return nil
	}
	for _, c := range res.Fleet.Counts {
		require.True(t, c.Balanced(), "%+v", c)
	}
	return res
}

// again is the sheet as if it had been read for another file: what joining changes is copied.
func (s *sheet) again(f *file) *sheet {
	c := *s
	c.file = f
	c.classes, c.issues = slices.Clone(s.classes), slices.Clone(s.issues)
	c.named, c.vehicles, c.vins = s.named.again(), s.vehicles.again(), s.vins.again()
	c.scans, c.repairs, c.inspections = s.scans.again(), s.repairs.again(), s.inspections.again()
	c.readings, c.hours, c.remarks = s.readings.again(), s.hours.again(), s.remarks.again()
	return &c
}

func (p *pile[T]) again() pile[T] {
	c := pile[T]{n: p.n}
	for _, piece := range p.pieces {
		c.pieces = append(c.pieces, slices.Clone(piece))
	}
	return c
}
