package plan

import (
	"runtime"
	"slices"
	"sync"

	"pitlist/score"
)

// draws is the number of parameter draws that the findings carry.
func draws(vehicles []*vehicle) int {
	for _, v := range vehicles {
		for i := range v.work.parts {
			if d := v.work.parts[i].Finding.Draws; d != nil {
				return len(d.Worn)
			}
		}
	}
	return 0
}

// stays plans anew in each parameter draw and counts for every vehicle the
// draws in which it stands above the line.
func (m *maker) stays() {
	n := draws(m.vehicles)
	for _, v := range m.vehicles {
		if len(v.worn) > 0 {
			v.above = n // found worn, whatever the curves
		} else if n == 0 {
			v.above = -1
		}
	}
	if n == 0 {
		return
	}
	for _, d := range m.depots {
		d.stays(n)
	}
}

// stays shares the draws out among goroutines; each counts for itself.
func (d *depot) stays(n int) {
	racing := slices.DeleteFunc(slices.Clone(d.vehicles), func(v *vehicle) bool { return !v.couldRise() })
	workers := min(runtime.GOMAXPROCS(0), n)
	counts := make([][]int, workers)
	var wg sync.WaitGroup
	for g := range workers {
		wg.Go(func() {
			counts[g] = make([]int, len(racing))
			for k := g; k < n; k += workers {
				d.draw(racing, k, counts[g])
			}
		})
	}
	wg.Wait()
	for i, v := range racing {
		if len(v.worn) > 0 {
			continue
		}
		for g := range counts {
			v.above += counts[g][i]
		}
	}
}

// couldRise tells whether the vehicle can stand above the line in any draw: it
// carries draws, or does so as it is.
func (v *vehicle) couldRise() bool {
	if v.chosen != 0 {
		return true
	}
	for i := range v.work.parts {
		c := &v.work.parts[i]
		if c.Finding.Draws != nil || c.Worth > 0 {
			return true
		}
	}
	return false
}

// draw plans one parameter draw.
func (d *depot) draw(racing []*vehicle, k int, count []int) {
	capacity := int(d.Hours*4 + 1e-6)
	works := make([]work, len(racing))
	forced := make([]bool, len(racing))
	for i, v := range racing {
		works[i] = v.work.inDraw(k)
		if works[i].forced != 0 {
			forced[i] = true
			count[i]++
			capacity -= quarters(works[i].hours(works[i].join()))
		}
	}
	capacity = max(0, capacity)
	if !d.Limited {
		for i := range works {
			if !forced[i] && works[i].best() != 0 {
				count[i]++
			}
		}
		return
	}
	options := make([][]option, len(racing))
	for i := range works {
		if !forced[i] {
			options[i] = works[i].options(capacity)
		}
	}
	for i, j := range knapsack(options, capacity) {
		if j >= 0 {
			count[i]++
		}
	}
}

// inDraw is the vehicle's work with the beliefs of draw k.
func (w *work) inDraw(k int) work {
	out := work{parts: slices.Clone(w.parts), visits: w.visits, setUp: w.setUp, opts: w.opts}
	for i := range out.parts {
		c := &out.parts[i]
		if d := c.Finding.Draws; d != nil {
			forced := forcedIn(c.Finding, d, k)
			*c = w.opts.priced(c.Finding, beliefs{
				worn: float64(d.Worn[k]), sound: float64(d.Sound[k]), wornNext: float64(d.WornNext[k]),
				wornHold: float64(d.WornHold[k]), soundHold: float64(d.SoundHold[k]),
			})
			c.Forced = forced
		}
	}
	out.sort()
	return out
}

func forcedIn(f *score.Finding, d *score.Draws, k int) bool {
	p := f.Part
	return p.Consequence == score.CanInjure &&
		(float64(d.Worn[k]) > p.WornLimit || len(d.Risk) > 0 && float64(d.Risk[k]) > p.RiskLimit)
}
