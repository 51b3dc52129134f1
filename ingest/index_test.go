package ingest

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
)

// TestIndex: a name finds every vehicle that bears it, once, in the order in
// which they came.
func TestIndex(t *testing.T) {
	x := newIndex[string](0)
	for _, n := range []int32{4, 4, 2, 4, 9, 2} {
		x.add("several", n)
	}
	x.add("one", 7)
	x.add("one", 7)
	assert.Equal(t, []int32{4, 2, 9}, x.list("several"))
	assert.Equal(t, []int32{7}, x.list("one"))
	assert.Empty(t, x.list("nobody"))
}

// TestPileTake: a piece is let go where nobody wants to see an item of it again.
func TestPileTake(t *testing.T) {
	var p pile[int]
	for i := range 3 * pieceSize {
		p.add(i)
	}
	p.take(func(i *int) bool { return *i == pieceSize+5 }) // once more: one of the second piece
	var left []int
	p.take(func(i *int) bool { left = append(left, *i); return false })
	assert.Len(t, left, pieceSize)
	assert.Equal(t, pieceSize, left[0])
	p.take(func(*int) bool { t.Error("an item of a piece that was let go"); return true })
}

// TestOrder: vehicles move to their places whatever the order that they come in.
func TestOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := range 40 {
		j := joiner{fleet: &score.Fleet{Vehicles: make([]score.Vehicle, n)}}
		for i, k := range r.Perm(n) {
			j.fleet.Vehicles[i] = score.Vehicle{Unit: string(rune('a' + k/3)), ModelYear: k, Ref: score.Ref{Row: int32(k)}} // three vehicles a unit
		}
		j.order()
		for i := range j.fleet.Vehicles {
			assert.Equal(t, i, j.fleet.Vehicles[i].ModelYear)
		}
	}
}
