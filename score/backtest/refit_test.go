package backtest

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life"
)

// TestRefitted: curves that are far too long are put right by the records of
// the day, and what comes after the day teaches nothing.
func TestRefitted(t *testing.T) {
	own := follower(t)
	own.Evidence = nil
	fleet := lived(t, &own, 600, rand.New(rand.NewPCG(3, 9)))
	long := own
	long.Onset, long.Weight = life.Weibull{Shape: 2.8, Scale: 240e3}, 1
	c := &score.Catalogue{Parts: []score.WeakPart{long}}
	days := []score.Day{end - 728, end - 364}
	o := options(days...)
	o.Refit = Refitted(context.Background(), c, o.Settings, func(day score.Day, part string, err error) { t.Error(day, part, err) })

	kept, err := Run(context.Background(), c, fleet, options(days...))
	require.NoError(t, err)
	refitted, err := Run(context.Background(), c, fleet, o)
	require.NoError(t, err)
	assert.False(t, kept.All.Failures.Inside(), "the catalogue's curves expect too few: %+v", kept.All.Failures)
	assert.True(t, refitted.All.Failures.Inside(), "%+v", refitted.All.Failures)

	then := make([]score.Vehicle, len(fleet))
	for i := range fleet {
		then[i] = asThen(&fleet[i], days[0])
	}
	before, err := o.Refit(days[0], then)
	require.NoError(t, err)
	for i, v := range plant(t, fleet, days[0]) {
		then[i] = asThen(&v, days[0])
	}
	after, err := o.Refit(days[0], then)
	require.NoError(t, err)
	assert.Equal(t, before.Parts[0].Onset, after.Parts[0].Onset)
	assert.Equal(t, before.Parts[0].Delay, after.Parts[0].Delay)
	assert.Equal(t, long, c.Parts[0], "the catalogue itself stays as it was")
}
