package score

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/say"
)

// TestWhere: a row is found by its file, sheet and number; of what an earlier
// run read, the day of that run is told, for the file may hold something else
// by now.
func TestWhere(t *testing.T) {
	f := Fleet{Sources: []Source{{File: "units.xlsx", Sheet: "Units"}, {File: "codes.csv"}, {File: "codes.csv", Read: 20739}}}
	for _, c := range []struct {
		ref    Ref
		en, es string
	}{
		{Ref{Source: 1, Row: 12}, "units.xlsx, sheet Units, row 12", "units.xlsx, hoja Units, fila 12"},
		{Ref{Source: 2, Row: 3}, "codes.csv, row 3", "codes.csv, fila 3"},
		{Ref{Source: 3, Row: 3}, "codes.csv (read 2026-10-13), row 3", "codes.csv (leído el 13 oct 2026), fila 3"},
		{Ref{Source: 1}, "units.xlsx, sheet Units", "units.xlsx, hoja Units"},
		{Ref{Source: 2}, "codes.csv", "codes.csv"},
		{Ref{}, "", ""},
	} {
		assert.Equal(t, c.en, f.Where(c.ref).String())
		assert.Equal(t, c.es, say.Spanish.Say(f.Where(c.ref)))
	}
}
