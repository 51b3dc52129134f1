package value

import (
	"strings"

	"pitlist/score/say"
)

// wrongWords are what titles, auctions and workshops write of an odometer that does not show the true distance, folded, as whole words anywhere in a text:
// the statements of 49 CFR 580.5(e) ("in excess of its mechanical limits", "not the actual mileage", "odometer discrepancy") and what the trade
// makes of them (common practice, no source).
var wrongWords = []string{"tmu", "true mileage unknown", "true miles unknown", "actual mileage unknown", "not actual mileage", "not actual miles", "not actual odometer", "not actual reading", "not the actual mileage", "not the actual miles", "not the actual reading", "mileage not actual", "miles not actual", "odometer not actual", "mechanical limits", "mechanical limit", "odometer discrepancy", "mileage discrepancy",
	"mileage incorrect", "incorrect mileage", "odometer altered", "rolled back", "odometer rollback"}

// wrongAlone are such words where they are a clause by themselves: "not actual cost" is about something else.
var wrongAlone = set("not actual", "not the actual", "nonactual", "non actual")

// statusWrong are further words of a column that says how an odometer stands; statusRight are its words for a reading that is vouched for.
var (
	statusWrong = set("no", "n", "nein", "non", "e", "exempt", "exempted", "eml", "nam", "n/a exempt", "discrepancy", "incorrect", "inaccurate", "false", "wrong", "altered", "rollover", "broken", "inoperable", "inop", "not working", "defective", "faulty", "replaced", "changed", "unverified", "not verified", "unwarranted", "not warranted", "unreadable", "not readable", "no power", "digital dash no power",
		"estimated", "estimate", "est", "est.", "unknown", "tacho defekt", "defekt", "getauscht", "ausgetauscht", "nicht ablesbar", "geschatzt", "unbekannt", "falsch", "non garanti", "non lisible", "remplace", "inconnu", "en panne", "averiado", "cambiado", "no legible", "desconocido", "no garantizado", "estimado", "estimada")
	statusRight = set("actual", "actual mileage", "actual miles", "act", "a", "ok", "o.k.", "true", "correct", "verified", "warranted", "accurate", "working", "original", "read", "yes", "y", "ja", "j", "oui", "si", "good", "abgelesen", "geprueft", "gepruft", "garantiert", "korrekt", "original", "garanti", "certifie", "reel", "correcto", "real", "garantizado", "verificado")
)

// DoubtedReading finds words that say that an odometer does not show the true distance in a text about something else; "" where there are none.
func DoubtedReading(text string) string {
	if len(text) < 3 {
		return ""
	}
	f := " " + wordsOnly(Fold(text)) + " "
	for _, w := range wrongWords {
		if strings.Contains(f, " "+w+" ") {
			return w
		}
	}
	for _, clause := range strings.FieldsFunc(Fold(text), func(r rune) bool { return strings.ContainsRune(".,;:()[]/!\"\n", r) }) {
		if c := wordsOnly(clause); wrongAlone[c] {
			return c
		}
	}
	return ""
}

// vouching are words behind a figure that say that it is the true distance; statusBehind those that say that nobody answers for it (common practice, no source).
var (
	vouching     = set("actual", "act", "warranted", "verified", "genuine", "true", "confirmed", "garantiert", "abgelesen", "garanti", "certifie", "garantizado")
	statusBehind = set("unwarranted", "not warranted", "unverified", "not verified", "non garanti", "nicht garantiert", "no garantizado", "unconfirmed")
)

// withoutVouching takes a word of vouching off the end of a figure: "80,123 warranted", "80123 mi (actual)".
func withoutVouching(text string) string {
	at := strings.LastIndexAny(text, "0123456789")
	if at < 0 || at+1 == len(text) || len(text) > 60 {
		return text
	}
	words := strings.FieldsFunc(text[at+1:], func(r rune) bool { return strings.ContainsRune(" ()[]-,;\u00a0", r) })
	if n := len(words); n > 0 && vouching[Fold(words[n-1])] {
		return strings.TrimRight(text[:strings.LastIndex(text, words[n-1])], " ()[]-,;\u00a0")
	}
	return text
}

// nobodyVouches reports a figure with a word behind it that says that nobody answers for it.
func nobodyVouches(text string) bool {
	at := strings.LastIndexAny(text, "0123456789")
	return at >= 0 && statusBehind[strings.TrimPrefix(strings.TrimPrefix(wordsOnly(Fold(text[at+1:])), "mi "), "km ")]
}

// wordsOnly parts words by one blank and drops all other marks.
func wordsOnly(f string) string {
	return strings.Join(strings.FieldsFunc(f, func(r rune) bool { return strings.ContainsRune(" .,;:()[]*-/!\"'\n", r) }), " ")
}

// ParseReadingStatus reads the cell of a column that says how an odometer stands: whether its reading is the true distance.
func ParseReadingStatus(s string) (plain, known bool) {
	f := Fold(trim(s))
	switch {
	case statusWrong[f], DoubtedReading(f) != "":
		return false, true
	case statusRight[f]:
		return true, true
	}
	return true, false
}

// aboutWords stand before or behind a figure that nobody read (common practice, no source), folded.
var aboutWords = set("~", "≈", "ca", "ca.", "circa", "c.", "approx", "approx.", "approximately", "about", "around", "est", "est.", "estd", "estimated", "estimate", "etwa", "ungefahr", "rund", "geschatzt", "gesch.", "env", "env.", "environ", "estime", "aprox", "aprox.", "unos", "estimado", "estimada", "cirka", "omkring", "noin", "n.", "okolo", "ok.")

// estimated reports a figure with a word beside it that makes it a guess: "~92,400", "ca. 92 400 km", "92,400 (est.)".
func estimated(text string) bool {
	f := Fold(text)
	at := strings.IndexAny(f, "0123456789")
	if at < 0 {
		return false
	}
	front, back := strings.TrimSpace(f[:at]), f[strings.LastIndexAny(f, "0123456789")+1:]
	if front != "" {
		return aboutWords[front]
	}
	for _, w := range strings.Fields(strings.NewReplacer("(", " ", ")", " ", "[", " ", "]", " ").Replace(back)) {
		if aboutWords[w] {
			return true
		}
	}
	return false
}

func anEstimate(s string) error {
	return &Problem{Value: s, Reason: say.F("is an estimate, and no reading"), Suggestion: say.F("read the instrument; where the figure was read, write it alone")}
}

func doubted(s string) error {
	return &Problem{Value: s, Reason: say.F("is said not to be the true distance"), Suggestion: say.F("leave it so where the true distance is not known; else write the figure alone")}
}
