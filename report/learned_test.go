package report

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
	"pitlist/score/cohort"
	"pitlist/score/life"
)

func TestParametersAreShownOnTheirOwnScale(t *testing.T) {
	for _, c := range []struct {
		given string
		at    float64
		name  string
		want  string
	}{
		{"ln scale", math.Log(215000), "scale", "215,000"},
		{"ln shape", math.Log(3.2), "shape", "3.2"},
		{"logit share", 0, "share", "50%"},
		{"mu", 11.7, "mu", "11.7"},
	} {
		name, show := naturalOf(c.given)
		assert.Equal(t, c.name, name)
		assert.Equal(t, c.want, show(c.at).Words().String())
	}
}

func TestHalfFailedIsReadOffTheBand(t *testing.T) {
	f := &cohort.Fit{Band: []cohort.Point{{}, {Distance: 100, OldFailed: 0.2, Failed: 0.4}, {Distance: 200, OldFailed: 0.4, Failed: 0.6}}}
	assert.InDelta(t, 150, halfFailed(f, true), 1e-9, "half way between 0.4 and 0.6")
	assert.True(t, math.IsNaN(halfFailed(f, false)), "beyond the band there is no number")
}

func TestLearnedSaysWhatBecameOfEveryPart(t *testing.T) {
	weak := &score.WeakPart{Name: "Pump follower", Axis: score.ByKM, Weight: 12}
	curves := cohort.Curves{Onset: life.Exponential{Mean: 1e5}, Delay: life.Exponential{Mean: 1e4}, Weight: 12}
	kept := &cohort.Fit{Weak: weak, Status: cohort.Kept, Old: curves, New: curves, Counts: cohort.Counts{Vehicles: 1, Lives: 1, Unknown: 1},
		Unknown: &cohort.Bounds{AllFailed: &curves}, Warnings: []error{errors.New("no history of the part: nothing was learned")}}
	s := Learned(Run{Job: "north", Day: 20780}, []LearnedPart{{Weak: weak, Fit: kept}, {Weak: weak, Err: errors.New("likelihood without a maximum")}}, "learned.yaml", []string{"old.yaml"})
	text := s.Text()
	for _, want := range []string{
		"say something of 0 of 2 parts", "learned from the same records: old.yaml", "1 vehicle with 1 life of the part", "1 renewed for no stated cause",
		"The curves stay the catalogue's.", "half worn by 69,300 km", "if none had: no curve", "Mind: no history of the part", "the catalogue's stays: likelihood without a maximum.",
	} {
		assert.Contains(t, text, want)
	}
}
