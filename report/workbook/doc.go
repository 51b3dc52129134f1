// Package workbook writes a report as a spreadsheet for a planner with a
// printer: the list with its reasons, cards for the bay, what else to look
// at, what to mend in the input, and how to read it all.
//
// It composes no words of its own beyond headings, holds no formula and no
// macro, and scores nothing. Numbers are rounded for reading; the unrounded
// ones are in report/table's files. The same document gives the same bytes.
//
// The usual steps: report.Compose, then Write into a file that the caller
// renames when all is well.
package workbook
