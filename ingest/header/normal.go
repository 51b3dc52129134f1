package header

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"pitlist/ingest/value"
)

// heading is a heading taken apart: its words, and the unit and date format it states.
type heading struct {
	raw   string
	words []string // without unit, scale and date format
	all   []string // with them
	unit  value.Unit
	scale float64
	order value.Order
	mixed bool // states two units: "km/miles"
	mil   bool // the unit is Scandinavian mil
}

// takeApart prepares a heading for matching.
func takeApart(raw string) heading {
	h := heading{raw: foldSpace(raw), scale: 1}
	text, order := cutDateFormat(withoutMarks(raw))
	h.order = order
	h.all = wordsOf(text)
	h.words = h.cutUnits(h.all)
	return h
}

// brokenWord is a hyphen at the end of a line in the middle of a word: "Kilo-", "meterstand".
var brokenWord = regexp.MustCompile(`(\p{Ll})-\s*[\r\n]\s*(\p{Ll})`)

// withoutMarks joins words that were broken at a line's end and drops the raised figures and stars of foot notes.
func withoutMarks(s string) string {
	if strings.ContainsAny(s, "\r\n") {
		for range 4 { // breaks may share a syllable
			s = brokenWord.ReplaceAllString(s, "$1$2")
		}
	}
	if strings.ContainsAny(s, "¹²³⁴⁵⁶⁷⁸⁹*†‡") {
		s = strings.TrimRight(s, "¹²³⁴⁵⁶⁷⁸⁹*†‡ ")
	}
	return s
}

func foldSpace(s string) string { return strings.Join(strings.Fields(s), " ") }

// key joins words so that "EQUIP ID", "EquipID" and "equip_id" are one.
func key(words []string) string { return strings.Join(words, "") }

// wordsOf folds case and accents, splits camel case and punctuation, writes every spelling of "number" as nr and drops articles.
func wordsOf(s string) []string { return wordsAmong(rawWords(s)) }

// wordsAmong is wordsOf where the raw words are at hand.
func wordsAmong(raw []string) []string {
	var out []string
	for _, w := range raw {
		switch {
		case numberWords[w]:
			out = append(out, "nr")
		case stopWords[w]:
		default:
			out = appendCompound(out, w)
		}
	}
	if len(out) == 0 {
		return raw
	}
	return out
}

var (
	numberWords = toSet("no nr num number nummer numero numer nro nbr n° номер ном")
	stopWords   = toSet("of the de la le les du des der die das del el den det d l")
)

func toSet(list string) map[string]bool {
	m := make(map[string]bool)
	for _, w := range strings.Fields(list) {
		m[w] = true
	}
	return m
}

// anyOf reports a word of the set among the words.
func anyOf(words []string, set map[string]bool) bool {
	return slices.ContainsFunc(words, func(w string) bool { return set[w] })
}

// appendCompound takes "number" off the end of a compound: Motornummer, Rekisterinumero, Fahrgestellnr.
func appendCompound(out []string, w string) []string {
	for _, end := range [...]string{"nummer", "numero", "numer", "nro", "nr"} {
		if front, ok := strings.CutSuffix(w, end); ok && len(front) >= 3 {
			return append(out, front, "nr")
		}
	}
	return append(out, w)
}

// rawWords splits a heading into its folded words; signs of money, # and % count as words.
func rawWords(s string) []string {
	f := value.Fold(splitCamel(s))
	var out []string
	from := -1
	flush := func(to int) {
		if from >= 0 {
			out = append(out, f[from:to])
		}
		from = -1
	}
	for i, r := range f {
		sign, ok := signWords[r]
		switch {
		case r == '°' && from >= 0 && f[from:i] == "n":
			out, from = append(out, "nr"), -1
		case ok:
			flush(i)
			out = append(out, sign)
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if from < 0 {
				from = i
			}
		default:
			flush(i)
		}
	}
	flush(len(f))
	return out
}

var signWords = map[rune]string{'#': "nr", '%': "%", '€': "eur", '£': "gbp", '$': "usd", '×': "x"}

// splitCamel puts a blank before a capital that begins a word: InServiceDate, VINNumber. Words in capitals stay whole.
func splitCamel(s string) string {
	if strings.IndexFunc(s, unicode.IsUpper) < 0 {
		return s // the ordinary case
	}
	runes := []rune(s)
	var b strings.Builder
	for i, r := range runes {
		if i > 0 && unicode.IsUpper(r) {
			after := i+1 < len(runes) && unicode.IsLower(runes[i+1])
			if unicode.IsLower(runes[i-1]) || unicode.IsUpper(runes[i-1]) && after && i+2 < len(runes) {
				b.WriteByte(' ')
			}
		}
		b.WriteRune(r)
	}
	return b.String()
}

// unitWords are the words at the end of a heading that state a unit; thousandWords those that state a scale.
var (
	unitWords = map[string]value.Unit{
		"km": value.Km, "kms": value.Km, "kilometer": value.Km, "kilometers": value.Km, "kilometre": value.Km, "kilometres": value.Km, "kilometros": value.Km,
		"kilometri": value.Km, "kilometria": value.Km, "kilometry": value.Km, "kilometern": value.Km, "tkm": value.Km, "kilometrow": value.Km,
		"mi": value.Mile, "mile": value.Mile, "miles": value.Mile, "meilen": value.Mile, "milles": value.Mile, "millas": value.Mile, "mls": value.Mile, "mil": value.Km,
		"h": value.Hour, "hr": value.Hour, "hrs": value.Hour, "hours": value.Hour, "std": value.Hour, "stunden": value.Hour, "heures": value.Hour, "horas": value.Hour,
		"timmar": value.Hour, "timer": value.Hour, "tuntia": value.Hour, "godz": value.Hour, "mth": value.Hour,
		"months": value.Month, "monate": value.Month, "mois": value.Month, "meses": value.Month, "manader": value.Month, "maneder": value.Month, "kk": value.Month, "mies": value.Month,
		"chilometri": value.Km, "quilometros": value.Km, "км": value.Km, "километров": value.Km, "километры": value.Km, "miglia": value.Mile, "milhas": value.Mile, "миль": value.Mile, "мили": value.Mile,
		"ore": value.Hour, "ч": value.Hour, "часов": value.Hour, "моточасов": value.Hour, "mesi": value.Month, "мес": value.Month, "руб": "RUB",
		"eur": "EUR", "gbp": "GBP", "usd": "$", "nok": "NOK", "sek": "SEK", "dkk": "DKK", "pln": "PLN", "chf": "CHF", "kr": "kr", "zl": "PLN",
		"mm": "mm", "bar": "bar", "kpa": "kPa", "psi": "psi", "v": "V",
	}
	thousandWords = toSet("tkm tsd tausend x1000 1000 000 000s k thousand thousands tuhatta tys tusen milliers тыс migliaia")
	joinWords     = toSet("in x en i per w")
)

// cutUnits takes unit and scale off the end of the words. What is left may be nothing: a column may be headed "km".
func (h *heading) cutUnits(words []string) []string {
	end := len(words)
	for end > 0 {
		w := words[end-1]
		unit, isUnit := unitWords[w]
		isScale := thousandWords[w]
		if w == "x100" {
			isScale = true
		}
		if !isUnit && !isScale && !(joinWords[w] && end < len(words)) {
			break
		}
		h.note(w, unit, isUnit, isScale)
		end--
	}
	h.unitInFront(words[:end])
	return words[:end]
}

func (h *heading) note(word string, unit value.Unit, isUnit, isScale bool) {
	if isUnit {
		h.mixed = h.mixed || h.unit != "" && h.unit != unit
		h.unit = unit
	}
	if isScale {
		h.scale = 1000
	}
	if word == "x100" {
		h.scale = 100
	}
	if word == "mil" {
		h.mil, h.scale = true, 10
	}
}

// unitInFront sees the unit of "km-Stand" or "Miles at disposal".
func (h *heading) unitInFront(words []string) {
	if h.unit != "" {
		return
	}
	for _, w := range words {
		if u := unitWords[w]; (u == value.Km || u == value.Mile) && w != "mil" {
			h.unit = u
			return
		}
		if strings.HasPrefix(w, "kilomet") || w == "kmstand" {
			h.unit = value.Km
			return
		}
	}
}

// dateFormat is how headings spell the form of a date, in English, German, French, Spanish, Nordic and Polish letters.
var dateFormat = regexp.MustCompile(`(?i)[(\[]?\b(dd?|tt?|jj|pp|mm?|kk|yyyy|aaaa|jjjj|rrrr|vvvv|åååå)([./-])(dd?|tt?|jj|pp|mm?|kk)[./-](dd?|tt?|pp|yyyy|yy|aaaa|aa|jjjj|jj|rrrr|rr|vvvv|vv|åååå|åå)(?:\b|$)[)\]]?`)

// cutDateFormat takes "(dd/mm/yyyy)" out of a heading and says which order it states.
func cutDateFormat(s string) (rest string, order value.Order) {
	m := dateFormat.FindStringSubmatchIndex(s)
	if m == nil {
		return s, value.Undecided
	}
	first, second := strings.ToLower(s[m[2]:m[3]]), strings.ToLower(s[m[6]:m[7]])
	month := func(w string) bool { return w[0] == 'm' || w[0] == 'k' }
	switch {
	case len(first) > 2:
	case month(first) && !month(second):
		order = value.MonthFirst
	case !month(first) && month(second):
		order = value.DayFirst
	}
	return s[:m[0]] + " " + s[m[1]:], order
}

// outsideBrackets drops what stands in brackets; the rest may be a known wording: "VIN (17 digits)".
func outsideBrackets(s string) string {
	var b strings.Builder
	depth := 0
	for _, r := range s {
		switch r {
		case '(', '[', '{':
			depth++
		case ')', ']', '}':
			depth = max(depth-1, 0)
		default:
			if depth == 0 {
				b.WriteRune(r)
			}
		}
	}
	return b.String()
}

// inBrackets are the words that stand in brackets.
func inBrackets(s string) (words []string) {
	for _, m := range bracketed.FindAllStringSubmatch(s, -1) {
		words = append(words, rawWords(m[1])...)
	}
	return words
}

var bracketed = regexp.MustCompile(`[(\[{]([^)\]}]*)`)

// insideBrackets is what stands in the last brackets, folded.
func insideBrackets(s string) string {
	from, to := strings.LastIndexAny(s, "(["), strings.LastIndexAny(s, ")]")
	if from < 0 || to < from {
		return ""
	}
	return value.Fold(s[from+1 : to])
}

// parts splits a heading that names several things: "Serial num/VIN", "Year & make".
func parts(s string) []string {
	s = joiner.ReplaceAllString(s, "/")
	var out []string
	for _, p := range strings.Split(s, "/") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

var joiner = regexp.MustCompile(`(?i)\s*[/|&+;]\s*|\s+(?:und|and|et|y|och|og|ja|oraz|i|e|or|oder|ou|и|или)\s+`)

// withoutHarmless drops words that change nothing about what a column holds: "Vehicle make", "Current odometer".
func withoutHarmless(words []string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return harmless[w] })
}

var harmless = toSet("vehicle vehicles veh fzg fahrzeug fahrzeuge kfz vehicule vehicules vehiculo vehiculos fordon fordons fordonets kjoretoy kjoretoyets bil bilens ajoneuvo ajoneuvon auton pojazd pojazdu " +
	"samochodu auta car truck van bus asset current curr aktuell aktueller aktuelle aktuelles akt latest last letzter letzte letztes actuel actuelle actual ultimo ultima nuvarande senaste siste " +
	"veicolo veicoli mezzo automezzo viatura veiculo тс автомобиля машины attuale attuali atual текущий текущая текущее общий общая " +
	"nykyinen viimeisin viimeinen aktualny aktualna aktualne ostatni ostatnia ostatnie obecny known assigned recorded reported total value wert valeur valor varde verdi arvo wartosc")
