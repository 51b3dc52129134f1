package cohort

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/evidence"
)

// ruled is a part with a code rule, a second code rule in its group, and a rule of
// words.
func ruled() *score.WeakPart {
	p := pump()
	w := p.part(10)
	codes := evidence.CodeTest{Any: []dtc.Pattern{{}}}
	w.Evidence = []evidence.Group{
		{Name: "codes", Rules: []evidence.Rule{{Codes: codes, Worn: 0.6, NotWorn: 0.02, KMToSet: 200}, {Codes: codes, Worn: 0.3, NotWorn: 0.05, Weight: 20}}},
		{Name: "notes", Rules: []evidence.Rule{{Words: []string{"knocks"}, Worn: 0.3, NotWorn: 0.01}}},
	}
	return w
}

// opened is n vehicles whose part was opened, with the trials given.
func opened(n int, worn bool, trials ...evidence.Trial) (out []score.Lives) {
	for range n {
		l := score.Life{X: 1e5, End: score.StillRunning, Look: &score.Look{Worn: worn, Trials: trials}}
		if worn {
			l.End = score.EndedWorn
		}
		out = append(out, score.Lives{Of: []score.Life{l}})
	}
	return out
}

func together(all ...[]score.Lives) (out []score.Lives) {
	for _, a := range all {
		out = append(out, a...)
	}
	return out
}

func trial(group, rule int, spoke bool) evidence.Trial {
	return evidence.Trial{Group: group, Rule: rule, Spoke: spoke, Ready: 1}
}

func TestRates(t *testing.T) {
	w := ruled()
	t.Run("beta with the catalogue's as prior, worn and not worn each with their own", func(t *testing.T) {
		got := ratesOf(w, together(
			opened(6, true, trial(0, 0, true)), opened(4, true, trial(0, 0, false)),
			opened(1, false, trial(0, 0, true)), opened(29, false, trial(0, 0, false))))[0]
		assert.Equal(t, Seen{Openings: 10, Spoke: 6, Trials: 10, Old: 0.6, New: got.Worn.New}, got.Worn)
		assert.InDelta(t, (0.6*10+6)/20, got.Worn.New, 1e-12)
		assert.InDelta(t, (0.02*10+1)/40, got.NotWorn.New, 1e-12)
		assert.Equal(t, []float64{10, 20, 40, 20}, []float64{got.OldWeight, got.WornWeight, got.NotWornWeight, got.Weight})
	})
	t.Run("the rule's own weight", func(t *testing.T) {
		got := ratesOf(w, opened(10, true, trial(0, 1, false)))[1]
		assert.InDelta(t, 0.3*20/30, got.Worn.New, 1e-12)
	})
	t.Run("rates that sum to more than 1 are divided by their sum", func(t *testing.T) {
		got := ratesOf(w, opened(1000, true, trial(0, 0, true), trial(0, 1, true)))
		assert.InDelta(t, 1, got[0].Worn.New+got[1].Worn.New, 1e-12)
	})
	t.Run("nobody opened anything: the rates stay", func(t *testing.T) {
		for _, r := range ratesOf(w, []score.Lives{{Of: []score.Life{{X: 1e5, End: score.StillRunning}}}}) {
			assert.Equal(t, r.Worn.Old, r.Worn.New)
			assert.Equal(t, r.OldWeight, r.Weight)
		}
	})
	t.Run("a scan just after an erase says next to nothing by its silence", func(t *testing.T) {
		soon := trial(0, 0, false)
		soon.Ready = 0.01
		got := ratesOf(w, opened(50, true, soon))[0]
		assert.InDelta(t, 0.6, got.Worn.New, 0.02)
		assert.Less(t, got.Worn.Trials, 0.5)
	})
	t.Run("silence after half the distance: the likelihood's own top", func(t *testing.T) {
		half := trial(0, 0, false)
		half.Ready = 0.5
		got := update(0.6, 1e-9, []evidence.Trial{trial(0, 0, true), half, half})
		// s·(1 − s/2)² is greatest at s = 2/3.
		assert.InDelta(t, 2.0/3, got.New, 1e-6)
	})
}

// TestWordsHadTheirChance: silence counts only where a text was read of a kind that
// says the words somewhere in the fleet.
func TestWordsHadTheirChance(t *testing.T) {
	w := ruled()
	silent := func(kinds evidence.Texts) evidence.Trial {
		return evidence.Trial{Group: 1, Ready: 1, Texts: kinds}
	}
	said := func(kinds evidence.Texts) []score.Lives {
		return []score.Lives{{Heard: []score.Heard{{Group: 1, Texts: kinds}}, Of: []score.Life{{X: 1e4, End: score.StillRunning}}}}
	}
	for name, c := range map[string]struct {
		pasts                     []score.Lives
		openings, noChance, spoke int
	}{
		"said in remarks of today only: service lines are no chance": {together(said(evidence.Remarks), opened(8, true, silent(evidence.Workshop))), 0, 8, 0},
		"said in remarks, and remarks were read":                     {together(said(evidence.Remarks), opened(8, true, silent(evidence.Workshop|evidence.Remarks))), 8, 0, 0},
		"said by the workshop":                                       {together(said(evidence.Workshop), opened(8, true, silent(evidence.Workshop))), 8, 0, 0},
		"never said in the fleet":                                    {opened(8, true, silent(evidence.Workshop)), 0, 8, 0},
		"spoke":                                                      {opened(3, true, evidence.Trial{Group: 1, Spoke: true, Ready: 1, Texts: evidence.Workshop}), 3, 0, 3},
	} {
		t.Run(name, func(t *testing.T) {
			got := ratesOf(w, c.pasts)[2]
			assert.Equal(t, []int{c.openings, c.noChance, c.spoke}, []int{got.Worn.Openings, got.Worn.NoChance, got.Worn.Spoke})
			if c.openings == 0 {
				assert.Equal(t, got.Worn.Old, got.Worn.New)
			}
			assert.False(t, math.IsNaN(got.Worn.New))
		})
	}
}
