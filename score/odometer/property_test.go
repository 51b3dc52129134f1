package odometer

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"pitlist/score/say"
)

// anyReadings draws readings of every kind, good and bad.
func anyReadings() *rapid.Generator[[]Reading] {
	one := rapid.Custom(func(t *rapid.T) Reading {
		return Reading{
			Day:    Day(rapid.IntRange(17000, 20800).Draw(t, "day")),
			KM:     rapid.OneOf(rapid.Float64Range(0, 300000), rapid.Float64(), rapid.Just(math.NaN()), rapid.Just(math.Inf(1))).Draw(t, "km"),
			Unit:   rapid.SampledFrom([]string{"", "km", "mi"}).Draw(t, "unit"),
			Source: rapid.SampledFrom([]string{"scan", "repair", "vehicle sheet"}).Draw(t, "source"),
			Ref:    rapid.IntRange(0, 1000).Draw(t, "ref"),
		}
	})
	return rapid.SliceOfN(one, 0, 12)
}

// steadyReadings draws readings of a vehicle that is driven 20 to 200 km a day, at least 10 days apart.
func steadyReadings(t *rapid.T) []Reading {
	n := rapid.IntRange(2, 10).Draw(t, "n")
	day, km := Day(18000), rapid.Float64Range(0, 200000).Draw(t, "start")
	var readings []Reading
	for i := range n {
		readings = append(readings, Reading{Day: day, KM: km, Source: "scan", Ref: i})
		days := rapid.IntRange(10, 200).Draw(t, "days")
		day += Day(days)
		km += float64(days) * rapid.Float64Range(20, 200).Draw(t, "a day")
	}
	return readings
}

const today = Day(20782) // 2026-11-25

// TestOrderOfRowsChangesNothing: an estimate depends on what was read, not on the order of the rows.
func TestOrderOfRowsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := anyReadings().Draw(t, "readings")
		shuffled := rapid.Permutation(readings).Draw(t, "shuffled")
		e, f := Assess(readings, today, Usage{Default: 450}, Limits{}), Assess(shuffled, today, Usage{Default: 450}, Limits{})
		assert.Equal(t, e.KM, f.KM)
		assert.Equal(t, e.Basis().String(), f.Basis().String())
		assert.Equal(t, e.Finding, f.Finding)
		assert.Equal(t, e.knots, f.knots)
		assert.Equal(t, refs(readings, e.Used), refs(shuffled, f.Used))
		assert.Equal(t, refs(readings, e.Odd), refs(shuffled, f.Odd))
	})
}

func refs(readings []Reading, indices []int) []int {
	var refs []int
	for _, i := range indices {
		refs = append(refs, readings[i].Ref)
	}
	slices.SortFunc(refs, cmp.Compare[int])
	return refs
}

// TestConsistentReadingCreatesNoFinding: a steady vehicle has no finding, nor after a reading that lies
// on the line between two others is added.
func TestConsistentReadingCreatesNoFinding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := steadyReadings(t)
		e := Assess(readings, today, Usage{Default: 450}, Limits{})
		assert.Equal(t, None, e.Finding, e.Detail)
		day := Day(rapid.IntRange(18000, int(readings[len(readings)-1].Day)).Draw(t, "day"))
		f := Assess(append(readings, Reading{Day: day, KM: e.KMAt(day)}), today, Usage{Default: 450}, Limits{})
		assert.Equal(t, None, f.Finding, f.Detail)
		assert.Len(t, f.Used, len(readings)+1)
	})
}

// TestLaterReadingsHaveNoInfluence: an earlier day repeats exactly whatever was read since.
func TestLaterReadingsHaveNoInfluence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := anyReadings().Draw(t, "readings")
		day := Day(rapid.IntRange(16900, 20900).Draw(t, "day"))
		var known []Reading
		for _, r := range readings {
			if r.Day <= day {
				known = append(known, r)
			}
		}
		e, f := Assess(readings, day, Usage{Default: 450}, Limits{}), Assess(known, day, Usage{Default: 450}, Limits{})
		assert.Equal(t, f.KM, e.KM)
		assert.Equal(t, f.Detail.String(), e.Detail.String())
		assert.Equal(t, f.Basis().String(), e.Basis().String())
	})
}

// TestBothLanguagesShowTheSameNumbers: whatever the readings are. A day is written
// 2026-11-25 in English and 25 nov 2026 in Spanish; the months have no digits there.
func TestBothLanguagesShowTheSameNumbers(t *testing.T) {
	day := regexp.MustCompile(`(\d{4})-(\d\d)-0?(\d+)`)
	digits := func(s string) string {
		out := []byte(nil)
		for i := range len(s) {
			if s[i] >= '0' && s[i] <= '9' || s[i] == ' ' {
				out = append(out, s[i])
			}
		}
		return strings.Join(strings.Fields(string(out)), " ")
	}
	rapid.Check(t, func(t *rapid.T) {
		e := Assess(anyReadings().Draw(t, "readings"), today, Usage{Default: 450}, Limits{})
		for _, x := range []say.Text{e.Detail, e.Basis()} {
			// of the words, only numbers with letters or signs in them ("1.79e+308 km", "NaN km") are left out
			if en := x.String(); !strings.Contains(en, "e+") && !strings.Contains(en, "e-") {
				assert.Equal(t, digits(day.ReplaceAllString(en, "$3 $1")), digits(x.In(say.Spanish)))
			}
		}
	})
}

// TestKMAtNeverFalls: the distance rises with the day, is a number, never negative, and up to the day
// asked for never beyond KM.
func TestKMAtNeverFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		readings := anyReadings().Draw(t, "readings")
		usage := Usage{Stated: rapid.SampledFrom([]float64{0, 300, math.NaN(), -5}).Draw(t, "stated"), Default: 450}
		e := Assess(readings, today, usage, Limits{Heavy: rapid.Bool().Draw(t, "heavy")})
		before := 0.0
		for d := Day(16800); d <= today+400; d += 13 {
			km := e.KMAt(d)
			assert.False(t, math.IsNaN(km) || math.IsInf(km, 0))
			assert.GreaterOrEqual(t, km, before)
			if d <= today {
				assert.LessOrEqual(t, km, e.KM)
			}
			before = km
		}
		assert.InDelta(t, e.KM, e.KMAt(today), 1e-6)
	})
}

// FuzzAssess: never panics, gives numbers, keeps or leaves out every reading up to the day, and passes
// through a kept last reading.
func FuzzAssess(f *testing.F) {
	f.Add(50000.0, 62000.0, 38500.0, 70000.0, int32(90), int32(30), 0.0)
	f.Add(99000.0, 300.0, math.NaN(), -1.0, int32(0), int32(1), 430.0)
	f.Add(1e300, 5e5, 5e4, 5e3, int32(-5), int32(2000000000), math.Inf(1))
	f.Fuzz(func(t *testing.T, a, b, c, d float64, apart, after int32, stated float64) {
		apart, after = apart%4000, after%40000
		var readings []Reading
		for i, km := range []float64{a, b, c, d, a / 2, b * KMPerMile} {
			readings = append(readings, Reading{Day: Day(20000 + int32(i)*apart), KM: km})
		}
		e := Assess(readings, Day(20000+after), Usage{Stated: stated, Default: 450}, Limits{})
		upTo := 0
		for _, r := range readings {
			if r.Day <= Day(20000+after) {
				upTo++
			}
		}
		if len(e.Used)+len(e.Odd) != upTo {
			t.Errorf("%d used and %d odd of %d", len(e.Used), len(e.Odd), upTo)
		}
		if math.IsNaN(e.KM) || math.IsInf(e.KM, 0) || e.KM < 0 || e.PerWeek < 0 {
			t.Errorf("distance %v at %v a week", e.KM, e.PerWeek)
		}
		if e.Known != (len(e.Used) > 0) || e.Known && e.Basis().Empty() || (e.Finding == None) != e.Detail.Empty() {
			t.Errorf("inconsistent estimate %+v", e)
		}
	})
}
