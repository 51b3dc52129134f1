// Package timetable tells when a job is due: the instants of a cron line on the
// clock of its time zone, across the days when that clock is changed.
//
// The rule is that each local time of the cron line comes once, never twice and
// never not at all:
//
//   - a time that the clock jumps over (02:30 where 02:00 becomes 03:00) comes
//     at the moment of the jump, together with whatever else falls on it;
//   - a time that the clock shows twice (02:30 where 03:00 becomes 02:00) comes
//     when it is shown first.
//
// robfig/cron by itself leaves out a fixed time that is jumped over and repeats
// one that is shown twice. It is therefore asked in a zone without changes,
// where a reading of the clock is only a reading, and the instant is found here.
//
// The package reads no clock and runs nothing; who waits, and what is made up
// after a pause, is the caller's business.
package timetable
