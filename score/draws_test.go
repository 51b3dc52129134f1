package score

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/wear"
)

// TestDrawsThatWereLetGo: it stays known in which draws an injury part is over a
// limit, and the draws come back as they would have been kept.
func TestDrawsThatWereLetGo(t *testing.T) {
	keeping := scorerOf(t, 50, RecordsNew)
	s := keeping.settings
	s.Sift = func(*Finding, []wear.DrawState) {}
	sifting, err := keeping.With(s)
	require.NoError(t, err)
	vehicles := make([]Vehicle, 300)
	r := rand.New(rand.NewPCG(3, 4))
	for i := range vehicles {
		vehicles[i] = inventedVehicle(t, fmt.Sprint("V", i), choices(r))
	}
	kept, err := keeping.AssessAll(context.Background(), vehicles, nil)
	require.NoError(t, err)
	let, err := sifting.AssessAll(context.Background(), vehicles, nil)
	require.NoError(t, err)
	over, back := 0, make([]*Assessment, len(let))
	for i := range let {
		back[i] = &let[i]
		for j := range let[i].Findings {
			f, d := &let[i].Findings[j], kept[i].Findings[j].Draws
			require.Nil(t, f.Draws)
			for k := 0; d != nil && k < len(d.Worn); k++ {
				risk := float32(0)
				if len(d.Risk) > 0 {
					risk = d.Risk[k]
				}
				assert.Equal(t, OverLimit(f.Part, d.Worn[k], risk), f.Over.Has(k))
				if f.Over.Has(k) {
					over++
				}
			}
		}
	}
	assert.Positive(t, over)
	sifting.Redraw(back)
	for i := range let {
		for j := range let[i].Findings {
			assert.Equal(t, kept[i].Findings[j].Draws, let[i].Findings[j].Draws)
			assert.Zero(t, let[i].Findings[j].LetGo)
		}
	}
}
