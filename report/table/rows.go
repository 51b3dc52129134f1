package table

import (
	"math"
	"strconv"

	"pitlist/score"
)

// number writes a float with as many digits as tell it apart from every
// other; "" for what is no number. Plain notation in the range of everyday
// amounts, since not every reader takes 2e+06.
func number(x float64) string {
	switch a := math.Abs(x); {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return ""
	case x == 0:
		return "0" // never -0
	case a >= 1e-4 && a < 1e15:
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// known writes a number where it is one, else an empty cell.
func known(x float64, is bool) string {
	if !is {
		return ""
	}
	return number(x)
}

// whole writes an integer; 0 means not stated.
func whole(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// iso writes a day as 2026-10-12; "" where none is stated.
func iso(d score.Day) string {
	if d == 0 {
		return ""
	}
	return d.String()
}
