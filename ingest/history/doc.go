// Package history is a job's record: what earlier runs read and decided, in
// one SQLite file without a server.
//
// It keeps every fact of every vehicle with the run that learned it and the
// file, sheet and row that it stood on, and every run with its whole list.
// It knows no fleet and no catalogue: facts are plain texts and numbers, and
// what they mean is for others to say. It reads no clock: days come from
// outside.
//
// The usual steps, under the lock of the job's output folder:
//
//  1. Open the record: its pages are checked, its schema is brought up to date;
//  2. Settle a run that was cut off: finished where its folder exists, else
//     taken back;
//  3. Recall what is known on the run's day, matched with what was read;
//  4. Commit the run as pending, rename the run's folder into place, Finish.
//
// # One state or the other
//
// A run changes two places that no file system changes at once: the record and
// the output folder. The folder's rename is what decides. The record's
// transaction is committed before it, whole, with the run marked pending, and
// nothing that is pending is ever recalled. Whoever opens the record next looks
// for the folder: if it is there, the run happened and is marked done; if not,
// everything that it brought is taken out again. Both are transactions and may
// be cut off and repeated any number of times.
//
// # What is the same fact
//
// A fact read again with the same content is the same fact, wherever it now
// stands: rows move, exports overlap, files are renamed. What differs is either
// a further fact or a correction of one; see correct.go. A corrected fact stays
// in the record and names the one that took its place.
package history
