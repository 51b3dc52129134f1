// Package invented makes a small fleet with a plan for the tests of the
// report: every kind of row, fact and finding once, in numbers set by hand.
//
// Nothing here is scored or planned: the figures only have to be of the right
// kind. Makes, places and part numbers are invented.
package invented
