// Package backtest holds past lists against what happened next: for each past
// run day it makes the list from what was known that day, and counts which of
// the parts on it failed, or were found worn, until the next day.
//
// It reads no files, fits no curves (a caller may hand in the curves of each
// day), and writes no words for people: that is report's work.
//
// Usual steps:
//
//  1. choose the days with Every, or take those of the runs on record (Apart);
//  2. Run with the job's settings and money;
//  3. read Result: Parts and All on the forecasts, their Ways and
//     Versus on the list against plain rules, Unseen on what no record can tell.
//
// # What is fair
//
// Only facts dated by a list's day count, by Vehicle.At, the one place where
// later facts are cut off. What a vehicle's row states without a day (its
// status, its stated use, when it is to be sold) was not known then and is
// left out; what it is (its make, ranges, in-service day, depot) is taken as
// it stands. A vehicle takes part from the day of its first dated row. One
// that is marked as sold is left out: no row says when it left.
//
// The records tell what a past workshop did, not what would have happened
// without it. So a forecast is held to account only until somebody stepped in:
// a look at the part, whatever it found, or a renewal ends its time at risk,
// and the chance that is held against the count is the one for that time. This
// is right where the looks come by the calendar. Where somebody looked because
// something was heard, the parts that were about to fail leave first, and the
// failures on record are fewer than the curves say.
//
// A look is a test of its own: the chance of being worn on the day of the look,
// from what was known on the list's day, tells how many worn findings to
// expect (detection and false alarms as the catalogue states them).
//
// Above the line, a part that failed by the next day counts as one that the
// look would have found with the catalogue's chance to detect, as though it
// had been worn on the list's day. That flatters every way of choosing, the
// list least, since it looks for worn parts; and by little where the span w
// between lists is short beside the delay: where onsets come evenly, about
// (w/s)^k/(k+1) of the failures of a Weibull delay of shape k and scale s began
// to wear within the span (w/2s where it is exponential). What a look saves
// after the next day is not counted at all.
package backtest
