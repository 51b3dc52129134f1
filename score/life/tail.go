package life

import (
	"math"
	"sync"
)

// tails is logUpperTail on a grid with its slope, minus the normal hazard. Cubics
// between them (Hermite's) miss by less than 1e-11: the fourth derivative is
// below 1, and a step to its fourth power over 384 is 1e-11.
type tails struct{ value, slope []float64 }

// Where the grid lies: below it nothing has happened yet, beyond it the
// asymptotic series takes no longer than a look-up.
const (
	firstTail, lastTail = -9, 25
	tailsAUnit          = 128
)

var upperTails = sync.OnceValue(func() *tails {
	n := (lastTail-firstTail)*tailsAUnit + 1
	t := &tails{make([]float64, n), make([]float64, n)}
	for i := range n {
		z := firstTail + float64(i)/tailsAUnit
		t.value[i] = logUpperTail(z)
		t.slope[i] = -math.Exp(-z*z/2-halfLog2Pi-t.value[i]) / tailsAUnit
	}
	return t
})

// at is logUpperTail(z) to 1e-11.
func (t *tails) at(z float64) float64 {
	x := (z - firstTail) * tailsAUnit
	if !(x >= 0 && x < float64(len(t.value)-1)) {
		return logUpperTail(z)
	}
	i := int(x)
	u := x - float64(i)
	a, b, da, db := t.value[i], t.value[i+1], t.slope[i], t.slope[i+1]
	c := b - a
	return a + u*(da+u*((3*c-2*da-db)+u*(da+db-2*c)))
}
