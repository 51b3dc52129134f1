package score

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/dtc"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// TestAxes: a part wears by km, by engine hours or by months, with the same
// formulas on another axis. Onset and delay are exponential, so the worn mass
// has a closed form: a(e^{-bx} - e^{-ax})/(a - b) for rates a and b; sound and
// worn are all there is where records are complete and no failure is known.
func TestAxes(t *testing.T) {
	today := on(2026, time.November, 25)
	vehicle := Vehicle{
		Unit: "V1", Model: "Heron", ModelYear: 2016, InService: on(2016, time.November, 25),
		Readings: []Reading{{Day: today, KM: 120_000, Source: "vehicle sheet"}},
		Hours:    []Reading{{Day: today, KM: 6_000, Unit: "h", Source: "vehicle sheet"}},
		use:      &UseFacts{KMPerWeek: Is(500), HoursPerWeek: Is(25), HistoryFromKM: Is(0), HistoryFromHours: Is(0)},
	}
	for _, c := range []struct {
		axis         Axis
		onset, delay float64 // means
		x            float64 // distance today
		next         float64 // until the next run, a week
	}{
		{ByKM, 200_000, 40_000, 120_000, 500},
		{ByHours, 9_000, 2_000, 6_000, 25},
		{ByMonths, 150, 30, float64(today-vehicle.InService) / daysPerMonth, 7 / daysPerMonth},
	} {
		t.Run(string(c.axis), func(t *testing.T) {
			part := WeakPart{
				ID: "p", Name: "part", Fits: []Fit{{Model: []string{"Heron"}}}, Axis: c.axis, Weight: 10, Replacement: wear.Same,
				Onset: life.Exponential{Mean: c.onset}, Delay: life.Exponential{Mean: c.delay}, Inspection: InspectionPlan{Detects: 0.9},
			}
			s, err := NewScorer(&Catalogue{Parts: []WeakPart{part}}, Settings{Day: today, NextRunDays: 7, HoldingKM: 60_000, HoldingHours: 3_000, HoldingMonths: 24, RecordsFrom: RecordsNew})
			require.NoError(t, err)
			a := s.Assess(&vehicle)
			require.Len(t, a.Findings, 1)
			f := &a.Findings[0]
			require.Equal(t, Scored, f.Standing)
			assert.InDelta(t, c.x, f.Distance, 1e-9)
			assert.InDelta(t, c.next, f.Next, 1e-9)
			ra, rb := 1/c.onset, 1/c.delay
			sound := math.Exp(-ra * c.x)
			worn := ra * (math.Exp(-rb*c.x) - math.Exp(-ra*c.x)) / (ra - rb)
			assert.InEpsilon(t, worn/(worn+sound), f.State.Worn, 1e-6)
			assert.InEpsilon(t, -math.Expm1(-rb*c.next), f.NextFail.IfWorn, 1e-6)
			assert.InDelta(t, c.next/7, f.UseADay(), 1e-9)
			off := vehicle
			off.Status = OffRoad
			stands := s.Assess(&off)
			if c.axis == ByMonths {
				assert.InDelta(t, c.next/7, stands.Findings[0].UseADay(), 1e-9, "it ages all the same")
			} else {
				assert.Zero(t, stands.Findings[0].UseADay(), "off the road nothing is driven")
			}
		})
	}
}

// TestNoDistance: a part that wears by hours on a vehicle without an hour
// meter is not scored, and says so.
func TestNoDistance(t *testing.T) {
	today := on(2026, time.November, 25)
	part := WeakPart{
		ID: "p", Name: "part", Fits: []Fit{{Model: []string{"Heron"}}}, Axis: ByHours, Weight: 10, Replacement: wear.Same,
		Onset: life.Exponential{Mean: 9_000}, Delay: life.Exponential{Mean: 2_000}, Inspection: InspectionPlan{Detects: 0.9},
	}
	s, err := NewScorer(&Catalogue{Parts: []WeakPart{part}}, Settings{Day: today, NextRunDays: 7})
	require.NoError(t, err)
	a := s.Assess(&Vehicle{Unit: "V1", Model: "Heron", Readings: []Reading{{Day: today, KM: 1000}}})
	require.Len(t, a.Findings, 1)
	assert.Equal(t, NoDistance, a.Findings[0].Standing)
	assert.NotEmpty(t, a.Findings[0].Uncertain)
	require.Len(t, a.Checks, 1)
	assert.Contains(t, a.Checks[0].Reason.String(), "no credible engine-hour reading")
	assert.False(t, a.Checks[0].Today)
}

// TestDoubtsOfAScan: what makes a clean memory say less than it seems to
// (common practice, no source).
func TestDoubtsOfAScan(t *testing.T) {
	for _, c := range []struct {
		name string
		scan Scan
		says string
	}{
		{"the lamp is on though nothing is stored", Scan{MIL: "on"}, "warning lamp"},
		{"few warm-ups since the erase, distance not written down", Scan{WarmUps: Is(1)}, "shortly after"},
		{"monitors not complete", Scan{Incomplete: Is(3)}, "shortly after"},
		{"the distance is known: it is weighed instead", Scan{WarmUps: Is(1), SinceClear: Is(900)}, ""},
		{"only permanent codes are left", Scan{Codes: []dtc.Reading{{Code: codesOf(t, "P0087")[0].Code, State: "permanent"}}}, "permanent"},
		{"a plain clean scan", Scan{}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := scans(&Vehicle{Scans: []Scan{c.scan}}, nil)[0].doubt()
			if c.says == "" {
				assert.Empty(t, got)
			} else {
				assert.Contains(t, got.String(), c.says)
			}
		})
	}
}
