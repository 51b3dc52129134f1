package config

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life"
)

// laid loads the good catalogue with an overlay after it.
func laid(t *testing.T, overlay string) (*score.Catalogue, Faults) {
	t.Helper()
	_, base := goodFile(t, "full-catalogue.yaml")
	dir := folder(t, map[string]string{"parts.yaml": string(base), "learned.yaml": overlay})
	c, faults, err := LoadCatalogue([]string{filepath.Join(dir, "parts.yaml"), filepath.Join(dir, "learned.yaml")})
	require.NoError(t, err)
	return c, faults
}

func TestOverlayReplacesWhatItStates(t *testing.T) {
	c, faults := laid(t, `parts:
  - id: pump-follower
    onset: { weibull: { shape: 3.0, scale: 190000 } }
    weight: 19
    share_if_unknown: 0.5
    source: own records to 2026-11
    evidence:
      - group: noise
        rules: [ { rule: 1, worn: 0.4, not_worn: 0.02, weight: 31 } ]
`)
	require.NoError(t, faults.Err())
	require.Len(t, c.Parts, 1)
	p := c.Parts[0]
	assert.Equal(t, life.Weibull{Shape: 3.0, Scale: 190000}, p.Onset)
	assert.Equal(t, life.Weibull{Shape: 1.8, Scale: 42000}, p.Delay, "what it does not state stays")
	assert.Equal(t, 19.0, p.Weight)
	assert.Equal(t, 0.5, p.ShareIfUnknown)
	assert.Equal(t, "Invented for the demo", p.Source)
	assert.Equal(t, "own records to 2026-11", p.CurveSource)
	r := p.Evidence[1].Rules[0]
	assert.Equal(t, []float64{0.4, 0.02, 31}, []float64{r.Worn, r.NotWorn, r.Weight})
	assert.Equal(t, []string{"pump knock", "knocks when hot"}, r.Words)
}

func TestOverlayNamesItsFileWhereItStatesNoSource(t *testing.T) {
	c, faults := laid(t, "parts:\n  - { id: pump-follower, delay: { exponential: { mean: 30000 } }, weight: 15 }\n")
	require.NoError(t, faults.Err())
	assert.Equal(t, "learned.yaml", c.Parts[0].CurveSource)
}

func TestOverlayFaults(t *testing.T) {
	for _, c := range []struct{ rule, text, want string }{
		{"an id that no entry has", "parts:\n  - { id: pump-folower, weight: 3 }\n",
			"2:11: no entry before this one has the id pump-folower, so there is nothing to override; did you mean pump-follower?"},
		{"new curves want their weight", "parts:\n  - { id: pump-follower, onset: { exponential: { mean: 90000 } } }\n",
			"2:5: weight is missing; new curves rest on another number of failures: the old weight plus those used"},
		{"the units are those of the entry's axis", "parts:\n  - { id: pump-follower, weight: 3, onset: { exponential: { mean: 90 } } }\n",
			"2:67: mean is 90 km; no part is expected below 500; distances are in km: is this in thousands of km?"},
		{"a group that the entry lacks", "parts:\n  - { id: pump-follower, evidence: [ { group: noises, rules: [ { rule: 1, worn: 0.3 } ] } ] }\n",
			"2:47: the entry has no group \"noises\"; did you mean noise?"},
		{"a rule that the group lacks", "parts:\n  - { id: pump-follower, evidence: [ { group: noise, rules: [ { rule: 2, worn: 0.3 } ] } ] }\n",
			"2:71: the group has 1 rules, so there is no rule 2"},
		{"rates that add up to too much", "parts:\n  - { id: pump-follower, evidence: [ { group: rail pressure, rules: [ { rule: 3, worn: 0.6 } ] } ] }\n",
			"2:69: the rates add up to 1.15 worn and 0.015 not worn; each sum is at most 1 (came_back_after aside)"},
		{"a rule that is not named", "parts:\n  - { id: pump-follower, evidence: [ { group: noise, rules: [ { worn: 0.3 } ] } ] }\n",
			"2:63: which rule?; name it by id, or by its number in the group: rule: 1"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			_, faults := laid(t, c.text)
			assert.Equal(t, []string{c.want}, said(faults))
			for _, f := range faults {
				assert.Equal(t, "learned.yaml", filepath.Base(f.File))
			}
		})
	}
}

func TestTheSameIDInTwoFullEntriesIsAFault(t *testing.T) {
	_, base := goodFile(t, "full-catalogue.yaml")
	_, faults := laid(t, string(base))
	require.Len(t, faults, 1)
	assert.Equal(t, "learned.yaml", filepath.Base(faults[0].File))
	assert.Regexp(t, `^the id pump-follower is taken by .*parts\.yaml, line 2$`, faults[0].Problem)
}

func TestDigestFollowsNamesAndContents(t *testing.T) {
	_, base := goodFile(t, "full-catalogue.yaml")
	digest := func(name string, data []byte) string {
		c, _ := ParseCatalogue(name, data)
		return c.Digest
	}
	first := digest("a/parts.yaml", base)
	assert.Equal(t, first, digest("b/parts.yaml", base), "the folder does not count")
	assert.NotEqual(t, first, digest("a/other.yaml", base), "the name does")
	assert.NotEqual(t, first, digest("a/parts.yaml", append([]byte("# x\n"), base...)), "every byte does")
}
