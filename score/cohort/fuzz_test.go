package cohort

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// FuzzFit: whatever the records say, a fit is a number with its covariance or an
// error; never a panic, never no number. The lives before the records are solved
// on few steps: with all of them a fit may take seconds of a busy machine, and the
// fuzzer takes ten for a hang. TestFitsOnAllSteps has them.
func FuzzFit(f *testing.F) {
	for _, r := range oddRecords {
		f.Add([]byte(r.raw), r.same, r.shape, r.scale, r.delay)
	}
	f.Fuzz(func(t *testing.T, raw []byte, same bool, shape, scale, delay float64) {
		fitsOrSays(t, raw, same, shape, scale, delay, 16)
	})
}

// oddRecords are seeds, and what took the fuzzer longest.
var oddRecords = []struct {
	raw                 string
	same                bool
	shape, scale, delay float64
}{
	{"\x64\x00\x00\x00\x50\x00\x28\x01\x78\x3c\x5a\x02\x1e\x00\x00\x04", true, 2.8, 170, 33},
	{"\xff\xff\xff\x01\x01\x01\x01\x02\x00\x00\x00\x03", false, 0.6, 400, 900},
	{"", false, 9, 1, 0.01},
	{"'d\fY\xbf\xa6", true, 9, 1, 0.01},
	{"\xff\xff\xff\x01\x01\x01\x01\x01\x02\x00\x01\x02\x00\x00\x00\x03", true, 0.6, 400, 87.8},
	{"\x16b\xfbY\x85Hs\xe7", true, 2.488888888888889, 3, 0.0011904761904761904},
	{"\xb5\xfd\fmA\\\xda\x8c\xc7\xdb,\x1b\x81\x04\xdc", true, 13, 1, 48.000277777777775},
}

func TestFitsOnAllSteps(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	for _, r := range oddRecords {
		fitsOrSays(t, []byte(r.raw), r.same, r.shape, r.scale, r.delay, unseenSteps)
	}
}

// fitsOrSays makes a life of each four bytes and fits: a number or an error.
func fitsOrSays(t *testing.T, raw []byte, same bool, shape, scale, delay float64, steps int) {
	w := pump()
	part := w.part(3)
	part.Onset, part.Delay = life.Weibull{Shape: shape, Scale: scale}, life.Exponential{Mean: delay}
	for _, d := range []life.Distribution{part.Onset, part.Delay} {
		if d.Validate() != nil || shape > 20 || shape < 0.2 || scale < 1e-3 || scale > 1e7 || delay < 1e-3 || delay > 1e7 {
			t.Skip("no catalogue holds such a curve")
		}
	}
	if same {
		part.Replacement = wear.Same
	}
	p := NewPart(part, pastsOf(raw))
	p.steps = steps
	fit, err := p.Fit()
	if err != nil {
		return
	}
	assert.NoError(t, fit.New.Onset.Validate())
	assert.NoError(t, fit.New.Delay.Validate())
	for _, q := range fit.Parameters {
		assert.False(t, math.IsNaN(q.Value+q.SD+q.Told), "%+v", q)
	}
	for _, q := range fit.Band {
		assert.True(t, q.FailedLow <= q.Failed+1e-9 && q.Failed <= q.FailedTop+1e-9, "%+v", q)
		assert.True(t, q.WornLow <= q.Worn+1e-9 && q.Worn <= q.WornTop+1e-9, "%+v", q)
	}
	if fit.Goodness != nil {
		assert.False(t, math.IsNaN(fit.Goodness.P+fit.Goodness.ChiSquare))
	}
}

// pastsOf makes a vehicle with one life of each four bytes, 20 at most.
func pastsOf(raw []byte) (pasts []score.Lives) {
	ends := []score.Ending{score.StillRunning, score.EndedFailed, score.EndedWorn, score.EndedPlanned, score.EndedUnknown}
	for b := range slices.Chunk(raw[:min(len(raw), 80)], 4) {
		if len(b) < 4 {
			break
		}
		x := float64(b[0])
		l := score.Life{X: x, E: min(x, float64(b[1])), End: ends[int(b[3])%len(ends)]}
		if b[2] > 0 {
			l.Clean = []float64{min(x, float64(b[2]))}
		}
		m := score.Inside
		if b[3] > 128 {
			m = score.Unknown
		}
		pasts = append(pasts, score.Lives{Belonging: score.Belonging{Membership: m}, Of: []score.Life{l}})
	}
	return pasts
}
