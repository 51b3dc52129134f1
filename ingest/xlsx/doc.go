// Package xlsx hands out the rows of a workbook's sheets, one at a time, as raw text.
//
// It is the only reader of excelize. Before excelize sees the file, every part of
// the workbook is read to its end and checked, because excelize drops what its XML
// decoder complains of and then delivers a shorter list without an error. What is
// damaged or out of order is refused with the sheet's name; it never becomes fewer
// rows or fewer cells.
//
// It does not know what a column means, turns no text into a number or a date, and
// evaluates no formula: a cell arrives as the file stores it (45000 may be a date).
//
// Usual steps:
//
//  1. Open the file; a *Fault says what is wrong with it and what to do.
//  2. Look at Sheets for the names, what is hidden and how many rows hold something.
//  3. Rows of one sheet, Read until io.EOF, Close.
//  4. Close the book; its spool files go with it.
//
// A Book belongs to one goroutine: excelize has a data race once it spools shared
// strings. Different files may be read at the same time.
package xlsx
