package cohort

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

// pump wears by a Weibull and is put right with an improved part; a third of the
// vehicles may or may not have it.
func pump() world {
	return world{
		onset: life.Weibull{Shape: 2.8, Scale: 170e3}, delay: life.Weibull{Shape: 1.6, Scale: 33e3},
		detects: 0.9, share: 0.4, open: 0.3, looks: 1, planned: 0.1, late: 0.3, from: 2e4, to: 3e5,
	}
}

// bearing is replaced like for like.
func bearing() world {
	return world{
		onset: life.Lognormal{Mu: 11.7, Sigma: 0.45}, delay: life.Exponential{Mean: 24e3}, same: true,
		detects: 0.8, share: 0.4, looks: 1, planned: 0.1, late: 0.3, from: 2e4, to: 3e5,
	}
}

func fitted(t *testing.T, p Part) *Fit {
	t.Helper()
	f, err := p.Fit()
	require.NoError(t, err)
	return f
}

// TestFitAgainAlike: a second fit of the same records, and one of the records in
// another order, give the same bits.
func TestFitAgainAlike(t *testing.T) {
	for name, w := range map[string]world{"improved": pump(), "same": bearing()} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(20261125, 1))
			pasts := w.fleet(r, 400)
			first := fitted(t, NewPart(w.part(5), pasts))
			assert.Equal(t, first, fitted(t, NewPart(w.part(5), pasts)))
			r.Shuffle(len(pasts), func(i, j int) { pasts[i], pasts[j] = pasts[j], pasts[i] })
			other := fitted(t, NewPart(w.part(5), pasts))
			assert.Equal(t, first.New, other.New)
			assert.Equal(t, first.Band, other.Band)
			assert.Equal(t, first.Goodness, other.Goodness)
			assert.Equal(t, first.LogLik, other.LogLik)
		})
	}
}
