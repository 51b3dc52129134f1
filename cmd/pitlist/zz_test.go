package main

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/config/demo"
	"pitlist/score"
)

func TestZZ(t *testing.T) {
	if os.Getenv("EXPLORE") == "" {
		t.Skip()
	}
	for seed := demo.Seed; seed < demo.Seed+60; seed++ {
		d, err := demo.Make(seed)
		require.NoError(t, err)
		dir := t.TempDir()
		require.NoError(t, writeDemo(dir, d))
		day, _ := parseDay(demo.Day)
		b, err := configure(filepath.Join(dir, demo.JobName), day, nil)
		require.NoError(t, err)
		require.NoError(t, b.readInputs(context.Background()))
		set := b.settings()
		set.Draws = 0
		sc, err := score.NewScorer(b.catalogue, set)
		require.NoError(t, err)
		b.assessed, err = sc.AssessAll(context.Background(), b.read.Fleet.Vehicles, nil)
		require.NoError(t, err)
		b.list = b.options().Make(b.assessed, b.day)
		e, v, o := 0.0, 0.0, 0.0
		for _, x := range pairsOf(d, b, "") {
			e += x.p
			v += x.p * (1 - x.p)
			if x.worn {
				o++
			}
		}
		ranks := ""
		for i := range b.list.Rows {
			r := &b.list.Rows[i]
			if !r.Above {
				break
			}
			for _, f := range r.Lead.Finding.Facts {
				if f.Kind == score.FactCameBack {
					ranks += " " + r.Assessment.Vehicle.Unit + ":" + r.Lead.Finding.Part.ID[:5] + ":" + string(r.Group)
					ranks += " @" + strings.TrimSpace(strings.Repeat("", 0)) + itoa(r.Rank)
				}
			}
		}
		var out bytes.Buffer
		(&world{out: &out}).compare(b, d)
		f := strings.Fields(out.String())
		_ = f
		lines := strings.Split(out.String(), "\n")
		t.Logf("seed %d z %.2f |%s|%s|%s| first %s %s | back%s", seed, (o-e)/math.Sqrt(v), lines[2][32:37], lines[3][32:37], lines[4][32:37], b.list.Rows[0].Lead.Finding.Part.ID, b.list.Rows[0].Group, ranks)
	}
}

func itoa(n int) string { return string(rune('0'+n/10)) + string(rune('0'+n%10)) }
