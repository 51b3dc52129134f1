// Package csv hands out the rows of a text file (.csv, .tsv, .txt), one at a time.
//
// It decides the encoding, the delimiter and the line ends, says what it decided,
// and keeps each fault to its own row: an unbalanced quotation mark does not swallow
// the rows behind it, as it does in encoding/csv. It imports that package nowhere;
// tests hold the two against each other on well-formed files.
//
// It does not know what a column means, and neither trims nor converts text.
//
// Usual steps:
//
//  1. Open the file; a *Fault says what is wrong with it and what to do.
//  2. Read until io.EOF. A *RowError concerns one row: record it and read on. Any
//     other error ends the reading.
//  3. Look at Encoding, Delimiter and Notes for what to tell the user; Close.
//
// The file is read twice: once for the digest and to learn whether it is UTF-8
// throughout, for a file may have its first foreign byte at the very end; and once
// for the rows. A file that changes in between is an error.
package csv
