// Package value reads single spreadsheet cells: numbers, dates, distances, yes or no, and the few fixed words a fleet's lists use.
//
// A cell often cannot be read alone: 03/04/2024 is two days and 123.456 is two numbers. The column decides, so the usual steps are
//
//  1. Add the column's values (a bounded sample will do) to a DateEvidence or a NumberEvidence, in one pass;
//  2. Decide, which says what the column shows and why, and put the answer into DateOptions or NumberOptions;
//  3. ParseDate or ParseNumber each cell; what stays open is a *Problem, worded for the planner.
//
// Which column holds what is package header's business; what a code, a VIN or a workshop's sentence means is not read here. Nothing
// here knows today's date: whether a day lies too far ahead is the caller's to judge.
package value

import (
	"strconv"
	"strings"
)

// Problem is why a cell could not be read. Reason and Suggestion go side by side into the list of rejected values.
type Problem struct {
	Value      string   // as it stood in the cell
	Reason     string   // what is wrong, without the value
	Readings   []string // what it could mean, best first; empty where there is nothing to choose from
	Suggestion string   // what the planner can do
}

// Error joins value, reason, readings and suggestion into one line.
func (p *Problem) Error() string {
	var b strings.Builder
	b.WriteString(strconv.Quote(shorten(p.Value, 60)))
	b.WriteString(": ")
	b.WriteString(p.Reason)
	if len(p.Readings) > 0 {
		b.WriteString(" (")
		b.WriteString(strings.Join(p.Readings, " or "))
		b.WriteString(")")
	}
	if p.Suggestion != "" {
		b.WriteString("; ")
		b.WriteString(p.Suggestion)
	}
	return b.String()
}

// shorten cuts a text to n runes, so that a pasted page does not fill the report.
func shorten(s string, n int) string {
	runes := 0
	for i := range s {
		if runes == n {
			return s[:i] + "…"
		}
		runes++
	}
	return s
}
