package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/odometer"
	"pitlist/score/wear"
)

// undatedRow is work on a row without a day: ingest gives it its sheet's latest.
func undatedRow(km float64, text string) Repair {
	return Repair{Day: dayOfRun, Undated: true, KM: Is(km), Text: text, Ref: Ref{1, 7}}
}

// TestWorkWithoutADayIsPlacedByItsOdometer: a service list of distances and work says when
// a part was renewed, and it was not today.
func TestWorkWithoutADayIsPlacedByItsOdometer(t *testing.T) {
	for _, c := range []struct {
		name string
		work Repair
		want float64 // km that the part has run since
		day  Day     // that is told; 0 none
	}{
		{"well below: where its odometer says", undatedRow(60e3, "pump follower replaced"), 80e3, 0},
		{"a few months below: where its odometer says", undatedRow(133e3, "pump follower replaced"), 7100, 0},
		{"near the day's: its sheet's day", undatedRow(139e3, "pump follower replaced"), 1100, dayOfRun},
		{"no odometer: its sheet's day", Repair{Day: dayOfRun, Undated: true, Text: "pump follower replaced", Ref: Ref{1, 7}}, 0, dayOfRun},
		{"with a day: the day, whatever the odometer", Repair{Day: dayOfRun, KM: Is(60e3), Text: "pump follower replaced", Ref: Ref{1, 7}}, 0, dayOfRun},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := driven(Vehicle{use: &UseFacts{HistoryFromKM: Is(0)}, Repairs: []Repair{c.work}})
			a := livesScorer(t, wear.Same, Settings{}).Assess(&v)
			f := &a.Findings[0]
			require.NotEmpty(t, f.Facts)
			assert.Equal(t, FactRenewed, f.Facts[0].Kind)
			assert.InDelta(t, c.want, f.Distance, 101)
			assert.Equal(t, c.day, f.Facts[0].Day)
			assert.Equal(t, dayOfRun, v.Repairs[0].Day, "the vehicle stays as it was read")
		})
	}
}

// TestRowsWithoutADayAccuseNobody: an odometer on a row without a day is of some earlier day,
// and no rollback; one above all readings still tells how far the vehicle has gone.
func TestRowsWithoutADayAccuseNobody(t *testing.T) {
	v := driven(Vehicle{
		Repairs:     []Repair{undatedRow(60e3, "oil service"), undatedRow(120e3, "tyres")},
		Scans:       []Scan{{Day: dayOfRun, Undated: true, KM: Is(90e3), Ref: Ref{2, 1}}},
		Inspections: []Inspection{{Day: dayOfRun, Undated: true, KM: Is(70e3), Part: "follower", Result: FoundSound, Ref: Ref{3, 1}}},
	})
	sc := livesScorer(t, wear.Same, Settings{})
	a := sc.Assess(&v)
	assert.Equal(t, odometer.None, a.Odometer.Finding, a.Odometer.Detail.String())
	assert.InDelta(t, 140_100, a.Odometer.KM, 101)

	v.Repairs = append(v.Repairs, undatedRow(141_500, "wipers"))
	a = sc.Assess(&v)
	assert.Equal(t, odometer.None, a.Odometer.Finding, a.Odometer.Detail.String())
	assert.InDelta(t, 141_500, a.Odometer.KM, 1)

	alone := Vehicle{Model: "Heron", EngineSerial: "HR730001", Repairs: []Repair{undatedRow(60e3, "oil service"), undatedRow(120e3, "tyres")}}
	a = sc.Assess(&alone)
	assert.Equal(t, odometer.None, a.Odometer.Finding, a.Odometer.Detail.String())
	assert.InDelta(t, 120e3, a.Odometer.KM, 1, "the only thing that tells a distance")
}

// TestScanWithoutADayIsNotTheLatest where its odometer says that it is old.
func TestScanWithoutADayIsNotTheLatest(t *testing.T) {
	v := driven(Vehicle{use: &UseFacts{HistoryFromKM: Is(0)}, Scans: []Scan{
		{Day: dayOfRun, Undated: true, KM: Is(50e3), Codes: codesOf(t, "P0016"), Ref: Ref{2, 1}},
		{Day: dayOfRun - 20, KM: Is(138e3), Ref: Ref{2, 2}},
	}})
	a := livesScorer(t, wear.Same, Settings{}).Assess(&v)
	assert.Empty(t, a.Checks, "the code is gone since")
	v.Scans = v.Scans[:1]
	a = livesScorer(t, wear.Same, Settings{}).Assess(&v)
	require.Len(t, a.Checks, 1)
	assert.Zero(t, a.Checks[0].Day, "nobody wrote a day")
}

// TestLivesOfWorkWithoutADay: what is learned places it alike.
func TestLivesOfWorkWithoutADay(t *testing.T) {
	past := livesOfOne(t, livesScorer(t, wear.Same, Settings{}), Vehicle{use: &UseFacts{HistoryFromKM: Is(0)}, Repairs: []Repair{undatedRow(60e3, "follower seized, pump follower replaced")}})
	require.Len(t, past.Of, 2)
	assert.InDelta(t, 60e3, past.Of[0].X, 101)
	assert.Equal(t, 1, past.Undated)
}
