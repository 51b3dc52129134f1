package plan

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// TestOutcomesByHand: a part worn with 0.1 (C 10,000, R 1,000, a look at 100
// finds all wear, worn it fails with 0.5), and a check that speaks with 0.8 of
// a worn and 0.1 of a sound one.
func TestOutcomesByHand(t *testing.T) {
	o := auctionOptions()
	got := o.Make([]score.Assessment{plainWith(4, 5000)}, 1).Offers[0]
	require.Len(t, got.Outcomes, 2)
	quiet, spoke := got.Outcomes[0], got.Outcomes[1]

	// 0.1 × 0.2 + 0.9 × 0.9 = 0.83; worn 0.02 / 0.83; left alone it costs
	// 10,000 × 0.5 × 0.0241, opened 100 + 24. Within 80 % of cases nothing.
	assert.Nil(t, quiet.At)
	assert.InDelta(t, 0.83, quiet.Chance, 1e-12)
	assert.InDelta(t, 5000*0.02/0.83, quiet.Deduction, 1e-9)
	assert.InDelta(t, 5000-5000*0.02/0.83, quiet.BidLimit, 1e-9)

	// 0.1 × 0.8 + 0.9 × 0.1 = 0.17; worn 0.08 / 0.17: opened, 100 + 471. The bill
	// is 1,100 with 0.47, so 80 % of cases lie within 1,100.
	assert.Equal(t, "listen", spoke.Look.ID)
	assert.InDelta(t, 0.17, spoke.Chance, 1e-12)
	assert.InDelta(t, 100+1000*0.08/0.17, spoke.Deduction, 1e-9)
	assert.InDelta(t, 5000-1100, spoke.BidLimit, 1e-9)
}

// TestOutcomesAreTheEnumeration: what is believed after a result is taken from
// the joint distribution of all states and results, and the vehicle is offered
// anew with it, without checks.
func TestOutcomesAreTheEnumeration(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 8))
	reckoned, several := 0, 0
	for range 400 {
		parts := randomGiven(r, 1+r.IntN(3), 2)
		a := vehicleGiven(parts, r.IntN(5) == 0)
		guide(a.Vehicle, score.Is(20_000))
		o := auctionOptions()
		o.Desk = []Desk{Auction, TradeIn}[r.IntN(2)]
		offer := o.Make([]score.Assessment{a}, 1).Offers[0]
		if len(offer.Chosen.Looks) == 0 {
			require.Empty(t, offer.Outcomes)
			continue
		}
		made := map[string]bool{}
		looks := 0
		for _, l := range offer.Chosen.Looks {
			made[l.ID] = true
			looks += len(l.Parts)
		}
		if looks > 1 {
			several++
		}
		joint := posteriors(parts, made)
		for _, got := range offer.Outcomes {
			key := ""
			for i := range parts {
				for _, c := range parts[i].Checks {
					switch {
					case !made[c.ID]:
					case got.At != nil && got.Look.ID == c.ID && got.At.Finding == &a.Findings[i]:
						key += "1"
					default:
						key += "0"
					}
				}
			}
			e := joint[key]
			require.NotNil(t, e, key)
			require.InDelta(t, e.chance, got.Chance, 1e-12)
			after := append([]given(nil), parts...)
			for i := range after {
				after[i].Worn, after[i].Sound, after[i].Checks = e.worn[i]/e.chance, e.sound[i]/e.chance, nil
			}
			b := vehicleGiven(after, a.Vehicle.Desk().CannotOpen)
			guide(b.Vehicle, score.Is(20_000))
			want := o.Make([]score.Assessment{b}, 1).Offers[0]
			require.InDelta(t, want.Deduction, got.Deduction, 1e-8)
			require.InDelta(t, want.BillCover, got.Bill.Quantile(o.Buying.Cover), 0.011)
			if o.Desk == Auction {
				require.InDelta(t, want.BidLimit, got.BidLimit, 0.011)
			}
			reckoned++
		}
	}
	assert.Greater(t, reckoned, 300)
	assert.Greater(t, several, 50, "looks at several parts, or several looks")
}
