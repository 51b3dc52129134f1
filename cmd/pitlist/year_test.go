package main

import (
	"cmp"
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/config/demo"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// aYear is how many weeks are played.
const aYear = 52

// weeks plays the demo's fleet on: each week the files of the week lie in the
// intake, the list is made by the scheduled job's own way under a clock handed
// in, and what the workshop finds by the simulated truth is typed into the
// list's workbook, which comes back the week after. Older files are gone from
// the intake: what they said stands in the record.
type weeks struct {
	*testing.T
	dir   string
	fleet *demo.Onward
	kept  scorers
	speak *say.Language // nil: the job's
	costs map[string]float64
	spent map[string][]float64 // hours by depot, a week each
}

func newWeeks(t *testing.T, seed uint64) *weeks {
	_, dir := demoFolder(t, seed)
	text, err := os.ReadFile(filepath.Join(dir, demo.JobName))
	require.NoError(t, err)
	first := strings.Replace(string(text), "keep: 10", "keep: 3", 1) + "history: year.db\n"
	from, to := strings.Index(first, "  - path:"), strings.Index(first, "catalogue:")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "first.yaml"), []byte(first), 0o600))
	later := first[:from] + "  - path: intake/*.csv\n  - path: intake/*.xlsx\n" + first[to:]
	require.NoError(t, os.WriteFile(filepath.Join(dir, "year.yaml"), []byte(later), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "intake"), 0o700))
	return &weeks{T: t, dir: dir, fleet: demo.PlayOn(seed), costs: map[string]float64{}, spent: map[string][]float64{}}
}

// firstDay is the day of the first list.
func firstDay(t *testing.T) score.Day {
	d, err := parseDay(demo.Day)
	require.NoError(t, err)
	return d
}

// list makes one week's list.
func (w *weeks) list(day score.Day, job string) (*batch, *report.Document, string) {
	b, err := configure(filepath.Join(w.dir, job), day, nil)
	require.NoError(w, err)
	b.scorers, b.language, b.clock = &w.kept, w.speak, func() time.Time { return day.Time().Add(5 * time.Hour) }
	f, err := hold(b.job.OutputFolder())
	require.NoError(w, err)
	defer f.release()
	name, doc, err := b.carryOut(context.Background(), f)
	require.NoError(w, err)
	return b, doc, filepath.Join(b.job.OutputFolder(), name, workbookName)
}

// hours notes what the list took at each depot.
func (w *weeks) hours(b *batch) {
	for _, d := range b.list.Depots {
		w.spent[d.Name] = append(w.spent[d.Name], d.Used)
	}
}

// answer types in what the workshop finds of every part on the list, and saves
// the workbook into the intake.
func (w *weeks) answer(doc *report.Document, book string, day score.Day) {
	f, err := excelize.OpenFile(book)
	require.NoError(w, err)
	defer f.Close()
	speak := cmp.Or(w.speak, say.English)
	sheet, words := speak.Say(slip.SheetResults.Name), func(heading string) string { return speak.Say(slip.Words(heading)) }
	rows, err := f.GetRows(sheet)
	require.NoError(w, err)
	head := slices.IndexFunc(rows, func(r []string) bool { return slices.Contains(r, words(slip.HeadFound)) })
	require.GreaterOrEqual(w, head, 0)
	at := func(name string) int { return slices.Index(rows[head], words(name)) }
	for i, r := range doc.Results {
		row := head + 1 + i
		if row >= len(rows) || !r.SoFar.Empty() {
			continue
		}
		require.Equal(w, r.Slip.Unit, rows[row][at(slip.HeadUnit)])
		found, done := w.fleet.Open(r.Slip.Unit, r.Slip.Part)
		for name, v := range map[string]any{slip.HeadFound: speak.F(found), slip.HeadDone: done, slip.HeadDay: day.Time(), slip.HeadInitials: "JH"} {
			if v == "" {
				continue
			}
			cell, err := excelize.CoordinatesToCellName(at(name)+1, row+1)
			require.NoError(w, err)
			require.NoError(w, f.SetCellValue(sheet, cell, v))
		}
	}
	require.NoError(w, f.SaveAs(filepath.Join(w.dir, "intake", "back.xlsx")))
}

// week lets the fleet drive on and puts its files into the intake.
func (w *weeks) week() {
	for _, f := range w.fleet.Week(func(part string) float64 { return w.costs[part] }) {
		require.NoError(w, os.WriteFile(filepath.Join(w.dir, filepath.FromSlash(f.Path)), f.Data, 0o600))
	}
}

// TestYear plays 52 weeks with results typed back, and the same year of the
// same fleet with the same bay-hours given to mileage order.
func TestYear(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("a year of weekly lists")
	}
	w := newWeeks(t, demo.Seed)
	day := firstDay(t)
	b, doc, book := w.list(day, "first.yaml")
	for i := range b.catalogue.Parts {
		p := &b.catalogue.Parts[i]
		w.costs[p.ID] = p.Costs.Failure + p.Costs.OffRoadDays*b.job.Money.OffRoadDay
	}
	w.hours(b)
	var last *report.Document
	for range aYear {
		w.answer(doc, book, day)
		w.week()
		day += 7
		b, doc, book = w.list(day, "year.yaml")
		w.hours(b)
		last = doc
	}
	for _, line := range last.Head {
		t.Log(line)
	}
	require.NotNil(t, last.Week)
	assert.True(t, last.Week.PromiseHolds, "hits lie within what the lists promised: %s", last.Week.Kept)
	assert.Greater(t, last.Week.Opened, 1000, "every result that was typed in came back")
	served := w.fleet.Served
	t.Logf("with the list: %d failures in service, EUR %.0f; %d parts opened, %d worn", served.Failures, served.Lost, served.Opened, served.Hits)

	other := byMileage(w, b)
	t.Logf("by mileage, the same hours: %d failures in service, EUR %.0f; %d parts opened, %d worn", other.Failures, other.Lost, other.Opened, other.Hits)
	assert.Less(t, served.Failures, other.Failures)
	assert.Less(t, served.Lost, other.Lost)
	assert.Greater(t, served.Hits, other.Hits)
}

// byMileage spends the same hours, week by week and depot by depot, on the
// vehicles with the highest mileage that nobody has opened for half a year.
func byMileage(w *weeks, b *batch) demo.Served {
	fleet := demo.PlayOn(demo.Seed)
	order := make([]*score.Assessment, 0, len(b.assessed))
	for i := range b.assessed {
		order = append(order, &b.assessed[i])
	}
	slices.SortFunc(order, func(x, y *score.Assessment) int {
		return cmp.Or(cmp.Compare(y.Odometer.KM, x.Odometer.KM), cmp.Compare(x.Vehicle.Unit, y.Vehicle.Unit))
	})
	opened := map[string]int{}
	for week := range aYear {
		for depot, hours := range w.spent {
			left := hours[week]
			for _, a := range order {
				if at, was := opened[a.Vehicle.Unit]; a.Vehicle.Depot != depot || was && week-at < 26 {
					continue
				}
				need := allHours(a)
				if need == 0 || need > left {
					continue
				}
				left -= need
				opened[a.Vehicle.Unit] = week
				for j := range a.Findings {
					if f := &a.Findings[j]; f.Standing != score.NotOfRange && f.Belonging.Membership != score.Outside {
						fleet.Open(a.Vehicle.Unit, f.Part.ID)
					}
				}
			}
		}
		fleet.Week(func(part string) float64 { return w.costs[part] })
	}
	return fleet.Served
}

// allHours is a look at every part that the catalogue may fit, in quarters of
// an hour.
func allHours(a *score.Assessment) float64 {
	setUp, sum := map[string]float64{}, 0.0
	for j := range a.Findings {
		f := &a.Findings[j]
		if f.Standing == score.NotOfRange || f.Belonging.Membership == score.Outside {
			continue
		}
		n := &f.Part.Inspection
		sum += n.Hours
		setUp[n.Visit] = max(setUp[n.Visit], n.SetUpHours)
	}
	for _, h := range setUp {
		sum += h
	}
	return math.Ceil(sum*4-1e-9) / 4
}
