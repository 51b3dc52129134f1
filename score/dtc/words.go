package dtc

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// lookAlike maps letters and marks that look like a plain one: Cyrillic and
// Greek capitals typed or recognised for Latin ones, the various dashes, and
// invisible marks (to nothing).
var lookAlike = strings.NewReplacer(
	"А", "A", "В", "B", "С", "C", "Е", "E", "О", "O", "Р", "P", "І", "I",
	"а", "a", "с", "c", "е", "e", "о", "o", "р", "p",
	"Α", "A", "Β", "B", "Ε", "E", "Ο", "O", "Ρ", "P", "Ι", "I",
	"‐", "-", "‑", "-", "‒", "-", "–", "-", "—", "-", "−", "-",
	"\u200b", "", "\u200e", "", "\ufeff", "", "\u00ad", "")

// cleanText makes wide digits, special blanks and look-alike letters plain.
// Text that is plain already, the usual case, comes back as it is.
func cleanText(s string) string {
	for i := range len(s) {
		if s[i] >= 0x80 || s[i] < ' ' && s[i] != '\n' && s[i] != '\t' {
			s = norm.NFKC.String(strings.ToValidUTF8(s, "\ufffd"))
			s = lookAlike.Replace(s)
			return strings.Map(plainControl, s)
		}
	}
	return s
}

func plainControl(r rune) rune {
	switch {
	case r == '\r' || r == '\v' || r == '\f' || r == '\u2028':
		return '\n'
	case r < ' ' && r != '\n' && r != '\t':
		return ' '
	}
	return r
}

// foldWords reduces a text to its words: lower case, without accents and
// marks, single blanks between. "O.K. – inga fel" gives "ok inga fel".
func foldWords(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFKD.String(s) {
		switch {
		case unicode.Is(unicode.Mn, r), r == '.', r == '\'':
			continue
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			gap = b.Len() > 0
			continue
		}
		if gap {
			b.WriteByte(' ')
			gap = false
		}
		b.WriteString(foldLetter(unicode.ToLower(r)))
	}
	return b.String()
}

// foldLetter spells letters that have no accent to take off.
func foldLetter(r rune) string {
	switch r {
	case 'ł':
		return "l"
	case 'ø':
		return "o"
	case 'æ':
		return "ae"
	case 'ß':
		return "ss"
	}
	return string(r)
}

// What a cell without codes says.
type emptyWord int

const (
	saysSomething emptyWord = iota // not one of the two below
	saysNothing                    // no scan, or nothing is known
	saysNone                       // scanned, nothing found
)

// emptiness tells "no codes" from "no scan" in a cell. Words about the scan
// itself come first: "no codes could be read" is no scan.
func emptiness(text string) emptyWord {
	if len(text) > 200 {
		return saysSomething // no cell needs that many words to say none
	}
	if hasCodeShape(text) {
		return saysSomething
	}
	folded := foldWords(text)
	switch {
	case folded == "" || errorCell(text) || blankWords[folded]:
		return saysNothing
	case containsAny(folded, noScanPhrases):
		return saysNothing
	case noneWords[folded] || containsAny(folded, nonePhrases) || negatedFault(folded):
		return saysNone
	}
	return saysSomething
}

// errorCell reports whether a spreadsheet's error value stands in the cell.
func errorCell(text string) bool {
	return strings.HasPrefix(text, "#") && strings.ToUpper(text) == text && strings.ContainsAny(text, "/!?")
}

// hasCodeShape is a quick look for something code-like, so that "no codes but
// P0301 pending" is read as a code: a J2012 letter with three more digits, or SPN.
func hasCodeShape(text string) bool {
	up := upperASCII(text)
	if strings.Contains(up, "SPN") || strings.Contains(up, "FMI") {
		return true
	}
	for i := 0; i+4 <= len(up); i++ {
		if letterValue(up[i]) > 3 || i > 0 && isAlnum(up[i-1]) {
			continue
		}
		rest := strings.TrimLeft(up[i+1:], " -")
		if len(rest) >= 3 && digitCount(rest[:3]) >= 2 && isDigitLike(rest[0]) {
			return true
		}
	}
	return false
}

// negatedFault finds a word of negation, or zero, with a word for a fault
// within the next three: "no fault codes", "keine Fehler im Speicher",
// "0 DTC"; and the order "DTC: 0". "No new codes" leaves the old ones open, and
// "0 stored, 2 pending" has some: neither says none.
func negatedFault(folded string) bool {
	words := strings.Fields(folded)
	if len(words) > 12 || countsFaults(words) {
		return false // a report in prose: leave it to a person
	}
	for i, w := range words {
		if !negations[w] {
			continue
		}
		for _, next := range words[i+1 : min(i+4, len(words))] {
			if furtherWords[next] {
				return false
			}
			if faultWords[next] {
				return true
			}
		}
		if i > 0 && i == len(words)-1 && faultWords[words[i-1]] {
			return true
		}
	}
	return false
}

// countsFaults reports whether a number other than zero stands before a word
// for faults or a state: "2 pending", "3 stored codes".
func countsFaults(words []string) bool {
	for i, w := range words[:len(words)-1] {
		next := words[i+1]
		_, state := stateWords[next]
		if digitCount(w) == len(w) && strings.Trim(w, "0") != "" && (state || faultWords[next]) {
			return true
		}
	}
	return false
}

// containsAny reports whether one of the phrases stands in the text as whole
// words.
func containsAny(folded string, list []string) bool {
	padded := " " + folded + " "
	for _, p := range list {
		if strings.Contains(padded, p) {
			return true
		}
	}
	return false
}

// set turns a list of phrases into a set, padded one into phrases that only
// match whole words.
func set(list string) map[string]bool {
	m := map[string]bool{}
	for _, p := range phrases(list) {
		m[p] = true
	}
	return m
}

func padded(list string) []string {
	out := phrases(list)
	for i := range out {
		out[i] = " " + out[i] + " "
	}
	return out
}

// The words of the trade in the languages the headings are known in. Common
// practice, no source. All are folded: lower case, no accents.
var (
	blankWords = set(`na|n a|nv|k a|ka|null|nan|unknown|not known|tbc|tba|tbd|no data|missing|blank|empty
		unbekannt|keine angabe|keine angaben|keine daten|entfallt|inconnu|nc|desconocido|sin datos|s d
		okand|ukjent|ukendt|uppgift saknas|ingen data|ei tiedossa|tuntematon|nieznane|brak danych|b d|bd`)

	noScanPhrases = padded(`not scanned|no scan|unscanned|not read|not checked|not tested|not connected|could not|cannot|couldnt|cant|unable|no communication|no comms|no comm
		no connection|no response|scan failed|no reader|not done|not available|not available yet|to be scanned|scan pending|not performed
		nicht ausgelesen|nicht gelesen|nicht gepruft|nicht auslesbar|nicht lesbar|kein auslesen|keine verbindung|keine kommunikation|nicht verfugbar|nicht getestet
		non lu|non lus|pas lu|non scanne|pas de scan|non controle|pas de communication|non disponible|pas scanne
		no leido|no leidos|sin leer|no escaneado|sin escanear|no comprobado|sin comunicacion|no disponible
		ej avlast|ej avlaest|inte avlast|ikke avlest|ikke lest|ikke skannet|ikke aflaest|ej skannad|ingen kontakt|ingen kommunikation|ingen kommunikasjon|ej kontrollerad
		ei luettu|ei skannattu|ei testattu|ei yhteytta|ei tarkastettu
		nie odczytano|nie skanowano|nie sprawdzono|brak komunikacji|brak polaczenia|brak odczytu`)

	noneWords = set(`0|none|nil|no|zero|ok|okay|clear|clean|all clear|all ok|pass|passed|good|nothing|nothing found|none found|none stored|none present|scan ok|scan clear|scanned ok
		keine|nein|io|i o|in ordnung|ohne|nichts|keine gefunden|keine vorhanden|ohne befund|o b|ob
		aucun|aucune|neant|non|ras|rien|rien a signaler
		ninguno|ninguna|nada|sin novedad|correcto
		inga|ingen|nej|nei|inget|intet|ingenting|inga funna|ingen funnet|utan anmarkning|uten anmerkning
		ei|ei ole|ei mitaan|ei loytynyt|kunnossa
		brak|nie|nie ma|zadne|zaden|w porzadku
		nessuno|nessuna|geen|nenhum`)

	nonePhrases = padded(`memory empty|memory clear|fehlerspeicher leer|speicher leer|fehlerfrei|memoire vide|memoria vacia|felfri|feilfri|fejlfri|fault free
		felminne tomt|felminnet tomt|feilminne tomt|minnet tomt|vikamuisti tyhja|pamiec pusta|pamiec bledow pusta|pamiec usterek pusta`)

	negations = set(`no|none|zero|0|nil|without|not any|keine|kein|keinen|keinerlei|ohne|aucun|aucune|pas|sans|sin|ningun|ninguna|ninguno|cero
		ingen|inga|inget|utan|uten|uden|noll|null|ei|eika|nolla|ilman|brak|bez|zadnych|nessun|nessuna|geen|nenhum|sem`)

	furtherWords = set(`new|other|others|further|more|additional|neue|neuen|neuer|weitere|weiteren|andere|anderen|nouveau|nouveaux|nouvelle|autre|autres
		nuevo|nuevos|nuevas|otro|otros|otras|ny|nya|nye|andra|andre|uusia|muita|nowych|innych`)

	faultWords = set(`code|codes|dtc|dtcs|fault|faults|error|errors|trouble|faultcodes|cel|stored
		fehler|fehlercode|fehlercodes|fehlereintrag|fehlereintrage|fehlerspeichereintrag|fehlerspeichereintrage|eintrag|eintrage|storung|storungen
		defaut|defauts|panne|pannes|erreur|erreurs|anomalie|anomalies
		codigo|codigos|averia|averias|fallo|fallos|errores
		kod|koder|kode|felkod|felkoder|fel|feil|feilkode|feilkoder|fejl|fejlkode|fejlkoder
		vika|vikoja|vikaa|vikakoodi|vikakoodeja|vikakoodia|koodeja|koodia|virheita|virhekoodeja
		blad|bledow|bledu|kodow|kodu|usterek|usterki
		errori|codici|guasti|fouten|foutcodes|storingen|erros|falhas`)
)
