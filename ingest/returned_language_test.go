package ingest

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// headsIn are the headings of the tests' list in a language.
func headsIn(l *say.Language) []string {
	out := make([]string, len(headsOfTest))
	for i, h := range headsOfTest {
		out[i] = l.Say(slip.Words(h))
	}
	return out
}

func resultsIn(l *say.Language, rows ...answered) [][]string {
	out := [][]string{{l.Say(slip.SheetResults.Head(say.Plain("j")))}, headsIn(l)}
	for _, r := range rows {
		out = append(out, r.row())
	}
	return out
}

// TestReturnedInItsOwnLanguage: a list is read by the words of its own
// language, whatever the job's is by now. What is refused names the heading as
// it stands in the list.
func TestReturnedInItsOwnLanguage(t *testing.T) {
	found := func(want score.Result) func(*score.Inspection) bool {
		return func(n *score.Inspection) bool { return n.Result == want && n.Part == "pump" }
	}
	for _, c := range []struct {
		rule    string
		row     answered
		refused string
		holds   func(*score.Inspection) bool
	}{
		{"worn, as offered", answered{found: "desgastada", on: "2026-11-24"}, "", found(score.FoundWorn)},
		{"sound, as offered", answered{found: "en buen estado", on: "2026-11-24"}, "", found(score.FoundSound)},
		{"not opened, as offered", answered{found: "No abierta", on: "2026-11-24"}, "", found(score.NotOpened)},
		{"failed, as offered", answered{found: "averiada", on: "2026-11-24"}, "", found(score.FoundFailed)},
		{"the English word", answered{found: "worn", on: "2026-11-24"}, "", found(score.FoundWorn)},
		{"the first letter of this language", answered{found: "d", on: "2026-11-24"}, "", found(score.FoundWorn)},
		{"a letter of the other language is none", answered{found: "w", on: "2026-11-24"}, "Hallazgo", nil},
		{"an unknown word", answered{found: "regular", on: "2026-11-24"}, "Hallazgo", nil},
		{"a day as the list shows days", answered{found: "worn", on: "11/12/2026"}, "Día", nil},
		{"a day that reads both ways, the day first", answered{found: "worn", on: "24/11/2026"}, "", func(n *score.Inspection) bool { return n.Day == day(2026, 11, 24) }},
		{"miles with the marks of the language", answered{found: "worn", on: "2026-11-24", km: "124.300 mi"}, "", func(n *score.Inspection) bool { return n.KM == score.Is(200041) }},
		{"an odometer below the last", answered{found: "worn", on: "2026-11-24", km: "199.999"}, "Lectura, km", nil},
		{"a decimal comma", answered{play: "0,41", on: "2026-11-24"}, "", measured(score.Measure{Name: "play_mm", Value: 0.41})},
		{"no number", answered{force: "mucha", on: "2026-11-24"}, "Medido 2", nil},
	} {
		t.Run(c.rule, func(t *testing.T) {
			res := readRows(t, fleetOfTest, resultsIn(say.Spanish, c.row))
			v := &res.Fleet.Vehicles[0]
			counts := res.Fleet.Counts[1]
			if c.refused != "" {
				require.NotEmpty(t, res.Fleet.Issues)
				assert.Equal(t, 1, counts.Rejected)
				assert.Empty(t, v.Inspections)
				assert.Equal(t, c.refused, res.Fleet.Issues[0].Column)
				return
			}
			assert.Equal(t, 1, counts.Used, "%v", res.Fleet.Issues)
			require.Len(t, v.Inspections, 1)
			assert.True(t, c.holds(&v.Inspections[0]), "%+v", v.Inspections[0])
		})
	}
}

// TestReturnedDayFirst: 5/12/2026 in a list whose days stand as 24/11/2026 is
// 5 December; in an English one it is not decided.
func TestReturnedDayFirst(t *testing.T) {
	o := optionsOfTest()
	o.Day = day(2026, 12, 31)
	row := answered{found: "worn", on: "5/12/2026"}
	es := readRowsWith(t, o, fleetOfTest, resultsIn(say.Spanish, row))
	require.Len(t, es.Fleet.Vehicles[0].Inspections, 1)
	assert.Equal(t, day(2026, 12, 5), es.Fleet.Vehicles[0].Inspections[0].Day)
	en := readRowsWith(t, o, fleetOfTest, resultsIn(say.English, row))
	assert.Empty(t, en.Fleet.Vehicles[0].Inspections)
}

// TestReturnedInBothLanguages: the same list came back twice, before and after
// the job's language was changed; the copies say one thing.
func TestReturnedInBothLanguages(t *testing.T) {
	res := readRows(t, fleetOfTest, resultsIn(say.English, answered{found: "worn", on: "2026-11-24"}),
		resultsIn(say.Spanish, answered{found: "desgastada", on: "24/11/2026", km: "200300"}))
	v := &res.Fleet.Vehicles[0]
	require.Len(t, v.Inspections, 1, "%v", res.Fleet.Issues)
	assert.Equal(t, score.FoundWorn, v.Inspections[0].Result)
	assert.Equal(t, score.Is(200300), v.Inspections[0].KM)
	assert.Equal(t, [2]int{1, 1}, [2]int{res.Fleet.Counts[1].Used, res.Fleet.Counts[2].Used})
}

// TestReturnedPastedTogether: a Spanish list under an English one in one sheet;
// the headings nearest above a row hold for it.
func TestReturnedPastedTogether(t *testing.T) {
	second := answered{found: "d", on: "2026-11-25", change: func(s *slip.Slip) { s.Run = "2026-11-25" }}
	rows := append(resultsIn(say.English, answered{found: "s", on: "2026-11-24"}), resultsIn(say.Spanish, second)[1:]...)
	res := readRows(t, fleetOfTest, rows)
	var found []score.Result
	for _, n := range res.Fleet.Vehicles[0].Inspections {
		found = append(found, n.Result)
	}
	assert.ElementsMatch(t, []score.Result{score.FoundSound, score.FoundWorn}, found, "%v", res.Fleet.Issues)
}

// TestReturnedSheetsInEachLanguage: beside results the other sheets of the list
// are put aside, in each language; one's own are read.
func TestReturnedSheetsInEachLanguage(t *testing.T) {
	for _, l := range say.Languages() {
		for _, s := range slip.Sheets() {
			if l.Say(s.Name) == l.Say(slip.SheetResults.Name) || l.Say(s.Name) == l.Say(slip.SheetCards.Name) {
				continue
			}
			other := [][]string{{l.Say(s.Head(say.Plain("j")))}, {"Unit", "km", "date"}, {"Q-001", "250000", "2026-11-25"}}
			if title := l.Say(s.Title); title[len(title)-1] != ' ' {
				other[0][0] = title
			}
			res := readRows(t, fleetOfTest, resultsIn(l, answered{found: "worn", on: "2026-11-24"}), other)
			assert.Equal(t, 3, res.Fleet.Counts[2].SetAside, "%s: %s", l.Tag, l.Say(s.Name))
			assert.Len(t, res.Fleet.Vehicles[0].Readings, 1, "%s: %s", l.Tag, l.Say(s.Name))
		}
	}
}

// TestReturnedCardsInEachLanguage: a card names its cells itself.
func TestReturnedCardsInEachLanguage(t *testing.T) {
	for _, l := range say.Languages() {
		row := func(fills slip.Fills, label say.Text, cells ...string) []string {
			s := slipOfTest()
			if s.Fills = fills; fills == slip.Visit {
				s.Part, s.Name, s.Row, s.Measures = "", "", 0, nil
			}
			if fills == slip.Measure {
				s.Measures = s.Measures[:1]
			}
			out := append([]string{l.Say(label)}, cells...)
			for len(out) < slip.CardSlip {
				out = append(out, "")
			}
			return append(out, s.String())
		}
		say1 := func(t say.Text) string { return l.Say(t) }
		visit := row(slip.Visit, slip.Words(slip.HeadOdometer), "200300", say1(slip.Words(slip.HeadDay)), "2026-11-24", say1(slip.Words(slip.HeadInitials)), "JH")
		letter := map[string]string{"en": "w", "es": "d"}[l.Tag]
		found := say.F("Found: ring, or write here")
		good := [][]string{row(slip.Found, found, letter), row(slip.Measure, say.F("Measure"), "play mm", "", "", "0,4"), visit}
		res := readRows(t, fleetOfTest, good)
		require.Len(t, res.Fleet.Vehicles[0].Inspections, 1, "%s: %v", l.Tag, res.Fleet.Issues)
		n := res.Fleet.Vehicles[0].Inspections[0]
		assert.Equal(t, "worn [{play_mm 0.4}] JH 200300", fmt.Sprintf("%s %v %s %g", n.Result, n.Measures, n.By, n.KM.Value), l.Tag)

		bad := readRows(t, fleetOfTest, [][]string{row(slip.Found, found, "hm so so"), row(slip.Measure, say.F("Measure"), "play mm", "", "", "lots"), visit})
		var columns []string
		for _, i := range bad.Fleet.Issues {
			columns = append(columns, i.Column)
		}
		assert.ElementsMatch(t, []string{l.Say(slip.Words(slip.HeadFound)), l.F("Measure") + " play mm"}, columns)
	}
}
