package config

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life"
)

// learnedOf is an overlay of the good catalogue's pump follower.
func learnedOf(onset, delay life.Distribution) *Learned {
	return &Learned{Job: `north "A" # 1`, Day: 20780, Entries: []LearnedEntry{{
		ID: "pump-follower", Notes: []string{"few failures:\nread with care"}, Onset: onset, Delay: delay, Weight: 12 + 1.0/3,
		Share: score.Is(0.4142135623730951), Source: "fleet: 3 failures \\ in 41 vehicles",
		Rates: []LearnedRate{{Group: "noise", Rule: 1, Worn: 0.1 + 0.2, NotWorn: 0.01, Weight: 31}},
	}}}
}

func TestLearnedReadsBackAsItIs(t *testing.T) {
	table, err := life.NewTable([]life.Point{{Distance: 100000, Share: 0.1}, {Distance: 200000, Share: 0.5}})
	require.NoError(t, err)
	for _, k := range []struct {
		name         string
		onset, delay life.Distribution
	}{
		{"Weibull and lognormal", life.Weibull{Shape: 3.2000000000000006, Scale: 215000.123456789}, life.Lognormal{Mu: 10.123456789012345, Sigma: 0.7}},
		{"exponential", life.Exponential{Mean: 1e5 / 3}, life.Exponential{Mean: 42000}},
		{"table", table, life.Weibull{Shape: 1.8, Scale: 42000}},
	} {
		t.Run(k.name, func(t *testing.T) {
			var text bytes.Buffer
			require.NoError(t, learnedOf(k.onset, k.delay).Write(&text))
			c, faults := laid(t, text.String())
			require.NoError(t, faults.Err(), text.String())
			p := c.Parts[0]
			if want, ok := k.onset.(*life.Table); ok {
				for _, x := range []float64{1000, 100000, 150000, 200000, 400000} {
					assert.InEpsilon(t, want.CumHazard(x), p.Onset.CumHazard(x), 1e-12)
				}
			} else {
				assert.Equal(t, k.onset, p.Onset)
			}
			assert.Equal(t, k.delay, p.Delay)
			assert.Equal(t, 12+1.0/3, p.Weight)
			assert.Equal(t, 0.4142135623730951, p.ShareIfUnknown)
			assert.Equal(t, "fleet: 3 failures \\ in 41 vehicles", p.CurveSource)
			r := p.Evidence[1].Rules[0]
			assert.Equal(t, []float64{0.1 + 0.2, 0.01, 31}, []float64{r.Worn, r.NotWorn, r.Weight})
		})
	}
}

func TestUnlearnedLeavesOutWhatAFitMade(t *testing.T) {
	_, base := goodFile(t, "full-catalogue.yaml")
	var text bytes.Buffer
	require.NoError(t, learnedOf(life.Exponential{Mean: 90000}, life.Exponential{Mean: 30000}).Write(&text))
	dir := folder(t, map[string]string{
		"parts.yaml": string(base), "learned.yaml": text.String(),
		"hand.yaml": "parts:\n  - { id: pump-follower, weight: 15 }\n",
	})
	files := []string{filepath.Join(dir, "parts.yaml"), filepath.Join(dir, "learned.yaml"), filepath.Join(dir, "hand.yaml")}
	c, left, faults, err := LoadUnlearned(files)
	require.NoError(t, err)
	require.NoError(t, faults.Err())
	assert.Equal(t, files[1:2], left)
	assert.Equal(t, life.Weibull{Shape: 3.2, Scale: 215000}, c.Parts[0].Onset, "the catalogue's own curve")
	assert.Equal(t, 15.0, c.Parts[0].Weight, "an overlay by hand stays")

	with, faults, err := LoadCatalogue(files)
	require.NoError(t, err)
	require.NoError(t, faults.Err())
	assert.Equal(t, life.Exponential{Mean: 90000}, with.Parts[0].Onset)

	_, _, _, err = LoadUnlearned([]string{filepath.Join(dir, "missing.yaml")})
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func TestLearnedMarkIsStrict(t *testing.T) {
	_, faults := laid(t, "learned: { job: north, days: 3 }\nparts:\n  - { id: pump-follower, weight: 15 }\n")
	require.Error(t, faults.Err())
	assert.Contains(t, faults.Err().Error(), "days")
}
