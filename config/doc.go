// Package config reads the two kinds of YAML file that a person writes: the
// job (what to read, what things cost, when to run) and the catalogue (which
// parts are weak, how they wear, how wear shows).
//
// It is strict, and it reports every fault of a file in one go, each with
// file, line, column, the value found and what to write instead: an unknown
// key, a wrong type, a number out of its range, ranges that overlap, a rule
// that can never match. It opens no spreadsheet, scores nothing, and reads no
// secret: of a password it keeps the name of the environment variable.
//
// Usual steps:
//
//  1. LoadJob reads the job; with faults, show them all and stop;
//  2. Job.CatalogueFiles finds its catalogues, LoadCatalogue reads them in
//     that order, later files overriding the curves of earlier entries;
//  3. Job.InputFiles finds the spreadsheets.
//
// Lint does the first two for any mix of files without running anything. Learned
// and Draft write catalogues: what a fit learned, and what a table of recalls says.
//
// YAML is taken in its plain form: numbers are decimal (no octal, no .inf),
// anchors and aliases are followed within limits, merge keys and tags are not
// understood. A file is at most 8 MB.
package config
