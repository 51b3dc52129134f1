package dtc

import (
	"fmt"
	"strings"
)

// State is how far a code has got in the controller that set it.
type State string

// The states, with the service of SAE J1979 that reads them.
const (
	Stored    State = "stored"    // confirmed, service $03
	Pending   State = "pending"   // failed, not yet confirmed, service $07
	Permanent State = "permanent" // cannot be erased by a tool, service $0A
)

// Validate returns an error for a word that is no state; "" (the source
// doesn't say) is allowed.
func (s State) Validate() error {
	switch s {
	case "", Stored, Pending, Permanent:
		return nil
	}
	return fmt.Errorf("state %q: want stored, pending or permanent", string(s))
}

// ParseState reads a state as exports write it, in several languages. An
// unknown word counts as Stored, with ok false so that it can be reported.
//
// A fault that was there and is not now ("inactive", "sporadisch",
// "history") stays in the memory: stored.
func ParseState(s string) (state State, ok bool) {
	folded := foldWords(s)
	if state, ok = stateWords[folded]; ok {
		return state, true
	}
	folded = strings.TrimSuffix(strings.TrimPrefix(folded, "status "), " dtc")
	if state, ok = stateWords[folded]; ok {
		return state, true
	}
	return Stored, false
}

// stateWords holds words as foldWords leaves them: lower case, no accents,
// single blanks. Common practice, no source.
var stateWords = wordMap(map[State]string{
	Stored: `stored confirmed|active|inactive|current|present|history|historic|historical|previously active|prev active
		mil on|intermittent|sporadic|past|memory|logged|set|static|occurred|service 03|mode 03|mode 3|confirmed active|stored|confirmed
		gespeichert|aktiv|inaktiv|passiv|bestatigt|statisch|sporadisch|vorhanden|abgespeichert|anliegend|anstehend|nicht vorhanden|aktuell
		memorise|enregistre|actif|inactif|confirme|present|stocke|memorisee|fugitif|passe
		almacenado|almacenada|activo|activa|inactivo|confirmado|confirmada|guardado|memorizado|presente|intermitente|historico
		lagrad|lagret|sparad|aktivt|inaktivt|bekraftad|bekreftet|bekraeftet|passiv|naerverande|sporadisk|gemt|lagrede
		tallennettu|tallennettuna|aktiivinen|ei aktiivinen|vahvistettu|muistissa|satunnainen|passiivinen
		zapisany|zapisane|aktywny|aktywne|nieaktywny|potwierdzony|zapamietany|biezacy|sporadyczny|historyczny
		memorizzato|attivo|opgeslagen|actief|armazenado|ativo`,
	Pending: `pending|pend|pd|pndg|unconfirmed|not confirmed|not yet confirmed|maturing|provisional|service 07|mode 07|mode 7|temporary
		vorlaufig|nicht bestatigt|unbestatigt|ausstehend|schwebend
		en attente|attente|non confirme|provisoire
		pendiente|no confirmado|sin confirmar|provisional
		vantande|avvaktande|ej bekraftad|obekraftad|ventende|avventende|ikke bekreftet|ubekreftet
		odottava|odottaa|vahvistamaton|ei vahvistettu
		oczekujacy|oczekujace|niepotwierdzony|tymczasowy
		in attesa|in afwachting|pendente`,
	Permanent: `permanent|perm|permanently stored|service 0a|mode 0a|mode a|pdtc
		dauerhaft|permanente|permanents|permanentny|staly|stale|pysyva|bestaende|varaktig|permanent lagret`,
})

// wordMap turns lists of phrases, one a line or between bars, into a map.
func wordMap(lists map[State]string) map[string]State {
	words := map[string]State{}
	for state, list := range lists {
		for _, phrase := range phrases(list) {
			words[phrase] = state
		}
	}
	return words
}

// phrases splits a list at bars and line ends.
func phrases(list string) []string {
	var out []string
	for _, p := range strings.FieldsFunc(list, func(r rune) bool { return r == '|' || r == '\n' }) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}
