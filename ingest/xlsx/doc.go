// Package xlsx hands out the rows of a workbook's sheets, one at a time, as raw text.
//
// A sheet is read in one pass: the XML is walked, checked and turned into rows at
// once, and the archive's sizes and checksums are compared at the end. What is
// damaged or out of order is refused with the sheet's name; it never becomes fewer
// rows or fewer cells. Since the end of a sheet is seen last, rows of it may have been
// handed out before: whoever uses them counts a file whole or not at all.
//
// The package is the only reader of excelize, which opens protected workbooks, says
// the date system, and reads what the scanner does not vouch for: there encoding/xml
// walks the sheet first, because excelize drops what its XML decoder complains of and
// then delivers a shorter list without an error. Both ways give the same rows.
//
// It does not know what a column means, turns no text into a number or a date, and
// evaluates no formula: a cell arrives as the file stores it (45000 may be a date).
//
// Usual steps:
//
//  1. Open the file; a *Fault says what is wrong with it and what to do.
//  2. Look at Sheets for the names and what is hidden.
//  3. Rows of one sheet, Read until io.EOF, Close; Count tells what was in it.
//  4. Close the book; its spool files go with it.
//
// A Book belongs to one goroutine: excelize has a data race once it spools shared
// strings. Different files may be read at the same time.
package xlsx
