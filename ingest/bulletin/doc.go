// Package bulletin reads tables of recalls and maker's bulletins, one row a
// campaign and model, and says which vehicles each row concerns, in the terms of
// a catalogue: what a range of VINs, serials, build dates or model years can
// decide, and nothing that it cannot.
//
// It opens no file and writes no catalogue. It knows no curve, no cost and no
// hour: a table of recalls holds none.
//
// Usual steps:
//
//  1. New for each sheet, and Add for each of its rows;
//  2. Read lays the tables together: campaigns with their ranges, and of every
//     row what became of it.
//
// A range that cannot be ordered is never made to fit. Where another range of
// the row stands (VINs of mixed models, but build dates), the row is drafted
// with an open condition that a person must settle; else it is told with the
// cell, its value and what is wrong with it.
package bulletin
