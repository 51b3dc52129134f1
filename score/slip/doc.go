// Package slip is what a list writes beside each row that people fill in, so
// that the row finds its list, its vehicle and its part again wherever it has
// been sorted, filtered, copied to or saved by another program.
//
// It holds the form on which the writer of the workbook and the reader of
// what comes back agree: identifiers, headings and the places of cells on a
// card. It opens no file, judges no entry and knows no spreadsheet.
//
// The usual steps:
//
//  1. the writer puts Slip.String into the last cell of a row;
//  2. the reader finds the sheets by Heading or by a slip, and Parses it;
//  3. rows with the same Key speak of the same part of the same list.
package slip
