package score

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/evidence"
	"pitlist/score/wear"
)

// livesScorer knows the invented pump follower with words for every ending.
func livesScorer(t *testing.T, r wear.Replacement, s Settings) *Scorer {
	t.Helper()
	c := inventedParts(t)
	p := &c.Parts[0]
	p.Called, p.Replacement = []string{"follower"}, r
	p.Repairs.Planned, p.Repairs.Failed = []string{"as a precaution"}, []string{"follower seized"}
	c.Parts = c.Parts[:1]
	s.Day, s.RecordsFrom = dayOfRun, RecordsNew
	sc, err := NewScorer(c, s)
	require.NoError(t, err)
	return sc
}

// driven is a Heron inside the ranges that goes 100 km a day up to 140,000 km on the
// day before the run.
func driven(v Vehicle) Vehicle {
	v.Model, v.EngineSerial = "Heron", "HR730001"
	for day := dayOfRun - 1401; day < dayOfRun; day += 100 {
		v.Readings = append(v.Readings, Reading{Day: day, KM: 100 * float64(day-dayOfRun+1401), Unit: "km"})
	}
	u := v.Use()
	u.KMPerWeek = Is(700)
	v.SetUse(u)
	return v
}

func livesOfOne(t *testing.T, sc *Scorer, v Vehicle) Lives {
	t.Helper()
	out, err := sc.LivesAll(context.Background(), []Vehicle{driven(v)})
	require.NoError(t, err)
	require.Len(t, out[0], 1)
	return out[0][0]
}

func repairs(lines map[Day]string) (out []Repair) {
	row := int32(10)
	for day := dayOfRun - 1400; day <= dayOfRun+300; day++ {
		if text, ok := lines[day]; ok {
			row++
			out = append(out, Repair{Day: day, Text: text, Ref: Ref{1, row}})
		}
	}
	return out
}

func looks(results map[Day]Result) (out []Inspection) {
	for day := dayOfRun - 1400; day <= dayOfRun+300; day++ {
		if r, ok := results[day]; ok {
			out = append(out, Inspection{Day: day, Part: "pump-follower", Result: r, Ref: Ref{2, int32(dayOfRun - day + 500)}})
		}
	}
	return out
}

// TestLives: each rule of MODEL.md ("Where the curves come from") on what a life is
// and how it ends. Distances are 100 km a day.
func TestLives(t *testing.T) {
	const failedText, plannedText, bareText = "Follower seized, pump follower replaced", "pump follower replaced as a precaution", "pump follower replaced"
	at := func(day Day) float64 { return 100 * float64(day-dayOfRun+1401) }
	d := func(back Day) Day { return dayOfRun - back }
	for _, k := range []struct {
		name string
		of   wear.Replacement
		v    Vehicle
		want []Life
	}{
		{"nothing on record: running today", wear.Same, Vehicle{}, []Life{{X: at(dayOfRun), End: StillRunning}}},
		{"a failure is exact, and a new life begins", wear.Same, Vehicle{Repairs: repairs(map[Day]string{d(401): failedText})},
			[]Life{{X: at(d(401)), End: EndedFailed}, {X: 40100, End: StillRunning}}},
		{"the improved part has no life of this kind", wear.Improved, Vehicle{Repairs: repairs(map[Day]string{d(401): failedText})},
			[]Life{{X: at(d(401)), End: EndedFailed}}},
		{"a planned renewal", wear.Improved, Vehicle{Repairs: repairs(map[Day]string{d(401): plannedText})}, []Life{{X: at(d(401)), End: EndedPlanned}}},
		{"a renewal that names no cause", wear.Improved, Vehicle{Repairs: repairs(map[Day]string{d(401): bareText})}, []Life{{X: at(d(401)), End: EndedUnknown}}},
		{"clean inspections are kept, in order", wear.Same, Vehicle{Inspections: looks(map[Day]Result{d(901): FoundSound, d(301): FoundSound})},
			[]Life{{X: at(dayOfRun), Clean: []float64{50e3, 110e3}, End: StillRunning}}},
		{"not opened says nothing", wear.Same, Vehicle{Inspections: looks(map[Day]Result{d(901): NotOpened})}, []Life{{X: at(dayOfRun), End: StillRunning}}},
		{"a worn finding ends the life, whatever follows", wear.Same,
			Vehicle{Inspections: looks(map[Day]Result{d(901): FoundSound, d(501): FoundWorn}), Repairs: repairs(map[Day]string{d(401): failedText})},
			[]Life{{X: 90e3, Clean: []float64{50e3}, End: EndedWorn}, {X: 40100, End: StillRunning}}},
		{"found worn and not renewed: no life since", wear.Same, Vehicle{Inspections: looks(map[Day]Result{d(501): FoundWorn, d(201): FoundSound})},
			[]Life{{X: 90e3, End: EndedWorn}}},
		{"found failed counts once with its renewal", wear.Same,
			Vehicle{Inspections: looks(map[Day]Result{d(501): FoundFailed}), Repairs: repairs(map[Day]string{d(491): failedText})},
			[]Life{{X: 90e3, End: EndedFailed}, {X: 49100, End: StillRunning}}},
		{"inspections are of the part that sits there", wear.Same,
			Vehicle{Inspections: looks(map[Day]Result{d(901): FoundSound, d(201): FoundSound}), Repairs: repairs(map[Day]string{d(401): plannedText})},
			[]Life{{X: at(d(401)), Clean: []float64{50e3}, End: EndedPlanned}, {X: 40100, Clean: []float64{20e3}, End: StillRunning}}},
		{"declined and recommended are no renewals", wear.Same,
			Vehicle{Repairs: []Repair{{Day: d(401), Text: bareText, Status: "declined", Ref: Ref{1, 1}}, {Day: d(301), Text: bareText, Status: "recommended", Ref: Ref{1, 2}}}},
			[]Life{{X: at(dayOfRun), End: StillRunning}}},
		{"records that begin late", wear.Same, Vehicle{use: &UseFacts{HistoryFromKM: Is(60e3)}, Repairs: repairs(map[Day]string{d(401): failedText})},
			[]Life{{X: at(d(401)), E: 60e3, End: EndedFailed}, {X: 40100, End: StillRunning}}},
		{"a life before the records began", wear.Same, Vehicle{use: &UseFacts{HistoryFromKM: Is(120e3)}, Repairs: repairs(map[Day]string{d(401): failedText})},
			[]Life{{X: 100e3, E: 100e3, End: EndedFailed}, {X: 40100, E: 20e3, End: StillRunning}}},
		{"a sold vehicle was followed up to its last fact", wear.Same, Vehicle{Status: Sold, Inspections: looks(map[Day]Result{d(901): FoundSound})},
			[]Life{{X: at(d(1)), Clean: []float64{50e3}, End: StillRunning}}},
	} {
		t.Run(k.name, func(t *testing.T) {
			got := livesOfOne(t, livesScorer(t, k.of, Settings{}), k.v).Of
			require.Len(t, got, len(k.want))
			for i := range got {
				assert.InDelta(t, k.want[i].X, got[i].X, 1, "end")
				assert.InDelta(t, k.want[i].E, got[i].E, 1, "records")
				assert.InDeltaSlice(t, append([]float64{}, k.want[i].Clean...), append([]float64{}, got[i].Clean...), 1)
				assert.Equal(t, k.want[i].End, got[i].End)
			}
		})
	}
}

func TestLivesOutside(t *testing.T) {
	sc := livesScorer(t, wear.Same, Settings{})
	v := driven(Vehicle{Repairs: repairs(map[Day]string{dayOfRun - 401: "Follower seized, pump follower replaced"})})
	v.Model = "Crane"
	out, err := sc.LivesAll(context.Background(), []Vehicle{v})
	require.NoError(t, err)
	require.Len(t, out[0], 1)
	assert.Empty(t, out[0][0].Of, "a part outside the ranges has no life of the weak population")
	assert.Equal(t, 1, out[0][0].OutsideEvents, "what failed there is counted")
}

// TestLivesNoFuture: facts later than the day change nothing, whatever they are.
func TestLivesNoFuture(t *testing.T) {
	sc := livesScorer(t, wear.Same, Settings{})
	past := Vehicle{
		Inspections: looks(map[Day]Result{dayOfRun - 901: FoundSound}),
		Repairs:     repairs(map[Day]string{dayOfRun - 401: "pump follower replaced", dayOfRun - 300: "knocks when hot"}),
	}
	later := past
	later.Inspections = append(later.Inspections, looks(map[Day]Result{dayOfRun + 1: FoundWorn, dayOfRun + 90: FoundFailed})...)
	later.Repairs = append(later.Repairs, repairs(map[Day]string{dayOfRun + 2: "Follower seized, pump follower replaced", dayOfRun + 3: "knocks when hot"})...)
	later.Readings = append(later.Readings, Reading{Day: dayOfRun + 30, KM: 300e3, Unit: "km"})
	later.Remarks = append(later.Remarks, Remark{Day: dayOfRun + 5, Text: "knocks when hot"})
	later.Scans = append(later.Scans, Scan{Day: dayOfRun + 5, KM: Is(300e3), Codes: codesOf(t, "P0087")})
	assert.Equal(t, livesOfOne(t, sc, past), livesOfOne(t, sc, later))
}

// TestLivesUndated: a row without a day of its own counts at its sheet's, and is
// counted; a backtest leaves it out.
func TestLivesUndated(t *testing.T) {
	v := Vehicle{Repairs: []Repair{{Day: dayOfRun - 401, Text: "Follower seized, pump follower replaced", Undated: true, Ref: Ref{1, 3}}}}
	got := livesOfOne(t, livesScorer(t, wear.Improved, Settings{}), v)
	require.Len(t, got.Of, 1)
	assert.Equal(t, EndedFailed, got.Of[0].End)
	assert.Equal(t, 1, got.Undated)
	got = livesOfOne(t, livesScorer(t, wear.Improved, Settings{Strict: true}), v)
	require.Len(t, got.Of, 1)
	assert.Equal(t, StillRunning, got.Of[0].End)
	assert.Zero(t, got.Undated)
}

// TestLookSeesWhatWasKnownThen: the rules' chances are those of the opening's day,
// since the renewal before it.
func TestLookSeesWhatWasKnownThen(t *testing.T) {
	sc := livesScorer(t, wear.Same, Settings{})
	opened := dayOfRun - 501
	scan := func(day Day, codes ...string) Scan { return Scan{Day: day, Codes: codesOf(t, codes...)} }
	find := func(v Vehicle) *Look {
		v.Inspections = looks(map[Day]Result{opened: FoundWorn})
		lives := livesOfOne(t, sc, v).Of
		require.NotNil(t, lives[len(lives)-1].Look)
		return lives[len(lives)-1].Look
	}
	code := func(spoke bool) evidence.Trial { return evidence.Trial{Spoke: spoke, Ready: 1} }
	noise := func(spoke bool, kinds evidence.Texts) evidence.Trial {
		return evidence.Trial{Group: 1, Spoke: spoke, Ready: 1, Texts: kinds}
	}
	both := func(t evidence.Trial, kinds evidence.Texts) evidence.Trial { t.Texts = kinds; return t }
	for _, k := range []struct {
		name string
		v    Vehicle
		want []evidence.Trial
	}{
		{"no scan, no text: no rule had its chance", Vehicle{}, nil},
		{"a code before the opening spoke", Vehicle{Scans: []Scan{scan(opened-5, "P0087")}}, []evidence.Trial{code(true)}},
		{"a clean scan kept silent", Vehicle{Scans: []Scan{scan(opened - 5)}}, []evidence.Trial{code(false)}},
		{"a scan after the opening is not known then", Vehicle{Scans: []Scan{scan(opened+5, "P0087")}}, nil},
		{"the latest scan by then speaks", Vehicle{Scans: []Scan{scan(opened-90, "P0087"), scan(opened - 5)}}, []evidence.Trial{code(false)}},
		{"workshop words", Vehicle{Repairs: repairs(map[Day]string{opened - 9: "knocks when hot"})}, []evidence.Trial{noise(true, evidence.Workshop)}},
		{"a service line is a text of its kind", Vehicle{Repairs: repairs(map[Day]string{opened - 9: "oil service"})}, []evidence.Trial{noise(false, evidence.Workshop)}},
		{"a remark of today was not there", Vehicle{Remarks: []Remark{{Day: dayOfRun, Text: "knocks when hot"}}}, nil},
		{"a remark of the time was", Vehicle{Remarks: []Remark{{Day: opened - 1, Text: "all well"}}}, []evidence.Trial{noise(false, evidence.Remarks)}},
		{"what spoke of the part that left is gone",
			Vehicle{Scans: []Scan{scan(opened-300, "P0087")}, Repairs: repairs(map[Day]string{opened - 310: "knocks when hot", opened - 200: "pump follower replaced"})}, nil},
		{"scan and text", Vehicle{Scans: []Scan{scan(opened - 5)}, Repairs: repairs(map[Day]string{opened - 9: "oil service"})},
			[]evidence.Trial{both(code(false), evidence.Workshop), noise(false, evidence.Workshop)}},
	} {
		t.Run(k.name, func(t *testing.T) {
			look := find(k.v)
			assert.True(t, look.Worn)
			assert.Equal(t, k.want, look.Trials)
		})
	}
}
