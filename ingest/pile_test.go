package ingest

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestPile: what was added comes back in order, by index and one by one,
// whatever the number of pieces.
func TestPile(t *testing.T) {
	for _, n := range []int{0, 1, pieceSize - 1, pieceSize, pieceSize + 1, 3*pieceSize + 7} {
		var p pile[int]
		for i := range n {
			p.add(i)
		}
		assert.Equal(t, n, p.len())
		next := 0
		for v := range p.all() {
			assert.Equal(t, next, *v)
			assert.Same(t, v, p.at(int32(next)))
			next++
		}
		assert.Equal(t, n, next)
	}
}

// TestManyFactsOfOneVehicle: a repetition is found however many facts lie
// between, and what differs is kept.
func TestManyFactsOfOneVehicle(t *testing.T) {
	rows := [][]any{row("Unit", "Date", "Odometer")}
	for i := range 200 {
		rows = append(rows, row("U1", serial(day(2026, 1, 1))+i%150, 50000+100*(i%150)))
	}
	r := read(t, workbook(t, nil, unitsSheet, table{"Fuel", rows}))
	assert.Len(t, r.vehicle("U1").Readings, 150)
	assert.Equal(t, "201 = 150 used + 0 set aside + 0 rejected + 50 merged + 1 blank", r.counts("Fuel"))
}
