// Package phrase reads the wording of a workshop: which phrases of the catalogue of weak parts a repair line or a remark
// speaks of, whether it denies them, and whether the work was done, declined, recommended, or the part inspected and found
// good or worn.
//
// It knows words, not vehicles: what a hit means for a part, and what a status column beside the text changes, is its
// caller's affair. It does not guess at meaning beyond one clause and what plainly refers back to it, it translates
// nothing (phrases of other languages stand in the catalogue; only the words of acting, denying, declining, recommending
// and finding are known here, in English, German, French, Spanish, Swedish, Norwegian, Finnish, Polish, Italian and Portuguese), and it reads
// neither codes nor distances.
//
// The usual steps:
//
//  1. New once, with every phrase of every part.
//  2. Scan each different text once; the same Lexicon serves all goroutines.
//  3. ParseStatus for the cells of a status column, which overrules what the text says of the work.
//
// The word lists are common practice, no source.
package phrase

import (
	"errors"
	"fmt"
)

// Kind is what a catalogue uses a phrase for; it decides how the phrase is matched.
type Kind string

// The kinds. Name, Renews and Treats speak of a thing: their words must stand together as one noun. The others are
// statements: their words may stand in any order within one clause.
const (
	Symptom Kind = "words"   // evidence: "pump knock"
	Name    Kind = "called"  // how the workshop writes the part: "fuel pump"
	Renews  Kind = "renews"  // work that resets the part: "fuel pump replaced"
	Treats  Kind = "treats"  // a thing that work is done on without renewing the part: "pressure sensor"
	Planned Kind = "planned" // why it was renewed before any failure: "as a precaution"
	Failed  Kind = "failed"  // that it had failed: "pump seized"
)

// Validate tells whether the kind is one of the six.
func (k Kind) Validate() error {
	switch k {
	case Symptom, Name, Renews, Treats, Planned, Failed:
		return nil
	}
	return fmt.Errorf("phrase: unknown kind %q", string(k))
}

// noun tells whether the phrase names a thing rather than making a statement.
func (k Kind) noun() bool { return k == Name || k == Renews || k == Treats }

// Intent is what a text says of the work on the thing it speaks of.
type Intent string

// The intents. Symptom, Planned and Failed hits are Reported or Unsure only; their Negated says the rest.
const (
	Done        Intent = "done"        // work carried out; Hit.Hearsay where it is told rather than seen
	Declined    Intent = "declined"    // refused, or not done; with Hit.Negated where the text denies it ("not replaced")
	Recommended Intent = "recommended" // advised, quoted for, ordered, to be done
	Inspected   Intent = "inspected"   // looked at; the result is not said
	FoundGood   Intent = "found good"  // looked at and good: "no fault found", "OK", "i.O."
	FoundWorn   Intent = "found worn"  // said to be worn, faulty or failed
	Reported    Intent = "reported"    // a symptom, or a plain mention
	Unsure      Intent = "unsure"      // suspected, looked for, or told in a way that could be either
)

// Entry is one phrase of the catalogue. ID is the caller's: it comes back in Hit.ID and need not be unique.
type Entry struct {
	ID   int
	Kind Kind
	Text string
}

// Hit says that a text speaks of an entry's phrase.
type Hit struct {
	ID         int    // of the entry
	Start, End int    // byte offsets in the text, half-open; for showing
	Negated    bool   // the text denies it: "no metal in filter", "noise gone", "not replaced"
	Intent     Intent // what is said of the work
	Hearsay    bool   // the work is told of, not seen: "replaced by previous owner"
	Exact      bool   // false where a typing slip, a plural or another form of the word was bridged
}

// ErrNoWord marks an entry of whose text nothing is left to look for.
var ErrNoWord = errors.New("holds no word to look for")
