// Package dtc reads trouble codes: the five characters of SAE J2012 /
// ISO 15031-6 with their failure type byte ("P0087-1A"), and the suspect
// parameter number and failure mode identifier of SAE J1939-73
// ("SPN 636 FMI 2").
//
// It tells three cells apart that look alike in a spreadsheet: one with codes,
// one that says the vehicle was scanned and had none, and one that says
// nothing. It does not judge what a code means for a part (that is
// score/evidence), knows no dates or vehicles, and never completes or corrects
// a code on its own: what is not a code becomes a [Fault] with a suggestion.
//
// Usual steps:
//
//  1. ParseCell turns a cell of an export into readings, each with its state.
//  2. ParsePattern turns what a catalogue writes into a Pattern; Matches asks.
//  3. Describe and Severity.For put a code into words and a degree of urgency.
//
// Facts are named where they are used; "from memory" and "judgement" are said.
package dtc
