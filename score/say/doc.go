// Package say holds what the program tells people, apart from the language
// that it is told in.
//
// A Text is a form of words with its values. Whoever has something to say
// makes one in plain English; it stays a Text until a workbook, a table or a
// message is written, and only there is a Language chosen:
//
//	why := say.F("engine serial %s lies in %s", serial, block)
//	say.English.Say(why) // "engine serial KD4112345 lies in KD4110000-KD4168000"
//
// All forms, each with its translation, stand under words, a list for each
// package that speaks; that is the one place where the wording is read and
// mended. A test walks the source: a form
// that the list lacks, and one that nothing says, both fail.
//
// The package is a leaf: it imports none of ours.
package say
