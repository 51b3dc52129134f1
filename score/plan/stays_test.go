package plan

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
)

// inDraw is the fleet as draw k believes it to be, without any draws.
func inDraw(fleet []score.Assessment, k int) []score.Assessment {
	out := make([]score.Assessment, len(fleet))
	for i, a := range fleet {
		a.Findings = append([]score.Finding(nil), a.Findings...)
		for j := range a.Findings {
			f := &a.Findings[j]
			d := f.Draws
			if f.Draws = nil; d == nil {
				continue
			}
			f.State.Worn, f.State.Sound = float64(d.Worn[k]), float64(d.Sound[k])
			f.NextFail.IfWorn, f.HoldFail.IfWorn, f.HoldFail.IfSound = float64(d.WornNext[k]), float64(d.WornHold[k]), float64(d.SoundHold[k])
			if p := f.Part; p.Consequence == score.CanInjure {
				f.NoticeWorn, f.NoticeFail = f.State.Worn > p.WornLimit, float64(d.Risk[k]) > p.RiskLimit
			}
		}
		out[i] = a
	}
	return out
}

// TestStaysPlansAnewInEachDraw compares the share of draws with plans made of
// each draw's beliefs by themselves, whole and without any short cut.
func TestStaysPlansAnewInEachDraw(t *testing.T) {
	const draws = 35 // more than two blocks, and not a whole number of them
	fleet := invented(t, 400, draws)
	fleet[0].Findings[0].Standing = score.WornFound
	for _, hours := range []map[string]float64{nil, {"*": 0}, {"*": 3}, {"*": 25}, {"North": 12, "Harbour": 100, "Isle": 2.75}, {"*": 1e5}} {
		t.Run(fmt.Sprint(hours), func(t *testing.T) {
			o := &Options{BayHour: 95, OffRoadDay: 180, BayHours: hours}
			above := map[*score.Vehicle]int{}
			for k := range draws {
				l := o.Make(inDraw(fleet, k), 1)
				for i := range l.Rows {
					if l.Rows[i].Above {
						above[l.Rows[i].Assessment.Vehicle]++
					}
				}
			}
			some := 0
			l := o.Make(fleet, 1)
			for i := range l.Rows {
				v := l.Rows[i].Assessment.Vehicle
				assert.InDelta(t, float64(above[v])/draws, l.Rows[i].Stays, 1e-12, v.Unit)
				if above[v] > 0 && above[v] < draws {
					some++
				}
			}
			if hours["*"] != 0 {
				assert.NotZero(t, some, "some vehicles are above the line in some draws only")
			}
		})
	}
}

func TestStaysByHand(t *testing.T) {
	twice := func() []score.Assessment {
		a := []score.Assessment{
			vehicleOf(t, "V1", "North", asks{hours: 1, gain: 300, waiting: 90}),
			vehicleOf(t, "V2", "North", asks{hours: 1, gain: 300, waiting: 80}),
			vehicleOf(t, "V3", "North", asks{hours: 1, gain: 110, waiting: 10, standing: score.WornFound}),
			vehicleOf(t, "V4", "North", asks{hours: 1, gain: 10, waiting: 1}),
		}
		dispersed(&a[0].Findings[0], 1, 0.5, 1, 1) // second in one draw of four
		dispersed(&a[1].Findings[0], 1, 1, 0.2, 1)
		return a
	}
	stays := func(l List) map[string]float64 {
		out := map[string]float64{}
		for _, r := range l.Rows {
			out[r.Assessment.Vehicle.Unit] = r.Stays
		}
		return out
	}
	t.Run("an hour for one: the better one of each draw", func(t *testing.T) {
		got := stays(hundred(map[string]float64{"*": 1}).Make(twice(), 1))
		assert.Equal(t, map[string]float64{"V1": 0.75, "V2": 0.25, "V3": 1, "V4": 0}, got)
	})
	t.Run("no limit: whoever pays in the draw", func(t *testing.T) {
		got := stays(hundred(nil).Make(twice(), 1)) // V2 brings 60 for an hour at 100 in the third draw
		assert.Equal(t, map[string]float64{"V1": 1, "V2": 0.75, "V3": 1, "V4": 0}, got)
	})
	t.Run("no draws: not reckoned, for the found worn neither", func(t *testing.T) {
		a := twice()
		a[0].Findings[0].Draws, a[1].Findings[0].Draws = nil, nil
		assert.Equal(t, map[string]float64{"V1": -1, "V2": -1, "V3": -1, "V4": -1}, stays(hundred(nil).Make(a, 1)))
	})
	t.Run("an injury part is forced in the draws that put it over its limit", func(t *testing.T) {
		a := []score.Assessment{vehicleOf(t, "V1", "North", asks{hours: 1, gain: 3000, injury: true})}
		p := a[0].Findings[0].Part
		p.WornLimit, p.RiskLimit = 0.25, 0.5
		dispersed(&a[0].Findings[0], 1, 0.5, 0.8, 2)
		a[0].Findings[0].Draws.Risk = []float32{0, 0, 0.6, 0}
		got := stays(hundred(map[string]float64{"*": 0}).Make(a, 1)) // no hours: only force lifts it
		assert.Equal(t, map[string]float64{"V1": 0.75}, got)
	})
}
