// Package vin judges the form of vehicle identification numbers.
//
// It answers, for one cell of a spreadsheet: is this a VIN by ISO 3779, where was its maker's code
// issued (ISO 3780), does its check digit hold (49 CFR 565.15(c)) and does that matter in this
// market, what model year does position 10 tell, and what was probably meant if it is wrong.
//
// It does not know makers or models, looks nothing up, and never changes a VIN on its own account:
// a likely reading is a Suggestion for a person to confirm. Whether two rows are the same vehicle is
// for the reader of the sheets.
//
// Usual steps:
//
//  1. Judge a cell with the job's market, the row's stated model year and the year of the run.
//  2. Use Report.VIN as the key where it is not empty; show Report.Reason otherwise.
//  3. Ask the VIN for its WMI, Serial or Maker where catalogue ranges need them.
//
// A column that holds only the first ten or eleven characters goes through CleanPrefix.
package vin
