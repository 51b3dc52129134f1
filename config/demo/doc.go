// Package demo is the program's demo: an invented harbour and island transport
// department with its catalogue, its job and its spreadsheets. It is for a
// first look at the program, and for holding a whole run against a truth that
// is known, because it is simulated.
//
// It writes no files and reads no clock: Make returns bytes, drawn from a seed.
// It knows nothing of how vehicles are scored; what each part really is comes
// from the curves and rates of the catalogue, which are repeated in part.go
// (a test holds the two against each other).
//
// Usual steps:
//
//  1. Make with a seed (Seed, for the demo as shown);
//  2. write Files below a folder;
//  3. run the job as of Day, and compare with Truth.
package demo
