package phrase

// class is the set of parts that a word can play in a workshop's sentence. A word in no class that acts, judges or
// binds is content: a thing or a symptom.
type class uint64

const (
	cRenew    class = 1 << iota // replaced, erneuert, bytt
	cNew                        // new: renews the thing beside it
	cFit                        // fitted: renews only together with new, or after supply
	cSupply                     // supplied
	cRefit                      // refitted: the old part again
	cRemove                     // removed
	cWork                       // cleaned, adjusted, repaired
	cInspect                    // inspected, checked
	cNoun                       // the act as a noun (replacement, Austausch): "replacement of the pump"
	cInf                        // the act as an infinitive: "to replace", "à remplacer", "zu ersetzen" are not done
	cNeg                        // no, not, without
	cRec                        // recommended, to be, due, quote, ordered
	cDecl                       // declined
	cGood                       // ok, within limits
	cBad                        // worn, faulty
	cFault                      // fault, play, leak: says something only when denied
	cGone                       // gone, cured
	cObs                        // found, seen: adds nothing
	cDone                       // carried out: adds nothing but that it was done
	cPrep                       // for, on, of
	cLink                       // de, à, du, of: may stand inside a noun
	cFunc                       // articles, pronouns, adverbs and fillers
	cStop                       // left out of a phrase: in, when, the
	cAnd                        // and
	cOr                         // or
	cBut                        // but: begins a new clause
	cTo                         // to, zu: before an act
	cFor                        // for: after an inspection, what was looked for
	cPlace                      // LH, rear: may stand inside or after a noun
	cHead                       // relay, gasket: right after a noun makes it another thing
	cQuantity                   // pressure, voltage: likewise, for names only
	cHolds                      // housing: holds what a statement says is in it
	cHearsay                    // previous owner, according to
	cSays                       // states, reports: hearsay with a person before it
	cPerson                     // customer, driver
	cMaybe                      // possible, suspected, if
	cAssent                     // authorise, want: denied, they decline
	cNeedless                   // a need that is denied
	cNum                        // numbers and codes
	cShort                      // a short form: a full stop after it does not end the clause
	cVocab                      // known, nothing else: never bridged to another word
)

// Compositions that the rules ask for.
const (
	anyAct     = cRenew | cFit | cSupply | cRefit | cRemove | cWork | cInspect
	handAct    = cRenew | cFit | cSupply | cRefit | cRemove | cWork
	anyStatus  = cRec | cDecl | cGood | cBad | cGone
	notContent = anyAct | anyStatus | cNew | cNeg | cObs | cDone | cPrep | cLink | cFunc | cStop | cAnd | cOr | cBut | cTo | cFor |
		cPlace | cHearsay | cSays | cPerson | cMaybe | cNum
	// slipped are the classes whose longer words are still read when mistyped.
	slipped = cRenew | cFit | cRefit | cRemove | cWork | cInspect | cRec | cDecl | cGood | cBad
)

// has tells whether the class holds any of the given ones.
func (c class) has(any class) bool { return c&any != 0 }

// content tells whether a word of the class is a thing or a symptom.
func (c class) content() bool { return !c.has(notContent) }

// wordList gives many words one class.
type wordList struct {
	class class
	words string // separated by blanks, folded: lower case, without diacritics
}

// formList gives a fixed sequence of words one class, carried by its first word; the rest become fillers.
type formList struct {
	class class
	forms string // separated by ";"
}
