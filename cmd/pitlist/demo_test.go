package main

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config/demo"
	"pitlist/score"
)

// madeDemo writes the demo of a seed into a new folder and judges its job.
func madeDemo(t *testing.T, seed uint64) (*demo.Demo, *batch) {
	t.Helper()
	d, err := demo.Make(seed)
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, writeDemo(dir, d))
	return d, judged(t, filepath.Join(dir, demo.JobName), demo.Day)
}

// pairsOf sets each scored finding's p_worn beside the truth.
func pairsOf(d *demo.Demo, b *batch, part string) []pair {
	c := newContest(d)
	var out []pair
	for i := range b.assessed {
		a := &b.assessed[i]
		for j := range a.Findings {
			f := &a.Findings[j]
			if f.Standing == score.Scored && (part == "" || f.Part.ID == part) {
				out = append(out, pair{f.State.Worn, c.isWorn(a.Vehicle.Unit, f)})
			}
		}
	}
	return out
}

func TestExploreDemo(t *testing.T) {
	if os.Getenv("EXPLORE") == "" {
		t.Skip()
	}
	for seed := demo.Seed; seed < demo.Seed+8; seed++ {
		d, b := madeDemo(t, seed)
		for _, part := range []string{"", "pump-follower", "phaser-tensioner", "rack-joint", "coolant-pump", "boom-coupling", "actuator-linkage"} {
			e, v, o := 0.0, 0.0, 0.0
			for _, x := range pairsOf(d, b, part) {
				e += x.p
				v += x.p * (1 - x.p)
				if x.worn {
					o++
				}
			}
			t.Logf("%-18s expected %.1f observed %.0f z %.2f", part, e, o, (o-e)/math.Sqrt(v))
		}
		var out bytes.Buffer
		(&world{out: &out}).compare(b, d)
		t.Log(out.String())
	}
	_ = context.Background()
	_ = assert.True
}
