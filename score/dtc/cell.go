package dtc

import (
	"strings"

	"pitlist/score/say"
)

// Options says what is known about a column of codes. The zero value is for a
// column of which nothing is known.
type Options struct {
	// J1939: the column is known to hold heavy-duty codes, so that a bare pair
	// such as 636/2 is one. Elsewhere dates and decimals look the same.
	J1939 bool
	// Correct: where a letter O or I stands for a digit, take the code that is
	// suggested as well as reporting the fault. Off, it is only suggested.
	Correct bool
}

// Reading is a code as it stands in a cell.
type Reading struct {
	Code  Code
	State State // "" where the cell doesn't say
}

// Fault is a piece of a cell that looks like a code, or should be one, and
// isn't.
type Fault struct {
	Text       string   // as written, dashes and wide letters made plain
	Reason     say.Text // what is wrong and what to do
	Suggestion Code     // the code that was probably meant, or the zero value
}

// Cell is what one cell says about codes.
type Cell struct {
	Codes   []Reading // in the order written, duplicates dropped
	Scanned bool      // there are codes, or the cell says that none were found
	Faults  []Fault   // in the order written
}

// ParseCell reads one cell of an export: any number of codes between
// separators and text, with the state that stands before or after them;
// words for "no codes" (Scanned, nothing found); or nothing at all ("", "-",
// "n/a", "not scanned"). Dates, part numbers and VINs are not taken for codes.
// It never fails: what is wrong becomes a Fault.
func ParseCell(s string, o Options) Cell {
	if cell, ok := cleanList(s); ok {
		return cell
	}
	text := strings.TrimSpace(cleanText(s))
	switch emptiness(text) {
	case saysNothing:
		return Cell{}
	case saysNone:
		return Cell{Scanned: true}
	}
	return scanText(text, o).cell
}

// cleanList is the path of nearly every cell in practice: codes without any
// text, one or more. It gives up on anything else.
func cleanList(s string) (Cell, bool) {
	var codes []Reading
	for rest := strings.TrimSpace(s); rest != ""; {
		c, n := leadingCode(rest)
		if n == 0 || c.NoFault() || c.Filler() {
			return Cell{}, false
		}
		codes = addReading(codes, Reading{Code: c})
		rest = rest[n:]
		for rest != "" && isSeparator(rest[0]) {
			rest = rest[1:]
		}
	}
	return Cell{Codes: codes, Scanned: true}, len(codes) > 0
}

// isSeparator reports whether b may stand between codes.
func isSeparator(b byte) bool {
	switch b {
	case ' ', ',', ';', '/', '|', '\n', '\r', '\t':
		return true
	}
	return false
}

// addReading appends r unless the code is there already. A reading with a
// state replaces the same code without one; a code both stored and pending
// stays as two readings.
func addReading(list []Reading, r Reading) []Reading {
	for i := range list {
		if list[i].Code != r.Code {
			continue
		}
		switch {
		case list[i].State == r.State || r.State == "":
			return list
		case list[i].State == "":
			list[i].State = r.State
			return list
		}
	}
	return append(list, r)
}
