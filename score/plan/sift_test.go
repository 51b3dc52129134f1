package plan

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/wear"
)

// sifted is the fleet with draws let go as a run lets them go; of injury parts
// it stays known in which draws they are over a limit. Asked for, they come back.
func sifted(o *Options, fleet []score.Assessment) (out []score.Assessment, redraw func([]*score.Assessment), back *int) {
	kept := map[*score.Vehicle][]*score.Draws{}
	out = make([]score.Assessment, len(fleet))
	for i, a := range fleet {
		a.Findings = append([]score.Finding(nil), a.Findings...)
		draws := make([]*score.Draws, len(a.Findings))
		for j := range a.Findings {
			f := &a.Findings[j]
			if draws[j] = f.Draws; f.Draws == nil {
				continue
			}
			o.Sift(f, states(f.Draws))
			f.Over = over(f)
			f.LetGo, f.Draws = len(f.Draws.Worn), nil
		}
		kept[a.Vehicle], out[i] = draws, a
	}
	back = new(int)
	return out, func(list []*score.Assessment) {
		*back += len(list)
		for _, a := range list {
			for j := range a.Findings {
				a.Findings[j].Draws, a.Findings[j].LetGo = kept[a.Vehicle][j], 0
			}
		}
	}, back
}

// over are the draws in which an injury part is over a limit.
func over(f *score.Finding) (draws score.DrawSet) {
	c := Choice{Finding: f}
	for k := range f.Draws.Worn {
		if c.forcedIn(k) {
			draws.Add(k, len(f.Draws.Worn))
		}
	}
	return draws
}

func states(d *score.Draws) []wear.DrawState {
	out := make([]wear.DrawState, len(d.Worn))
	for k := range out {
		out[k] = wear.DrawState{Worn: float64(d.Worn[k]), Sound: float64(d.Sound[k]), FailWornNext: float64(d.WornNext[k]),
			FailWornHold: float64(d.WornHold[k]), FailSoundHold: float64(d.SoundHold[k])}
	}
	return out
}

// TestDrawsLetGoChangeNothing: the list of a fleet whose draws were let go is that
// of the fleet that kept them, whatever the hours; and most stay away where hours
// are few, or letting them go would save nothing.
func TestDrawsLetGoChangeNothing(t *testing.T) {
	fleet := invented(t, 3000, 33)
	for _, hours := range []map[string]float64{{"*": 0}, {"*": 3}, {"*": 25}, {"*": 400}, {"*": 1e5}, {"North": 12, "Harbour": 100, "*": 2.75}} {
		t.Run(fmt.Sprint(hours), func(t *testing.T) {
			o := Options{BayHour: 95, OffRoadDay: 180, BayHours: hours}
			require.True(t, o.Sifts())
			want := o.Make(fleet, 1)
			let, redraw, back := sifted(&o, fleet)
			o.Redraw = redraw
			got := o.Make(let, 1)
			require.Len(t, got.Rows, len(want.Rows))
			for i := range want.Rows {
				w, g := &want.Rows[i], &got.Rows[i]
				assert.Equal(t, []any{w.Assessment.Vehicle, w.Group, w.Hours, w.Waiting, w.Stays}, []any{g.Assessment.Vehicle, g.Group, g.Hours, g.Waiting, g.Stays})
			}
			if hours["*"] == 0 {
				assert.Zero(t, *back, "there is nothing to compete for")
			}
			if hours["*"] == 3 {
				assert.Less(t, *back, len(fleet)/10)
			}
		})
	}
}

func TestSiftingNeedsALimitForAll(t *testing.T) {
	for _, c := range []struct {
		rule  string
		o     Options
		sifts bool
	}{
		{"every depot limited", Options{BayHours: map[string]float64{"*": 8}}, true},
		{"no limit: each vehicle is weighed in every draw", Options{}, false},
		{"depots that are not named have no limit", Options{BayHours: map[string]float64{"North": 8}}, false},
		{"a buying desk keeps no draws at all", Options{Desk: Auction, BayHours: map[string]float64{"*": 8}}, false},
	} {
		t.Run(c.rule, func(t *testing.T) { assert.Equal(t, c.sifts, c.o.Sifts()) })
	}
}
