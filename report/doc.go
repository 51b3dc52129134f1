// Package report turns a run's judgements into words: the head of the list,
// the plain sentence that says why a vehicle stands where it does, the cards
// for the bay, the findings on distances and VINs, and what the list cannot
// know. It is what a rendering needs and nothing of how it looks.
//
// It opens no file, reads no clock and scores nothing: every number in it
// comes from score and score/plan. The renderings are report/workbook (a
// spreadsheet for people) and report/table (CSV and JSON for programs).
//
// The usual steps:
//
//  1. Compose a Document from the run, the fleet, its assessments and the plan;
//  2. hand it to workbook.Write and table.Write;
//  3. for one vehicle at the counter, Explain it instead.
//
// Long tables are not held: a Document yields their rows when asked, so that
// 100,000 vehicles cost no memory here.
package report
