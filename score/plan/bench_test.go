package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// invented makes n vehicles in three depots with one to five weak parts each,
// of which one in seven vehicles carries parameter draws, as a fleet does:
// most of it is far from worn.
func invented(tb testing.TB, n, draws int) []score.Assessment {
	tb.Helper()
	model, err := wear.New(life.Weibull{Shape: 2.8, Scale: 170e3}, life.Weibull{Shape: 1.6, Scale: 33e3}, wear.Improved)
	if err != nil {
		tb.Fatal(err)
	}
	parts := make([]score.WeakPart, 5)
	for i := range parts {
		parts[i] = score.WeakPart{
			ID: fmt.Sprintf("part-%d", i), Axis: score.ByKM, Consequence: score.CostsMoney,
			Inspection: score.InspectionPlan{Visit: []string{"engine", "axle"}[i%2], SetUpHours: 0.5, Hours: 0.25 * float64(1+i), Detects: 0.9, FalseAlarm: 0.02},
			Costs:      score.Costs{PlannedRepair: 600 * float64(1+i), Failure: 3000 * float64(1+i), OffRoadDays: 2},
		}
	}
	parts[4].Consequence, parts[4].RiskKM, parts[4].RiskLimit, parts[4].WornLimit = score.CanInjure, 3000, 0.02, 0.3
	r := rand.New(rand.NewPCG(3, 5))
	out := make([]score.Assessment, n)
	for i := range out {
		v := &score.Vehicle{Unit: fmt.Sprintf("U%06d", i), Depot: []string{"North", "Harbour", "Isle"}[r.IntN(3)]}
		a := score.Assessment{Vehicle: v}
		suspect := r.IntN(7) == 0
		for j := range 1 + r.IntN(5) {
			a.Findings = append(a.Findings, inventedFinding(&parts[j], model, suspect, draws, r))
		}
		out[i] = a
	}
	return out
}

func inventedFinding(p *score.WeakPart, m *wear.Model, suspect bool, draws int, r *rand.Rand) score.Finding {
	h := wear.History{X: 5e3 + 60e3*r.Float64(), Share: 1}
	if suspect {
		h.X = 40e3 + 150e3*r.Float64()
		h.Factors = []wear.Factor{{At: h.X, Worn: 0.3 * r.Float64(), NotWorn: 0.05}}
	}
	f := score.Finding{Part: p, Standing: score.Scored, Next: 450, Hold: 60e3, Distance: h.X, State: m.Assess(h)}
	f.NextFail = score.Fails{IfWorn: f.State.FailWorn(f.Next), IfSound: f.State.FailSound(f.Next), All: f.State.Fail(f.Next)}
	f.HoldFail = score.Fails{IfWorn: f.State.FailWorn(f.Hold), IfSound: f.State.FailSound(f.Hold), All: f.State.Fail(f.Hold)}
	f.RiskFail = f.State.Fail(p.RiskKM)
	if p.Consequence == score.CanInjure {
		f.NoticeFail, f.NoticeWorn = f.RiskFail > 0.1, f.State.Worn > 0.6
	}
	if suspect && draws > 0 {
		f.Draws = inventedDraws(&f, draws, r)
	}
	return f
}

// inventedDraws scatters a finding's beliefs.
func inventedDraws(f *score.Finding, n int, r *rand.Rand) *score.Draws {
	all := make([]float32, 6*n)
	d := &score.Draws{Worn: all[:n], Sound: all[n : 2*n], WornNext: all[2*n : 3*n], WornHold: all[3*n : 4*n], SoundHold: all[4*n : 5*n], Risk: all[5*n:]}
	scatter := func(p float64) float32 {
		odds := p / (1 - p + 1e-12) * (0.5 + r.Float64())
		return float32(odds / (1 + odds))
	}
	for k := range n {
		d.Worn[k] = scatter(f.State.Worn)
		d.Sound[k] = 1 - d.Worn[k]
		d.WornNext[k], d.WornHold[k], d.SoundHold[k] = scatter(f.NextFail.IfWorn), scatter(f.HoldFail.IfWorn), scatter(f.HoldFail.IfSound)
		d.Risk[k] = scatter(f.RiskFail)
	}
	return d
}

func BenchmarkMake(b *testing.B) {
	for _, n := range []int{3_000, 100_000} {
		fleet := invented(b, n, 200)
		for _, hours := range []map[string]float64{{"*": 40}, {"North": 60, "Harbour": 60, "Isle": 60}, {"North": 600, "Harbour": 600, "Isle": 600}, nil} {
			b.Run(fmt.Sprintf("vehicles=%d/hours=%v", n, hours), func(b *testing.B) {
				o := &Options{BayHour: 95, OffRoadDay: 180, BayHours: hours}
				for b.Loop() {
					o.Make(fleet, 20_000)
				}
			})
		}
	}
}
