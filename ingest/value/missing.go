package value

import (
	"strings"
	"unicode/utf8"
)

// missingWords are the ways in which lists say "we don't have it", folded. Common practice, no source. "none" is not among them: under
// a heading of codes it is a finding (scanned, nothing found); see IsNone.
var missingWords = set(
	"", "-", "--", "---", ".", "..", "...", "/", "//", "_", "?", "??", "???", "x", "xx", "xxx", "*",
	"n/a", "na", "n.a.", "n.a", "n / a", "n/k", "nk", "n.k.", "nan", "null", "nil", "(null)", "(blank)", "(leer)", "blank", "empty",
	"tbc", "tbd", "tba", "unknown", "unkn", "unk", "unk.", "not known", "not available", "not recorded", "missing", "no data",
	"unbekannt", "unbek.", "k.a.", "k. a.", "ka", "keine angabe", "keine angaben", "entfallt", "fehlt", "n. v.", "n.v.", "nicht bekannt",
	"inconnu", "inconnue", "non connu", "non renseigne", "n.c.", "nc", "n/c", "manquant", "non disponible",
	"desconocido", "desconocida", "s/d", "sin datos", "sin dato", "no disponible", "n/d", "nd",
	"okand", "okant", "saknas", "uppgift saknas", "ukjent", "mangler", "ikke kjent", "ukendt",
	"tuntematon", "ei tiedossa", "ei tietoa", "puuttuu",
	"sconosciuto", "sconosciuta", "non disponibile", "non noto", "desconhecido", "desconhecida", "sem dados", "nao disponivel", "нет данных", "н/д", "нд", "н.д.", "неизвестно", "неизвестен", "не указано", "не указан",
	"nieznany", "nieznana", "nieznane", "brak", "brak danych", "b.d.", "bd", "nie dotyczy", "n.d.",
)

// noneWords say that there is nothing, which under most headings comes to the same as missing.
var noneWords = set("none", "no", "nothing", "nil", "keine", "keiner", "kein", "aucun", "aucune", "neant", "ninguno", "ninguna", "inga", "ingen", "inget",
	"ei", "ei ole", "ei mitaan", "zaden", "zadne", "zadna", "nie ma", "nessuno", "nessuna", "niente", "nenhum", "nenhuma", "nada", "нет", "не обнаружено", "отсутствуют", "ошибок нет", "нет ошибок")

// excelErrors are the error values of ISO/IEC 29500 (spreadsheet cells of type e) and those added since (from memory).
var excelErrors = set("#n/a", "#div/0!", "#ref!", "#value!", "#name?", "#num!", "#null!", "#spill!", "#calc!", "#getting_data", "#field!", "#blocked!",
	"#n/d", "#bezug!", "#wert!", "#nv", "#zahl!", "#puuttuu!", "#arvo!", "#viittaus!", "#saknas!", "#varde!", "#referens!", "#verdi!", "#i/t", "#valeur!", "#nombre!",
	"#nom?", "#valor!", "#arg!", "#adr!", "#n/dd")

// longestWord bounds the look-up: no word of the three lists is longer, so that longer texts need no folding.
const longestWord = 20

// IsMissing reports whether a cell says nothing: blank, a dash, "n/a", "unknown" and the like in the languages read, or an error value of
// the spreadsheet, for which excelError is true too (the planner should mend the formula).
func IsMissing(s string) (missing, excelError bool) {
	if s == "" {
		return true, false
	}
	if s[0] != '#' && strings.ContainsAny(s, "0123456789") {
		return false, false // VINs, codes, figures: no word of the lists has a digit
	}
	if t := strings.TrimSpace(s); len(t) > longestWord && !isMark(t[0]) && t[0] < utf8.RuneSelf {
		return false, false // too long for any word of the lists
	}
	f := Fold(s)
	switch {
	case len(f) > longestWord:
		return onlyMarks(f), false
	case f != "" && f[0] == '#' && excelErrors[f]:
		return true, true
	}
	return missingWords[f] || onlyMarks(f), false
}

// onlyMarks reports a cell filled with dashes, dots, question marks or blanks, of whatever length.
func onlyMarks(f string) bool {
	for i := 0; i < len(f); i++ {
		if !isMark(f[i]) {
			return false
		}
	}
	return true
}

func isMark(c byte) bool {
	switch c {
	case '-', '.', '?', '_', ' ', '*', '/', '\'':
		return true
	}
	return false
}

// IsNone reports words for "nothing" ("none", "keine", "aucun"). For a date or a number that is as good as missing; for codes it means that
// a scan found nothing, so it is kept apart from IsMissing.
func IsNone(s string) bool {
	return len(s) <= 3*longestWord && noneWords[Fold(s)]
}

func set(words ...string) map[string]bool {
	m := make(map[string]bool, len(words))
	for _, w := range words {
		m[w] = true
	}
	return m
}
