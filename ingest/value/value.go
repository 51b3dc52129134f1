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

	"pitlist/score/say"
)

// Problem is why a cell could not be read. Reason and Suggestion go side by side into the list of rejected values.
type Problem struct {
	Value      string     // as it stood in the cell
	Reason     say.Text   // what is wrong, without the value
	Readings   []say.Text // what it could mean, best first; empty where there is nothing to choose from
	Suggestion say.Text   // what the planner can do

	whole say.Text // reason and readings as one form: a column may have a million like it; empty: Why makes it
}

// Why is the reason with what the cell could mean.
func (p *Problem) Why() say.Text {
	switch {
	case !p.whole.Empty():
		return p.whole
	case len(p.Readings) == 0:
		return p.Reason
	}
	return say.F("%s; it could mean %s", p.Reason, say.Alternatives(p.Readings...))
}

// Error joins value, reason, readings and suggestion into one line, in English.
func (p *Problem) Error() string {
	var b strings.Builder
	b.WriteString(strconv.Quote(shorten(p.Value, 60)))
	b.WriteString(": ")
	b.WriteString(p.Reason.String())
	if len(p.Readings) > 0 {
		b.WriteString(" (")
		b.WriteString(say.Alternatives(p.Readings...).String())
		b.WriteString(")")
	}
	if !p.Suggestion.Empty() {
		b.WriteString("; ")
		b.WriteString(p.Suggestion.String())
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
