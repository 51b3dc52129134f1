package value

import "strings"

// monthLists are the months' names and short forms, folded, January first; a bar parts forms. Unicode CLDR, from memory, with the forms that
// dates put them in (Polish genitive, Finnish partitive) and what people write.
var monthLists = []string{
	"january|jan", "february|feb", "march|mar", "april|apr", "may", "june|jun", "july|jul", "august|aug", "september|sep|sept", "october|oct", "november|nov", "december|dec",
	"januar|janner|jaenner", "februar|feber", "marz|maerz|mrz", "april", "mai", "juni", "juli", "august", "september", "oktober|okt", "november", "dezember|dez",
	"janvier|janv", "fevrier|fevr|fev", "mars", "avril|avr", "mai", "juin", "juillet|juil", "aout", "septembre", "octobre", "novembre", "decembre",
	"enero|ene", "febrero", "marzo", "abril|abr", "mayo", "junio", "julio", "agosto|ago", "septiembre|setiembre|set", "octubre", "noviembre", "diciembre|dic",
	"januari", "februari", "mars", "april", "maj", "juni", "juli", "augusti", "september", "oktober", "november", "december",
	"januar", "februar", "mars|marts", "april", "mai", "juni", "juli", "august", "september", "oktober", "november", "desember|des",
	"tammikuu|tammikuuta|tammi", "helmikuu|helmikuuta|helmi", "maaliskuu|maaliskuuta|maalis", "huhtikuu|huhtikuuta|huhti", "toukokuu|toukokuuta|touko", "kesakuu|kesakuuta|kesa",
	"heinakuu|heinakuuta|heina", "elokuu|elokuuta|elo", "syyskuu|syyskuuta|syys", "lokakuu|lokakuuta|loka", "marraskuu|marraskuuta|marras", "joulukuu|joulukuuta|joulu",
	"styczen|stycznia|sty", "luty|lutego|lut", "marzec|marca", "kwiecien|kwietnia|kwi", "maj|maja", "czerwiec|czerwca|cze", "lipiec|lipca|lip", "sierpien|sierpnia|sie",
	"wrzesien|wrzesnia|wrz", "pazdziernik|pazdziernika|paz", "listopad|listopada|lis", "grudzien|grudnia|gru",
	"gennaio|gen|genn", "febbraio|feb|febbr", "marzo|mar", "aprile|apr", "maggio|mag", "giugno|giu", "luglio|lug", "agosto|ago", "settembre|set|sett", "ottobre|ott", "novembre|nov", "dicembre|dic",
	"janeiro|jan", "fevereiro|fev", "marco|mar", "abril|abr", "maio|mai", "junho|jun", "julho|jul", "agosto|ago", "setembro|set", "outubro|out", "novembro|nov", "dezembro|dez",
	"январь|января|янв", "февраль|февраля|фев|февр", "март|марта|мар", "апрель|апреля|апр", "маи|мая", "июнь|июня|июн", "июль|июля|июл", "август|августа|авг", "сентябрь|сентября|сен|сент",
	"октябрь|октября|окт", "ноябрь|ноября|ноя|нояб", "декабрь|декабря|дек",
}

// monthNames gives the month's number. No form of one language is another month's of another.
var monthNames = func() map[string]int {
	m := make(map[string]int)
	for i, forms := range monthLists {
		for _, w := range strings.Split(forms, "|") {
			m[w] = i%12 + 1
		}
	}
	return m
}()

// MonthNumber is the number of the month that a folded word names, 1 to 12; 0 where it names none.
func MonthNumber(word string) int { return monthNames[word] }

// dateFillers are words that stand in dates and say nothing of the day: weekdays and the small words between. Polish r. is "of the year".
var dateFillers = set("of", "the", "on", "den", "der", "am", "le", "de", "del", "el", "dnia", "r", "rok", "roku", "d", "dne", "kl", "uhr", "klo", "at", "um", "godz", "a", "t", "z", "utc", "ad", "pm",
	"mon", "tue", "tues", "wed", "thu", "thur", "thurs", "fri", "sat", "sun", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
	"mo", "di", "mi", "do", "fr", "sa", "so", "montag", "dienstag", "mittwoch", "donnerstag", "freitag", "samstag", "sonnabend", "sonntag",
	"lun", "mer", "jeu", "ven", "sam", "dim", "lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche",
	"lunes", "martes", "miercoles", "jueves", "viernes", "sabado", "domingo", "mie", "jue", "vie", "sab", "dom",
	"man", "tis", "tir", "ons", "tor", "tors", "fre", "lor", "son", "mandag", "tirsdag", "onsdag", "torsdag", "fredag", "lordag", "sondag", "mandags", "tisdag", "lordags",
	"ma", "ke", "to", "pe", "la", "su", "maanantai", "tiistai", "keskiviikko", "torstai", "perjantai", "lauantai", "sunnuntai", "maanantaina", "tiistaina", "keskiviikkona", "torstaina", "perjantaina", "lauantaina", "sunnuntaina",
	"lunedi", "martedi", "mercoledi", "giovedi", "venerdi", "sabato", "domenica", "segunda", "terca", "quarta", "quinta", "sexta", "sabado", "feira", "г", "год", "года", "от",
	"pon", "wt", "sr", "czw", "pt", "sob", "nd", "niedz", "poniedzialek", "wtorek", "sroda", "czwartek", "piatek", "sobota", "niedziela")
