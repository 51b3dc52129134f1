// Package table writes a report's facts for programs: CSV files and run.json.
//
// It composes no words and rounds no number. Sentences for people are in the
// run's language; the names of files, columns and keys, statuses and
// identifiers are the same in every one. The CSV files are UTF-8 without
// a byte order mark, have a header and one row each, a comma between cells
// and "\n" at the end of a row (RFC 4180, save its CRLF); numbers have a
// decimal point and as many digits as tell them apart. A text cell that a
// spreadsheet would take for a formula gets a leading apostrophe, see Safe;
// JSON is written as it is. The same document gives the same bytes.
//
// The usual steps: report.Compose, then Write into a folder that the caller
// renames when all is well.
package table
