package header

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/ingest/value"
)

// totalList begins rows that add up or average the rows above (common practice, no source), folded.

var totalList = "total|totals|grand total|sub total|subtotal|sub-total|sum|sums|count|average|avg|mean|median|number of vehicles|no. of vehicles|vehicles in all|" +
	"summe|summen|gesamt|gesamtsumme|insgesamt|zwischensumme|endsumme|anzahl|anzahl fahrzeuge|mittelwert|durchschnitt|fahrzeuge gesamt|" +
	"somme|total general|totaux|sous-total|sous total|moyenne|nombre|nombre de vehicules|suma|suma total|total general|subtotales|promedio|media|numero de vehiculos|" +
	"summa|totalt|delsumma|medel|medelvarde|antal|antal fordon|sum totalt|delsum|gjennomsnitt|antall|antall kjoretoy|i alt|" +
	"yhteensa|summa yhteensa|valisumma|keskiarvo|lukumaara|maara|totale|totali|totale generale|subtotale|somma|media|soma|subtotal|total geral|итого|всего|общии итог|сумма|среднее|количество|razem|ogolem|lacznie|suma czesciowa|srednia|liczba|liczba pojazdow|n"

// footWords begin foot notes.
var footWords = []string{"note:", "notes:", "source:", "nb:", "n.b.", "quelle:", "hinweis:", "anmerkung:", "stand:", "source :", "remarque", "nota:", "fuente:", "kalla:", "anm:", "anm.:", "kilde:",
	"merk:", "huom", "lahde:", "fonte:", "fonte :", "obs:", "obs.:", "observacao:", "примечание:", "источник:", "стр. ", "страница ", "uwaga:", "zrodlo:", "page ", "seite ", "pagina ", "sida ", "side ", "sivu ", "strona ", "printed ", "gedruckt ", "imprime ", "end of ", "*", "†", "‡", "1)", "©", "(c) "}

// IsTotal reports a row that speaks of the sheet and not of a vehicle: totals, averages, counts ("N = 41"), or a foot note alone in its row.
// Ask it only for rows without a valid VIN.
func IsTotal(cells []string) bool {
	first, filled := -1, 0
	for i, c := range cells {
		if strings.TrimSpace(c) == "" {
			continue
		}
		if filled++; first < 0 {
			first = i
		}
	}
	if first < 0 || utf8.RuneCountInString(cells[first]) > 400 {
		return false
	}
	if filled > 1 && !mayBeTotal(cells[first]) {
		return false
	}
	f := value.Fold(cells[first])
	return isTotalText(f) || filled == 1 && isFootNote(f)
}

// mayBeTotal is a quick look that spares nearly all rows of data the folding: without its figures and marks a total's text is a word, where
// a unit number is a letter or two.
func mayBeTotal(s string) bool {
	word := strings.TrimRight(s, " 0123456789.,()=:*-/")
	return len(word) > 2 || strings.ContainsAny(word, "nN")
}

// isTotalText sees a total's word, alone, before a colon or equals sign, or before a count: "Total (41)", "N = 41".
func isTotalText(f string) bool {
	word := strings.TrimRight(f, " 0123456789.,()=:*")
	word = strings.TrimRight(word, " (:=")
	if word == "n" {
		return strings.ContainsAny(f, "=:")
	}
	return totals[word] || totals[strings.TrimLeft(word, "∑σ ")] || strings.HasPrefix(f, "∑")
}

var totals = func() map[string]bool {
	m := make(map[string]bool)
	for _, w := range strings.Split(totalList, "|") {
		m[w] = true
	}
	return m
}()

// totalWords begin or end the name of a group's total, as spreadsheets write it: "North Total", "Total général", "Nord Ergebnis".
var totalWords = toSet("total totals totaal totale totali totaux subtotal subtotals subtotaal summe gesamt gesamtsumme zwischensumme ergebnis gesamtergebnis teilergebnis zwischenergebnis suma razem ogolem lacznie summa totalt delsumma delsum " +
	"yhteensa valisumma subtotale soma итого всего")

// IsTotalName reports what stands where a vehicle's name should and is that of a total over a group. Ask it for rows that hold nothing else but
// figures.
func IsTotalName(name string) bool {
	if !mayBeTotal(name) || utf8.RuneCountInString(name) > 100 {
		return false
	}
	words := strings.FieldsFunc(value.Fold(name), func(r rune) bool { return !unicode.IsLetter(r) })
	return len(words) > 0 && (totalWords[words[0]] || totalWords[words[len(words)-1]])
}

// NumbersColumns reports a row under the heading that numbers its columns: 1, 2, 3….
func NumbersColumns(cells []string) bool {
	n := 0
	for _, c := range cells {
		if c = strings.Trim(c, " ().[]"); c == "" {
			continue
		}
		if n++; c != strconv.Itoa(n) {
			return false
		}
	}
	return n >= 3
}

// LoneNote reports a text that stands alone on its row and reads as the heading of a group or a note: it has no figure, or four words and more.
// Ask it where vehicles' names have figures.
func LoneNote(s string) bool {
	return !strings.ContainsFunc(s, unicode.IsDigit) || len(strings.Fields(s)) >= 4
}

// rowsCounted is what database programs write under what they hand out.
var rowsCounted = regexp.MustCompile(`^\(?\d[\d.,' ]* ?(rows?|records?|lines?|row\(s\)|record\(s\)|zeilen?|datensatze?|lignes?|enregistrements?|filas?|registros?|rader|rivia|wierszy|righe|linhas)\b|^(completion time|elapsed|time taken|query (executed|ok)|\d+ rows? (affected|selected|in set))`)

// IsRule reports a row of strokes that programs draw between the parts of a table.
func IsRule(cells []string) bool {
	drawn := false
	for _, c := range cells {
		if c = strings.TrimSpace(c); c == "" {
			continue
		}
		if len(c) < 3 || strings.Trim(c, "-=_+|:~ ") != "" {
			return false
		}
		drawn = true
	}
	return drawn
}

// footNoteFrom is the length from which a lone text is no unit number any more.
const footNoteFrom = 40

func isFootNote(f string) bool {
	if utf8.RuneCountInString(f) >= footNoteFrom && strings.Contains(f, " ") {
		return true
	}
	if rowsCounted.MatchString(f) {
		return true
	}
	for _, w := range footWords {
		if strings.HasPrefix(f, w) {
			return true
		}
	}
	return false
}
