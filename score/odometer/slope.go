package odometer

import (
	"math"
	"slices"
)

// mostKnots bounds the readings of one slope: 60 give 1,770 pairs, and more tell nothing new.
const mostKnots = 60

// slope returns the usage in km a day by Theil and Sen: the median of the slopes of all pairs, which
// up to 29 % of bad readings cannot move (Theil, Proc. Kon. Ned. Akad. Wetensch. 53 (1950); Sen,
// JASA 63 (1968)). Only the recent past counts where it has three readings and the least span, as
// use changes with age. It also returns how many readings told it, 0 if they tell none.
func slope(knots []knot, l *Limits) (perDay float64, readings int) {
	recent := knots
	for len(recent) > 0 && int64(knots[len(knots)-1].day)-int64(recent[0].day) > int64(l.SlopeDays) {
		recent = recent[1:]
	}
	const enough = 3
	if len(recent) < enough || span(recent) < l.SlopeLeastDays {
		recent = knots
	}
	if len(recent) < 2 || span(recent) < l.SlopeLeastDays {
		return 0, 0
	}
	n := len(recent)
	return theilSen(thin(recent)), n
}

func span(knots []knot) int { return int(knots[len(knots)-1].day) - int(knots[0].day) }

// thin picks mostKnots of many, evenly and with both ends.
func thin(knots []knot) []knot {
	n := len(knots)
	if n <= mostKnots {
		return knots
	}
	few := make([]knot, mostKnots)
	for i := range few {
		few[i] = knots[i*(n-1)/(mostKnots-1)]
	}
	return few
}

// theilSen returns the median slope of knots on different days; there are at least two, and at most
// mostKnots. Slopes stay off the heap; 12 readings and fewer are the usual case.
func theilSen(knots []knot) float64 {
	const usual = 12
	if len(knots) <= usual {
		var room [usual * (usual - 1) / 2]float64
		return medianSlope(knots, room[:0])
	}
	var room [mostKnots * (mostKnots - 1) / 2]float64
	return medianSlope(knots, room[:0])
}

func medianSlope(knots []knot, slopes []float64) float64 {
	for j := 1; j < len(knots); j++ {
		for i := range j {
			days := float64(knots[j].day) - float64(knots[i].day)
			slopes = append(slopes, (knots[j].km-knots[i].km)/days)
		}
	}
	middle := len(slopes) / 2
	upper := nth(slopes, middle)
	if len(slopes)%2 == 1 {
		return upper
	}
	return (slices.Max(slopes[:middle]) + upper) / 2
}

// nth puts the value that a sort would put at n there, none greater before it, and returns it.
func nth(x []float64, n int) float64 {
	nthWithin(x, 0, len(x)-1, n)
	return x[n]
}

// nthWithin does so between two indices (Hoare, Algorithm 65: FIND, Commun. ACM 4 (1961)). Of many
// values it takes a few first, whose like place is a good guess, so that hardly more than one and a
// half passes over all are needed (Floyd and Rivest, Algorithm 489: SELECT, Commun. ACM 18 (1975)).
func nthWithin(x []float64, lo, hi, n int) {
	const many = 400
	for lo < hi {
		if size := float64(hi - lo + 1); size > many {
			place := float64(n - lo + 1)
			few := 0.5 * math.Exp(2*math.Log(size)/3)
			margin := math.Copysign(0.5*math.Sqrt(math.Log(size)*few*(size-few)/size), place-size/2)
			nthWithin(x, max(lo, int(float64(n)-place*few/size+margin)), min(hi, int(float64(n)+(size-place)*few/size+margin)), n)
		}
		pivot, i, j := x[n], lo, hi
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for pivot < x[j] {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i, j = i+1, j-1
			}
		}
		if j < n {
			lo = i
		}
		if n < i {
			hi = j
		}
	}
}
