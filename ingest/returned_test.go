package ingest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/slip"
)

// The list of these tests: unit Q-001, part pump with two measures, made on
// 2026-11-23, its last reading 200,000 km. The run is on 2026-11-30.
func slipOfTest() slip.Slip {
	return slip.Slip{Fills: slip.All, Job: "j", Run: "2026-11-23", Row: 1, Card: 1, Unit: "Q-001", Part: "pump", Name: "Pump",
		LastKM: 200000, Measures: []string{"play_mm", "force_n"}}
}

var (
	fleetOfTest = [][]string{{"unit", "make", "model", "odometer", "odometer date"}, {"Q-001", "Northfold", "Heron", "200000", "2026-11-20"}}
	headsOfTest = []string{slip.HeadRow, slip.HeadUnit, slip.HeadPart, slip.HeadFound, slip.HeadDone, slip.HeadOdometer, slip.HeadDay,
		slip.HeadInitials, slip.HeadValue(0), slip.HeadValue(1), slip.Heading}
)

// answered is a row of the sheet of results.
type answered struct {
	found, done, km, on, by, play, force string
	change                               func(*slip.Slip)
}

func (a answered) row() []string {
	s := slipOfTest()
	if a.change != nil {
		a.change(&s)
	}
	return []string{"1", s.Vehicle(), s.Name, a.found, a.done, a.km, a.on, a.by, a.play, a.force, s.String()}
}

func slipTypedOver() string {
	s := slipOfTest()
	return strings.Replace(s.String(), "part=pump", "part=rack", 1)
}

func results(rows ...answered) [][]string {
	out := [][]string{{"Results: j"}, headsOfTest}
	for _, r := range rows {
		out = append(out, r.row())
	}
	return out
}

// TestReturnedCells: how each cell of a returned row is read. What is refused
// names the cell; "" where the row is used.
func TestReturnedCells(t *testing.T) {
	worn := func(n *score.Inspection) bool { return n.Result == score.FoundWorn }
	for _, c := range []struct {
		rule    string
		row     answered
		refused string // column of the cell
		holds   func(*score.Inspection) bool
	}{
		{"the word as offered", answered{found: "worn", on: "2026-11-24"}, "", worn},
		{"its first letter, in any case", answered{found: "W", on: "2026-11-24"}, "", worn},
		{"another language of the trade", answered{found: "verschlissen", on: "2026-11-24"}, "", worn},
		{"not opened is a finding of its own", answered{found: "n", on: "2026-11-24"}, "", func(n *score.Inspection) bool { return n.Result == score.NotOpened }},
		{"an unknown word", answered{found: "iffy", on: "2026-11-24"}, slip.HeadFound, nil},
		{"an error of the spreadsheet is no empty cell", answered{found: "#REF!", on: "2026-11-24"}, slip.HeadFound, nil},
		{"a day as a workbook stores it", answered{found: "worn", on: "46350"}, "", func(n *score.Inspection) bool { return n.Day == day(2026, 11, 24) }},
		{"the list's own day", answered{found: "worn", on: "2026-11-23"}, "", worn},
		{"the day before the list", answered{found: "worn", on: "2026-11-22"}, slip.HeadDay, nil},
		{"the day of the run", answered{found: "worn", on: "2026-11-30"}, "", worn},
		{"the day after the run", answered{found: "worn", on: "2026-12-01"}, slip.HeadDay, nil},
		{"a day that reads both ways", answered{found: "worn", on: "11/12/2026"}, slip.HeadDay, nil},
		{"no day at all: the list's", answered{found: "worn"}, "", func(n *score.Inspection) bool { return n.Undated && n.Day == day(2026, 11, 23) }},
		{"the odometer that the list has", answered{found: "worn", on: "2026-11-24", km: "200000"}, "", func(n *score.Inspection) bool { return n.KM == score.Is(200000) }},
		{"an odometer below it", answered{found: "worn", on: "2026-11-24", km: "199,999"}, slip.HeadOdometer, nil},
		{"miles are read as miles", answered{found: "worn", on: "2026-11-24", km: "124,300 mi"}, "", func(n *score.Inspection) bool { return n.KM == score.Is(200041) }},
		{"an odometer in hours", answered{found: "worn", on: "2026-11-24", km: "200000 h"}, slip.HeadOdometer, nil},
		{"an odometer that nothing drives", answered{found: "worn", on: "2026-11-24", km: "20000000"}, slip.HeadOdometer, nil},
		{"a decimal comma", answered{play: "0,41", on: "2026-11-24"}, "", measured(score.Measure{Name: "play_mm", Value: 0.41})},
		{"the measure's own unit behind it", answered{play: "0.41 mm", force: "150N", on: "2026-11-24"}, "",
			measured(score.Measure{Name: "force_n", Value: 150}, score.Measure{Name: "play_mm", Value: 0.41})},
		{"another unit", answered{play: "3 km", on: "2026-11-24"}, "Measured", nil},
		{"no number", answered{force: "strong", on: "2026-11-24"}, "Measured 2", nil},
		{"a value beyond the part's measures", answered{force: "1", on: "2026-11-24", change: func(s *slip.Slip) { s.Measures = s.Measures[:1] }}, "Measured 2", nil},
	} {
		t.Run(c.rule, func(t *testing.T) {
			res := readRows(t, fleetOfTest, results(c.row))
			v := &res.Fleet.Vehicles[0]
			counts := res.Fleet.Counts[1]
			if c.refused != "" {
				assert.Equal(t, 1, counts.Rejected)
				assert.Empty(t, v.Inspections)
				issue := res.Fleet.Issues[0]
				assert.Equal(t, score.Rejected, issue.Severity)
				assert.Equal(t, c.refused, issue.Column)
				assert.Equal(t, int32(3), issue.Ref.Row)
				assert.NotEmpty(t, issue.Suggestion, issue.Reason)
				return
			}
			assert.Equal(t, 1, counts.Used, "%v", res.Fleet.Issues)
			require.Len(t, v.Inspections, 1)
			assert.True(t, c.holds(&v.Inspections[0]), "%+v", v.Inspections[0])
			assert.Equal(t, "pump", v.Inspections[0].Part)
		})
	}
}

func measured(want ...score.Measure) func(*score.Inspection) bool {
	return func(n *score.Inspection) bool { return n.Result == "" && fmt.Sprint(n.Measures) == fmt.Sprint(want) }
}

// TestReturnedRows: what becomes of whole rows.
func TestReturnedRows(t *testing.T) {
	full := answered{found: "worn", done: "pump replaced", on: "2026-11-24", km: "200300", by: "JH", play: "0.4"}
	type classes struct{ used, setAside, rejected, merged, blank int }
	for _, c := range []struct {
		rule      string
		sheets    [][][]string
		want      []classes
		facts     string // inspections, repairs, readings
		wantFound score.Result
	}{
		{"nothing filled in adds nothing", [][][]string{results(answered{})}, []classes{{blank: 3}}, "0 0 1", ""},
		{"a full row is an inspection and a repair", [][][]string{results(full)}, []classes{{used: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"the same twice counts once", [][][]string{results(full, full), results(full)}, []classes{{used: 1, merged: 1, blank: 2}, {merged: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"a fuller copy completes an earlier one", [][][]string{results(answered{found: "worn"}), results(full)}, []classes{{used: 1, blank: 2}, {used: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"a later copy with less takes nothing away", [][][]string{results(full), results(answered{found: "worn"})}, []classes{{used: 1, blank: 2}, {merged: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"copies that contradict each other", [][][]string{results(answered{found: "worn", on: "2026-11-24"}), results(answered{found: "sound", on: "2026-11-24"})},
			[]classes{{rejected: 1, blank: 2}, {rejected: 1, blank: 2}}, "0 0 1", ""},
		{"a wrong copy does not spoil a good one", [][][]string{results(answered{found: "iffy"}), results(full)}, []classes{{rejected: 1, blank: 2}, {used: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"a text that goes on says more", [][][]string{results(answered{done: "pump replaced"}), results(answered{done: "Pump replaced, seals too"})}, []classes{{used: 1, blank: 2}, {used: 1, blank: 2}}, "0 1 1", ""},
		{"initials that differ are no contradiction", [][][]string{results(answered{found: "worn", on: "2026-11-24", by: "JH"}), results(answered{found: "worn", on: "2026-11-24", by: "AB"})},
			[]classes{{used: 1, blank: 2}, {merged: 1, blank: 2}}, "1 0 1", score.FoundWorn},
		{"another list of the same vehicle is another look", [][][]string{results(full), results(answered{found: "sound", on: "2026-11-30", change: func(s *slip.Slip) { s.Run = "2026-11-30" }})},
			[]classes{{used: 1, blank: 2}, {used: 1, blank: 2}}, "2 1 1", score.FoundWorn},
		{"a day and an odometer alone are a reading", [][][]string{results(answered{on: "2026-11-24", km: "200300"})}, []classes{{used: 1, blank: 2}}, "0 0 2", ""},
		{"a day alone says nothing", [][][]string{results(answered{on: "2026-11-24", by: "JH"})}, []classes{{setAside: 1, blank: 2}}, "0 0 1", ""},
		{"a list made after the run's day", [][][]string{results(answered{found: "worn", change: func(s *slip.Slip) { s.Run = "2026-12-07" }})}, []classes{{setAside: 1, blank: 2}}, "0 0 1", ""},
		{"a part that has left the catalogue", [][][]string{results(answered{found: "worn", change: func(s *slip.Slip) { s.Part = "gone" }})}, []classes{{setAside: 1, blank: 2}}, "0 0 1", ""},
		{"a vehicle that has left the fleet", [][][]string{results(answered{found: "worn", change: func(s *slip.Slip) { s.Unit = "Q-999" }})}, []classes{{setAside: 1, blank: 2}}, "0 0 1", ""},
		{"a sheet of the list beside the results", [][][]string{results(full), {{"Look first: j"}, {"Unit", "km"}, {"Q-001", "250000"}}}, []classes{{used: 1, blank: 2}, {setAside: 3}}, "1 1 1", score.FoundWorn},
		{"a sheet of one's own beside the results", [][][]string{results(full), {{"Unit", "km", "date"}, {"Q-001", "200500", "2026-11-25"}}}, []classes{{used: 1, blank: 2}, {used: 1, blank: 1}}, "1 1 2", score.FoundWorn},
		{"two lists pasted under one another", [][][]string{append(results(answered{found: "worn", on: "2026-11-24"}),
			headsOfTest[1:], answered{found: "sound", on: "2026-11-25", change: func(s *slip.Slip) { s.Run = "2026-11-25" }}.row()[1:])},
			[]classes{{used: 2, blank: 3}}, "2 0 1", score.FoundWorn},
		{"a row put in without a word of what was found", [][][]string{append(results(full), []string{"", "note: see the office"})}, []classes{{used: 1, setAside: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"an identifier that was typed over", [][][]string{append(results(full), append(answered{found: "worn"}.row()[:10], slipTypedOver()))}, []classes{{used: 1, rejected: 1, blank: 2}}, "1 1 1", score.FoundWorn},
		{"a part's name that was typed over", [][][]string{append(results(), append([]string{"1", "Q-001", "Rack joint"}, answered{found: "worn"}.row()[3:]...))}, []classes{{rejected: 1, blank: 2}}, "0 0 1", ""},
		{"some columns sorted without the others", [][][]string{append(results(), append([]string{"7", "Q-004", "Pump"}, answered{found: "worn"}.row()[3:]...))}, []classes{{rejected: 1, blank: 2}}, "0 0 1", ""},
		{"results that lost their row of headings", [][][]string{results(full)[2:]}, []classes{{setAside: 1}}, "0 0 1", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			res := readRows(t, append([][][]string{fleetOfTest}, c.sheets...)...)
			for i, want := range c.want {
				n := res.Fleet.Counts[i+1]
				assert.Equal(t, want, classes{n.Used, n.SetAside, n.Rejected, n.Merged, n.Blank}, "sheet %d: %v", i, res.Fleet.Issues)
			}
			v := &res.Fleet.Vehicles[0]
			assert.Equal(t, c.facts, fmt.Sprint(len(v.Inspections), len(v.Repairs), len(v.Readings)))
			found := score.Result("")
			if len(res.Answers) > 0 {
				found = res.Answers[0].Found
			}
			assert.Equal(t, c.wantFound, found)
		})
	}
}

// TestReturnedManyCopies: a column of identifiers filled down makes every row
// a copy of the first; each is told of once, not each pair of them.
func TestReturnedManyCopies(t *testing.T) {
	rows := []answered{{found: "worn", on: "2026-11-24"}}
	for range 2000 {
		rows = append(rows, answered{found: "sound", on: "2026-11-24"})
	}
	res := readRows(t, fleetOfTest, results(rows...))
	assert.Equal(t, 2001, res.Fleet.Counts[1].Rejected)
	assert.Len(t, res.Fleet.Issues, 2001)
	assert.Empty(t, res.Fleet.Vehicles[0].Inspections)
}

// TestReturnedCardToldOnce: the odometer of a card is wrong once, though it
// stands for each of its parts, and none of them is used.
func TestReturnedCardToldOnce(t *testing.T) {
	var cards [][]string
	for _, part := range []string{"pump", "rack"} {
		s := slipOfTest()
		s.Fills, s.Part, s.Name = slip.Found, part, part
		cards = append(cards, []string{"Found", "worn", "", "", "", "", s.String()})
	}
	visit := slipOfTest()
	visit.Fills, visit.Part, visit.Name, visit.Row, visit.Measures = slip.Visit, "", "", 0, nil
	cards = append(cards, []string{"Odometer, km", "199000", "Day", "2026-11-24", "Initials", "JH", visit.String()})
	o := optionsOfTest()
	o.Parts = nil
	res := readRowsWith(t, o, fleetOfTest, cards)
	n := res.Fleet.Counts[1]
	assert.Equal(t, [3]int{0, 2, 1}, [3]int{n.Used, n.SetAside, n.Rejected})
	assert.Len(t, res.Fleet.Issues, 1)
	assert.Equal(t, "199000", res.Fleet.Issues[0].Value)
}

// TestReturnedContradictionNamesBothPlaces: each of the two cells is told of,
// and points to the other.
func TestReturnedContradictionNamesBothPlaces(t *testing.T) {
	res := readRows(t, fleetOfTest, results(answered{found: "worn", on: "2026-11-24"}), results(answered{found: "sound", on: "2026-11-25"}))
	var said []string
	for _, i := range res.Fleet.Issues {
		said = append(said, fmt.Sprintf("%s %s: %s", res.Fleet.Where(i.Ref), i.Column, i.Reason))
	}
	assert.Equal(t, []string{
		"memory.xlsx, sheet 1, row 3 Day: says 2026-11-24, but memory.xlsx, sheet 2, row 3 says 2026-11-25 of the same part of the same list; neither is used",
		"memory.xlsx, sheet 1, row 3 Found: says worn, but memory.xlsx, sheet 2, row 3 says sound of the same part of the same list; neither is used",
		"memory.xlsx, sheet 2, row 3 Day: says 2026-11-25, but memory.xlsx, sheet 1, row 3 says 2026-11-24 of the same part of the same list; neither is used",
		"memory.xlsx, sheet 2, row 3 Found: says sound, but memory.xlsx, sheet 1, row 3 says worn of the same part of the same list; neither is used",
	}, said)
}
