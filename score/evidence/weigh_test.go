package evidence

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/dtc"
)

func patterns(t testing.TB, texts ...string) []dtc.Pattern {
	t.Helper()
	var out []dtc.Pattern
	for _, s := range texts {
		p, err := dtc.ParsePattern(s)
		require.NoError(t, err)
		out = append(out, p)
	}
	return out
}

// stored reads codes as a scan holds them; a code may carry its state, as in
// "P0087 pending".
func stored(t testing.TB, texts ...string) []dtc.Reading {
	t.Helper()
	var out []dtc.Reading
	for _, s := range texts {
		code, state := s, dtc.Stored
		if i := len("P0087"); len(s) > i && s[i] == ' ' {
			code = s[:i]
			var ok bool
			state, ok = dtc.ParseState(s[i+1:])
			require.True(t, ok, s)
		}
		c, err := dtc.Parse(code)
		require.NoError(t, err)
		out = append(out, dtc.Reading{Code: c, State: state})
	}
	return out
}

// scanOf is a scan at 100,000 km, with nothing known of an erase.
func scanOf(t testing.TB, codes ...string) *Scan {
	t.Helper()
	return &Scan{Codes: stored(t, codes...), At: 100_000, KM: 100_000, Day: 1000, SinceClear: -1, Ref: 7}
}

// The phrases of the tests: 1 and 2 are words, 11 and 12 treatments.
var phrasesOfRail = []Phrases{{CameBack: [][]int{{11}}}}

func rail(t testing.TB) []Group {
	t.Helper()
	return []Group{{Name: "rail pressure", Rules: []Rule{
		{CameBackAfter: []string{"pressure sensor"}, Codes: CodeTest{Any: patterns(t, "P0087", "P0191")}, Worn: 0.45, NotWorn: 0.004},
		{Codes: CodeTest{All: patterns(t, "P0087", "P0191"), None: patterns(t, "P0193")}, Worn: 0.55, NotWorn: 0.005, KMToSet: 180},
		{Codes: CodeTest{Any: patterns(t, "P0087", "P0191")}, Worn: 0.25, NotWorn: 0.010, KMToSet: 180},
	}}}
}

// TestFirstMatchSpeaks: a group's rules are tried in order, and one speaks.
func TestFirstMatchSpeaks(t *testing.T) {
	for _, k := range []struct {
		name  string
		codes []string
		want  int
	}{
		{"one of any", []string{"P0191"}, 2},
		{"all together speak before one alone", []string{"P0191", "P0087"}, 1},
		{"all, but one that must not be there is", []string{"P0191", "P0087", "P0193"}, 2},
		{"a failure type is of its code", []string{"P0087-1A"}, 2},
		{"pending counts as present", []string{"P0087 pending", "P0191"}, 1},
		{"permanent counts as present", []string{"P0087 permanent"}, 2},
		{"other codes leave it silent", []string{"P0420"}, None},
		{"no codes leave it silent", nil, None},
	} {
		t.Run(k.name, func(t *testing.T) {
			got := Weigh(nil, rail(t), phrasesOfRail, Facts{Now: 120_000, Scan: scanOf(t, k.codes...)})
			require.Len(t, got, 1)
			assert.Equal(t, k.want, got[0].Rule)
			assert.Equal(t, 100_000.0, got[0].At, "as of the scan")
			assert.Equal(t, 7, got[0].Ref)
			if k.want >= 0 {
				assert.Equal(t, rail(t)[0].Rules[k.want].Worn, got[0].Worn)
				assert.Equal(t, rail(t)[0].Rules[k.want].NotWorn, got[0].NotWorn)
			}
		})
	}
	t.Run("not scanned: no factor", func(t *testing.T) {
		assert.Empty(t, Weigh(nil, rail(t), phrasesOfRail, Facts{Now: 120_000, TextRead: true}))
	})
}

// TestCameBack: the scan is of day 1000 at 100,000 km.
func TestCameBack(t *testing.T) {
	for _, k := range []struct {
		name      string
		treatment Treatment
		clear     float64
		want      bool
	}{
		{"a later scan shows it, erasing not known", Treatment{Phrase: 11, Day: 970, KM: 98_000}, -1, true},
		{"erased at the repair", Treatment{Phrase: 11, Day: 970, KM: 98_000}, 2_000, true},
		{"erased since the repair", Treatment{Phrase: 11, Day: 970, KM: 98_000}, 300, true},
		{"erased before the repair: it may never have gone", Treatment{Phrase: 11, Day: 970, KM: 98_000}, 2_050, false},
		{"odometers are rounded", Treatment{Phrase: 11, Day: 970, KM: 98_000}, 2_001.5, true},
		{"a distance carried from the day is rougher", Treatment{Phrase: 11, Day: 970, KM: 98_000, Carried: true}, 2_050, true},
		{"but not that rough", Treatment{Phrase: 11, Day: 970, KM: 98_000, Carried: true}, 2_900, false},
		{"no distance known: the day decides", Treatment{Phrase: 11, Day: 970, KM: -1}, 2_050, true},
		{"repaired after the scan", Treatment{Phrase: 11, Day: 1001, KM: 100_050}, -1, false},
		{"repaired the same day, distance tells that the scan came after", Treatment{Phrase: 11, Day: 1000, KM: 99_980}, 15, true},
		{"repaired the same day, nothing tells the order", Treatment{Phrase: 11, Day: 1000, KM: 100_000}, -1, false},
		{"another repair", Treatment{Phrase: 12, Day: 970, KM: 98_000}, -1, false},
	} {
		t.Run(k.name, func(t *testing.T) {
			s := scanOf(t, "P0087")
			s.SinceClear = k.clear
			k.treatment.Ref = 5
			got := Weigh(nil, rail(t), phrasesOfRail, Facts{Now: 120_000, Scan: s, Treatments: []Treatment{k.treatment}})
			require.Len(t, got, 1)
			if k.want {
				assert.Equal(t, 0, got[0].Rule)
				assert.Equal(t, 5, got[0].Treated, "the repair is named")
			} else {
				assert.Equal(t, 2, got[0].Rule, "the plain code speaks")
				assert.Equal(t, -1, got[0].Treated)
			}
		})
	}
	t.Run("of several repairs, the latest that holds", func(t *testing.T) {
		s := scanOf(t, "P0087")
		s.SinceClear = 500
		got := Weigh(nil, rail(t), phrasesOfRail, Facts{Scan: s, Treatments: []Treatment{
			{Phrase: 11, Day: 990, KM: 99_900, Ref: 3}, // erased before it
			{Phrase: 11, Day: 900, KM: 95_000, Ref: 1}, {Phrase: 11, Day: 800, KM: 90_000, Ref: 2},
		}})
		assert.Equal(t, 1, got[0].Treated)
	})
	t.Run("no code, nothing came back", func(t *testing.T) {
		got := Weigh(nil, rail(t), phrasesOfRail, Facts{Scan: scanOf(t), Treatments: []Treatment{{Phrase: 11, Day: 970}}})
		assert.Equal(t, None, got[0].Rule)
	})
}

// TestSilenceOfAScan: one minus the sum of rate × (1 − exp(−c/t)) over the
// plain code rules.
func TestSilenceOfAScan(t *testing.T) {
	silence := func(clear float64) Observation {
		s := scanOf(t)
		s.SinceClear = clear
		got := Weigh(nil, rail(t), phrasesOfRail, Facts{Now: 120_000, Scan: s})
		require.Len(t, got, 1)
		require.True(t, got[0].OfScan)
		return got[0]
	}
	t.Run("3 km after an erase it says almost nothing", func(t *testing.T) {
		ready := 1 - math.Exp(-3.0/180) // 0.0165
		o := silence(3)
		assert.InDelta(t, 1-0.8*ready, o.Worn, 1e-12)
		assert.InDelta(t, 1-0.015*ready, o.NotWorn, 1e-12)
		assert.Greater(t, o.Worn/o.NotWorn, 0.98)
	})
	t.Run("2,000 km after, much", func(t *testing.T) {
		o := silence(2000)
		assert.InDelta(t, 0.2, o.Worn, 1e-4)
		assert.InDelta(t, 0.985, o.NotWorn, 1e-5)
	})
	t.Run("not known when: as if never erased", func(t *testing.T) {
		o := silence(-1)
		assert.InDelta(t, 0.2, o.Worn, 1e-12, "1 − 0.55 − 0.25; the rule of what came back is no part of it")
		assert.InDelta(t, 0.985, o.NotWorn, 1e-12)
	})
	t.Run("just erased says nothing", func(t *testing.T) {
		o := silence(0)
		assert.Equal(t, 1.0, o.Worn)
		assert.Equal(t, 1.0, o.NotWorn)
	})
	t.Run("a code without a distance to set is there at once", func(t *testing.T) {
		g := []Group{{Rules: []Rule{{Codes: CodeTest{Any: patterns(t, "P0087")}, Worn: 0.6, NotWorn: 0.1}}}}
		s := scanOf(t)
		s.SinceClear = 0
		got := Weigh(nil, g, []Phrases{{}}, Facts{Scan: s})
		assert.InDelta(t, 0.4, got[0].Worn, 1e-12)
	})
	t.Run("a group of came_back_after alone is never silent", func(t *testing.T) {
		g := []Group{{Rules: rail(t)[0].Rules[:1]}}
		assert.Empty(t, Weigh(nil, g, phrasesOfRail, Facts{Scan: scanOf(t)}))
	})
}

// TestCodesOfThePartThatLeft: a stored code with more km since erasing than
// since the renewal may date from the old part: it is neither there nor absent.
func TestCodesOfThePartThatLeft(t *testing.T) {
	old := func(codes ...string) Facts {
		s := scanOf(t, codes...)
		s.OldPart, s.SinceClear = true, 5000
		return Facts{Now: 120_000, Scan: s}
	}
	g := rail(t)
	t.Run("stored: no factor, erase and scan again", func(t *testing.T) {
		f := old("P0087")
		assert.Empty(t, Weigh(nil, g, phrasesOfRail, f))
		assert.True(t, f.Stale(&g[0]))
	})
	t.Run("pending is fresh", func(t *testing.T) {
		f := old("P0087 pending")
		assert.Equal(t, 2, Weigh(nil, g, phrasesOfRail, f)[0].Rule)
		assert.False(t, f.Stale(&g[0]))
	})
	t.Run("permanent counts, whatever was erased", func(t *testing.T) {
		assert.Equal(t, 2, Weigh(nil, g, phrasesOfRail, old("P0087 permanent"))[0].Rule)
	})
	t.Run("a code that no rule asks for is not stale", func(t *testing.T) {
		f := old("P0420")
		assert.False(t, f.Stale(&g[0]))
		assert.Equal(t, None, Weigh(nil, g, phrasesOfRail, f)[0].Rule)
	})
}

func notes(absent Absent) []Group {
	over, under := 0.30, 0.10
	return []Group{
		{Name: "noise", Absent: absent, Rules: []Rule{{Words: []string{"pump knock"}, Worn: 0.35, NotWorn: 0.01}, {Words: []string{"whine"}, Worn: 0.2, NotWorn: 0.05}}},
		{Name: "measure", Rules: []Rule{{Measured: "tappet_mm", Over: &over, Worn: 0.9, NotWorn: 0.03}, {Measured: "lift_mm", Under: &under, Worn: 0.5, NotWorn: 0.02}}},
	}
}

var phrasesOfNotes = []Phrases{{Words: [][]int{{1}, {2}}}, {Words: make([][]int, 2)}}

func TestWordsAndMeasures(t *testing.T) {
	g := notes(Silent)
	t.Run("dated by the latest fact of the rule that speaks", func(t *testing.T) {
		got := Weigh(nil, g, phrasesOfNotes, Facts{Now: 120_000, Words: []Word{{1, 80_000, 4}, {1, 110_000, 5}, {1, 95_000, 6}, {2, 119_000, 8}}})
		require.Len(t, got, 1)
		assert.Equal(t, Observation{Group: 0, Rule: 0, At: 110_000, SinceClear: -1, Worn: 0.35, NotWorn: 0.01, Ref: 5, Treated: -1}, got[0])
	})
	t.Run("over its limit", func(t *testing.T) {
		got := Weigh(nil, g, phrasesOfNotes, Facts{Measures: []Measure{{"tappet_mm", 0.31, 90_000, 2}}})
		require.Len(t, got, 1)
		assert.Equal(t, 1, got[0].Group)
		assert.Equal(t, 2, got[0].Ref)
	})
	t.Run("at its limit is not over it, and at the lower not under", func(t *testing.T) {
		assert.Empty(t, Weigh(nil, g, phrasesOfNotes, Facts{Measures: []Measure{{"tappet_mm", 0.30, 90_000, 2}, {"lift_mm", 0.10, 90_000, 2}}}))
	})
	t.Run("under its limit", func(t *testing.T) {
		got := Weigh(nil, g, phrasesOfNotes, Facts{Measures: []Measure{{"lift_mm", 0.09, 90_000, 2}}})
		require.Len(t, got, 1)
		assert.Equal(t, 1, got[0].Rule)
	})
	t.Run("what is not there tells nothing", func(t *testing.T) {
		assert.Empty(t, Weigh(nil, g, phrasesOfNotes, Facts{Now: 120_000, TextRead: true, Scan: scanOf(t)}))
	})
}

func TestAbsentCounts(t *testing.T) {
	g := notes(Counts)[:1]
	t.Run("any text read: one minus the rates, as of today", func(t *testing.T) {
		got := Weigh(nil, g, phrasesOfNotes, Facts{Now: 120_000, TextRead: true})
		require.Len(t, got, 1)
		assert.InDelta(t, 1-0.35-0.2, got[0].Worn, 1e-12)
		assert.InDelta(t, 1-0.01-0.05, got[0].NotWorn, 1e-12)
		assert.Equal(t, 120_000.0, got[0].At)
		assert.Equal(t, None, got[0].Rule)
		assert.False(t, got[0].OfScan)
	})
	t.Run("no text read: no factor", func(t *testing.T) {
		assert.Empty(t, Weigh(nil, g, phrasesOfNotes, Facts{Now: 120_000}))
	})
	t.Run("words that are there speak instead", func(t *testing.T) {
		got := Weigh(nil, g, phrasesOfNotes, Facts{Now: 120_000, TextRead: true, Words: []Word{{2, 1000, 0}}})
		require.Len(t, got, 1)
		assert.Equal(t, 1, got[0].Rule)
	})
}

func TestReady(t *testing.T) {
	assert.Equal(t, 1.0, Ready(-1, 180), "erasing not known: as if never")
	assert.Equal(t, 1.0, Ready(0, 0), "no distance to set")
	assert.Zero(t, Ready(0, 180))
	assert.InDelta(t, 1-1/math.E, Ready(180, 180), 1e-12)
}

func TestSilenceIsNeverNegative(t *testing.T) {
	g := rail(t)[0]
	drawn := func(int) float64 { return 0.9 } // rates drawn beyond a sum of 1
	assert.Zero(t, g.Silence(Observation{OfScan: true, SinceClear: -1}, drawn))
}

func BenchmarkWeigh(b *testing.B) {
	groups := append(rail(b), notes(Counts)...)
	phrases := append(append([]Phrases{}, phrasesOfRail...), phrasesOfNotes...)
	f := Facts{Now: 120_000, Scan: scanOf(b, "P0420", "P0191"), TextRead: true, Treatments: []Treatment{{Phrase: 12, Day: 900}}}
	b.ReportAllocs()
	for b.Loop() {
		Weigh(nil, groups, phrases, f)
	}
}
