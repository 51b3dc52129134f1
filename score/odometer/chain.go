package odometer

import (
	"math"

	"pitlist/score/say"
)

const (
	// fallCost is what a lasting fall costs, in readings: one reading below the others is rather a
	// bad reading, two in agreement are rather a fall. Ours.
	fallCost = 1.5
	// doubtCost is taken off a reading that looks like ten times another, so that it loses where two contradict each other. Ours.
	doubtCost = 0.1
	// lookBack bounds the work on vehicles with very many readings: a chain may leave out at most so many in a row.
	lookBack = 256
	// mostExplained bounds the work where hundreds of readings under one vehicle contradict each other: those
	// are several vehicles under one number, and the rest is left out unexplained.
	mostExplained = 50
)

// chain is a set of points that agree, in order of day. fall is the place in it of the first point
// after a lasting fall, 0 if there is none.
type chain struct {
	at   []int // into assessment.points
	fall int
}

// step is the best chain that ends in a point.
type step struct {
	score    float64 // readings kept, less costs
	from     int     // point before; -1 none
	fromFell bool    // the state of that point
}

// longest returns the chain that keeps the most readings, with at most one lasting fall: longest
// rising subsequence by dynamic programming. Trusting the first reading instead would let one bad
// start throw out all the rest. Of equal chains it takes the higher one, the cautious side.
func (a *assessment) longest() chain {
	steps := make([][2]step, len(a.points)) // without and with a fall
	for i := range a.points {
		steps[i] = a.step(steps, i, a.worth(i))
	}
	best, fell := 0, 0
	for i := range steps {
		for f := range 2 {
			if a.better(steps, i, f, best, fell) {
				best, fell = i, f
			}
		}
	}
	return trace(steps, best, fell)
}

// worth is what keeping point i counts: less for an unusually high reading that is about ten times one near it.
func (a *assessment) worth(i int) float64 {
	const least, most = 8, 12
	p := a.points[i]
	if p.km <= a.limits.unusual() {
		return 1
	}
	for _, q := range a.points[max(0, i-lookBack):min(len(a.points), i+lookBack)] {
		if p.km >= least*q.km && p.km <= most*q.km {
			return 1 - doubtCost
		}
	}
	return 1
}

// step finds the best ways to arrive at point i.
func (a *assessment) step(steps [][2]step, i int, worth float64) [2]step {
	p := a.points[i]
	s := [2]step{{score: worth, from: -1}, {score: math.Inf(-1), from: -1}}
	offer := func(to, j int, fell bool, score float64) {
		held := &s[to]
		tie := score == held.score && held.from >= 0 && a.points[j].km >= a.points[held.from].km
		if score > held.score || tie {
			*held = step{score, j, fell}
		}
	}
	for j := max(0, i-lookBack); j < i; j++ {
		switch q := a.points[j]; {
		case a.limits.follows(q, p):
			offer(0, j, false, steps[j][0].score+worth)
			offer(1, j, true, steps[j][1].score+worth)
		case p.km < q.km:
			offer(1, j, false, steps[j][0].score+worth-fallCost)
		}
	}
	return s
}

// better reports whether the chain that ends in point i beats the one that ends in best.
func (a *assessment) better(steps [][2]step, i, f, best, fell int) bool {
	s, b := steps[i][f].score, steps[best][fell].score
	switch {
	case s != b:
		return s > b
	case f != fell:
		return f < fell
	}
	return a.points[i].km > a.points[best].km
}

// trace walks back from the end of the best chain.
func trace(steps [][2]step, i, fell int) chain {
	var c chain
	after := 0 // points met so far on this side of the fall
	for i >= 0 {
		c.at = append(c.at, i)
		after++
		s := steps[i][fell]
		if fell == 1 && !s.fromFell {
			fell, c.fall = 0, after
		}
		i = s.from
	}
	for l, r := 0, len(c.at)-1; l < r; l, r = l+1, r-1 {
		c.at[l], c.at[r] = c.at[r], c.at[l]
	}
	if c.fall > 0 {
		c.fall = len(c.at) - c.fall
	}
	return c
}

// sortOut chooses the readings to keep where they do not all agree, and finds the causes.
func (a *assessment) sortOut() {
	c := a.withLead(a.longest())
	for _, i := range c.at {
		a.points[i].kept = true
	}
	rolledBack := false
	if c.fall > 0 {
		rolledBack = a.change(c.at[:c.fall], c.at[c.fall:])
	}
	for i, explained := 0, 0; i < len(a.points); i++ {
		beyond := rolledBack && i >= c.at[c.fall] // readings after a suspected rollback are out with the rest
		if a.points[i].kept || beyond {
			continue
		}
		if explained++; explained > mostExplained {
			break
		}
		a.explainOne(i)
	}
	a.settle()
}

// withLead lets a single first reading that stands above all later ones begin the chain: then it is a
// fall to be explained, not a bad reading, since nothing before it speaks against it.
func (a *assessment) withLead(c chain) chain {
	if c.fall > 0 || len(c.at) < 2 || c.at[0] != 1 {
		return c
	}
	lead, next := a.points[0], a.points[1]
	if lead.km <= next.km+a.limits.slack(next.km) || lead.km > a.limits.unusual() {
		return c
	}
	return chain{at: append([]int{0}, c.at...), fall: 1}
}

// settle drops what, after all corrections, still falls below the highest reading before it: many
// small falls in a row add up to one.
func (a *assessment) settle() {
	var high *point
	for i := range a.points {
		p := &a.points[i]
		if !p.kept {
			continue
		}
		if high != nil && p.km < high.km-a.limits.slack(high.km) {
			p.kept = false
			a.blame(Implausible, say.F("%s does not fit the readings before it; it was left out; read the odometer again.", a.shown(p.index)))
			continue
		}
		if high == nil || p.km > high.km {
			high = p
		}
	}
}

// blame notes a cause with its sentence.
func (a *assessment) blame(f Finding, words say.Text) { a.causes = append(a.causes, cause{f, words}) }
