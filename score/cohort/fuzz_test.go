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
// error; never a panic, never no number.
func FuzzFit(f *testing.F) {
	f.Add([]byte{100, 0, 0, 0, 80, 0, 40, 1, 120, 60, 90, 2, 30, 0, 0, 4}, true, 2.8, 170.0, 33.0)
	f.Add([]byte{255, 255, 255, 1, 1, 1, 1, 2, 0, 0, 0, 3}, false, 0.6, 400.0, 900.0)
	f.Add([]byte{}, false, 9.0, 1.0, 0.01)
	f.Fuzz(func(t *testing.T, raw []byte, same bool, shape, scale, delay float64) {
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
		ends := []score.Ending{score.StillRunning, score.EndedFailed, score.EndedWorn, score.EndedPlanned, score.EndedUnknown}
		var pasts []score.Lives
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
		p := NewPart(part, pasts)
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
	})
}
