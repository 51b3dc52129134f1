package wear_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// curveSpec is a curve as the cases write it.
type curveSpec struct {
	Family                        string
	Shape, Scale, Mean, Mu, Sigma float64
}

func (c curveSpec) distribution(t *testing.T) life.Distribution {
	t.Helper()
	switch c.Family {
	case "weibull":
		return life.Weibull{Shape: c.Shape, Scale: c.Scale}
	case "lognormal":
		return life.Lognormal{Mu: c.Mu, Sigma: c.Sigma}
	case "exponential":
		return life.Exponential{Mean: c.Mean}
	}
	t.Fatalf("family %q", c.Family)
	return nil
}

// partSpec is what both files of cases give.
type partSpec struct {
	Onset, Delay curveSpec
	Share        float64
	NextRun      float64          `json:"next_run_km"`
	Holding      float64          `json:"holding_km"`
	HistoryFrom  float64          `json:"history_from_km"`
	Replacement  wear.Replacement `json:"replacement"`
	Detects      float64          `json:"inspection_detects"`
	FalseAlarm   float64          `json:"inspection_false_alarm"`
	Cost         struct {
		Inspection float64
		Repair     float64 `json:"planned_repair"`
		Failure    float64
	}
}

func (p partSpec) model(t *testing.T) *wear.Model {
	t.Helper()
	m, err := wear.New(p.Onset.distribution(t), p.Delay.distribution(t), p.Replacement)
	require.NoError(t, err)
	return m
}

// relative is the tolerance of a case: 1e-6, but 1e-4 with unseen renewals by
// the same design.
func (p partSpec) relative(e float64) float64 {
	if e > 0 && p.Replacement == wear.Same {
		return 1e-4
	}
	return 1e-6
}

// without and with are the expected costs over the holding distance, without
// an inspection and with one now; their difference is the inspection's worth.
func (p partSpec) without(s wear.State) float64 { return p.Cost.Failure * s.Fail(p.Holding) }

func (p partSpec) with(s wear.State) float64 {
	c, r, a := p.Cost, p.Detects, p.FalseAlarm
	return c.Inspection + s.Worn*r*c.Repair + (1-s.Worn)*a*c.Repair +
		s.Worn*(1-r)*s.FailWorn(p.Holding)*c.Failure + s.Sound*(1-a)*s.FailSound(p.Holding)*c.Failure
}

func (p partSpec) waiting(s wear.State) float64 {
	return s.Worn * p.Detects * s.FailWorn(p.NextRun) * (p.Cost.Failure - p.Cost.Repair)
}

// codeSpec is a trouble code and what is known of its setting.
type codeSpec struct {
	Present    bool
	WhenWorn   float64  `json:"when_worn"`
	Otherwise  float64  `json:"otherwise"`
	SinceClear *float64 `json:"since_clear_km"`
	ToSet      float64  `json:"typical_km_to_set"`
}

// factor: present, the rate; absent, one minus the rate times the chance that
// the distance since codes were erased was enough.
func (c codeSpec) factor(rate float64) float64 {
	if c.Present {
		return rate
	}
	if c.SinceClear != nil {
		rate *= -math.Expm1(-*c.SinceClear / c.ToSet)
	}
	return 1 - rate
}

func (c codeSpec) at(y float64) wear.Factor {
	return wear.Factor{At: y, Worn: c.factor(c.WhenWorn), NotWorn: c.factor(c.Otherwise)}
}

type masses struct{ Immune, Sound, Worn, Rectified float64 }

type follows struct {
	Worn  float64 `json:"fail_if_worn"`
	Sound float64 `json:"fail_if_sound"`
	Fail  float64 `json:"fail"`
}

// agree collects the worst error against its tolerance.
type agree struct {
	t        *testing.T
	relative float64
	worst    float64
}

func (a *agree) check(what string, want, got float64) {
	a.t.Helper()
	gap := math.Abs(got - want)
	if want != 0 {
		a.worst = max(a.worst, gap/math.Abs(want))
	}
	if !(gap <= a.relative*math.Abs(want)+1e-9) {
		a.t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func (a *agree) follows(what string, want follows, s wear.State, d float64) {
	a.t.Helper()
	a.check(what+" fail if worn", want.Worn, s.FailWorn(d))
	a.check(what+" fail if sound", want.Sound, s.FailSound(d))
	a.check(what+" fail", want.Fail, s.Fail(d))
}

func load(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/wear/" + name)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, into))
}

func TestWearModelCases(t *testing.T) {
	var cases []struct {
		Given struct {
			partSpec
			Distance float64   `json:"distance_km"`
			Clean    []float64 `json:"clean_inspections_km"`
			Code     codeSpec
		}
		Expect struct {
			Prior, Posterior masses
			NextRun          follows `json:"next_run"`
			Holding          follows
			Without          float64 `json:"cost_without_inspection"`
			With             float64 `json:"cost_with_inspection"`
			Worth            float64
			Waiting          float64 `json:"cost_of_waiting"`
		}
	}
	load(t, "wear_model.json", &cases)
	require.Len(t, cases, 24)
	for i, c := range cases {
		t.Run(fmt.Sprintf("case %d", i+1), func(t *testing.T) {
			g, e := c.Given, c.Expect
			m, h := g.model(t), wear.History{X: g.Distance, E: g.HistoryFrom, Share: g.Share}
			for _, y := range g.Clean {
				h.Factors = append(h.Factors, wear.Factor{At: y, Worn: 1 - g.Detects, NotWorn: 1})
			}
			// The cases call prior what stands before the code, inspections included.
			before := m.Assess(h)
			h.Factors = append(h.Factors, g.Code.at(g.Distance))
			s := m.Assess(h)
			a := &agree{t: t, relative: g.relative(h.E)}
			a.check("prior immune", e.Prior.Immune, before.Immune)
			a.check("prior sound", e.Prior.Sound, before.Sound)
			a.check("prior worn", e.Prior.Worn, before.Worn)
			a.check("prior rectified", e.Prior.Rectified, before.Rectified)
			a.check("immune", e.Posterior.Immune, s.Immune)
			a.check("sound", e.Posterior.Sound, s.Sound)
			a.check("worn", e.Posterior.Worn, s.Worn)
			a.check("rectified", e.Posterior.Rectified, s.Rectified)
			a.follows("next run", e.NextRun, s, g.NextRun)
			a.follows("holding", e.Holding, s, g.Holding)
			a.check("cost without", e.Without, g.without(s))
			a.check("cost with", e.With, g.with(s))
			a.check("worth", e.Worth, g.without(s)-g.with(s))
			a.check("cost of waiting", e.Waiting, g.waiting(s))
			t.Logf("worst relative error %.1e (tolerance %.0e)", a.worst, a.relative)
		})
	}
}

// observation is a dated one; its place is an odometer reading.
type observation struct {
	Kind string
	At   float64 `json:"at_km"`
	codeSpec
}

// factors turns what was seen since the renewal at z into factors on the
// part's own distance: what was seen before speaks of the part that left, and
// so does a code with more kilometres since erasing than since the renewal.
func factors(t *testing.T, seen []observation, z, detects float64) (out []wear.Factor) {
	t.Helper()
	for _, o := range seen {
		y := o.At - z
		if y < 0 || o.Kind == "code" && o.SinceClear != nil && *o.SinceClear > y {
			continue
		}
		switch o.Kind {
		case "clean inspection":
			out = append(out, wear.Factor{At: y, Worn: 1 - detects, NotWorn: 1})
		case "words":
			out = append(out, wear.Factor{At: y, Worn: o.WhenWorn, NotWorn: o.Otherwise})
		case "code":
			out = append(out, o.at(y))
		default:
			t.Fatalf("kind %q", o.Kind)
		}
	}
	return out
}

func TestDatedObservationCases(t *testing.T) {
	var cases []struct {
		Given struct {
			partSpec
			Odometer     float64  `json:"odometer_km"`
			Renewed      *float64 `json:"renewed_at_km"`
			Observations []observation
		}
		Expect struct {
			Posterior masses
			NextRun   float64 `json:"next_run_fail"`
			Holding   float64 `json:"holding_fail"`
			Worth     float64
			Waiting   float64 `json:"cost_of_waiting"`
		}
	}
	load(t, "dated_observations.json", &cases)
	require.Len(t, cases, 16)
	for i, c := range cases {
		t.Run(fmt.Sprintf("case %d", i+1), func(t *testing.T) {
			g, e, z := c.Given, c.Expect, 0.0
			if g.Renewed != nil {
				z = *g.Renewed
			}
			h := wear.History{X: g.Odometer - z, E: max(0, g.HistoryFrom-z), Share: g.Share}
			h.Factors = factors(t, g.Observations, z, g.Detects)
			s := g.model(t).Assess(h)
			a := &agree{t: t, relative: g.relative(h.E)}
			a.check("immune", e.Posterior.Immune, s.Immune)
			a.check("sound", e.Posterior.Sound, s.Sound)
			a.check("worn", e.Posterior.Worn, s.Worn)
			a.check("rectified", e.Posterior.Rectified, s.Rectified)
			a.check("next run", e.NextRun, s.Fail(g.NextRun))
			a.check("holding", e.Holding, s.Fail(g.Holding))
			a.check("worth", e.Worth, g.without(s)-g.with(s))
			a.check("cost of waiting", e.Waiting, g.waiting(s))
			t.Logf("worst relative error %.1e (tolerance %.0e)", a.worst, a.relative)
		})
	}
}
