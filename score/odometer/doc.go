// Package odometer turns the dated readings of one vehicle into the distance driven by a given day,
// and sorts readings that fall or jump by their likely cause.
//
// It converts no units: readings come in kilometres by their stated unit, and it only says when the
// stated unit cannot be right. It proves nothing: a cause is what fits best, and is worded as a
// suspicion. Readings after the day asked for have no influence whatever, so that an earlier day
// repeats exactly.
//
// Usual steps:
//
//  1. Collect the readings from all sheets, in any order.
//  2. Assess them for the day of the run, with the usage stated for the vehicle or the job's default.
//  3. Take KM as the distance today, KMAt for observations of another day, and show Finding and
//     Detail to a person.
//
// How it goes: the readings are put in order of day, and the largest part of them that agrees (no
// falls, no impossible speed, at most one lasting fall) is kept. What is left out, and the lasting fall, is held
// against the causes in turn: miles for kilometres, a slip of a digit, a counter past its last digit,
// a new counter, and what remains of a fall is a suspected rollback. Readings that a cause puts right are used as put right.
package odometer
