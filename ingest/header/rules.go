package header

import "slices"

// The rules below read headings put together from a known wording and a word that says which side of it is meant: "Odometer" and "date".
// They save the list of wordings from having to hold every pair.

var (
	dateWords  = toSet("date dates dt datum dato fecha pvm paiva paivamaara dag jour on am")
	timeWords  = toSet("time uhrzeit zeit heure hora tid klockslag aika godzina")
	nameWords  = toSet("name namn navn bezeichnung nimi nazwa nombre nom")
	workWords  = toSet("description descr desc beskrivning beskrivelse beschreibung kuvaus opis descripcion designation libelle text done performed completed carried out av av utford utfort utforda durchgef durchgefuhrte ausgefuhrte realises effectues effectuees efectuados realizados realizadas tehdyt tehty wykonanych wykonane zakres")
	sinceWords = toSet("since seit s depuis desde sedan siden od alkaen after nach")
	clearWords = toSet("clear clr cleared clearing erase erased erasure reset loschung loschen fehlerloschung effacement effaces borrado borrar radering raderades sletting slettet nollaus nollauksesta skasowania kasowania wyczyszczenia")
	farWords   = toSet("km distance dist miles mi mileage kilometer kilometers kilometres kilometre strecke fahrstrecke kilometraje distancia stracka dystans kms")
)

// datedBy says what "date" beside a field means.
var datedBy = map[Field]Field{Odometer: OdometerDate, OdometerDate: OdometerDate, EngineHours: OdometerDate, InServiceDate: InServiceDate, BuildDate: BuildDate, DisposalDate: DisposalDate, NextService: NextService,
	Text: Date, Codes: Date, Date: Date, FindingField: Date}

// dateOf reads "Last meter reading date", "Datum åtgärd", "Date scanned".
func (m *matcher) dateOf(got *match) bool {
	rest, cut := without(got.all, dateWords)
	if n := len(rest); !cut && n > 1 && rest[0] == "data" { // Polish; at the end it is an English word
		rest, cut = rest[1:], true
	}
	if !cut || len(rest) == 0 {
		return false
	}
	if c, ok := m.restClaim(first(without(got.all, timeWords))); ok && c.field == Date {
		got.claims, got.why = []claim{c}, languages[c.lang]
		return true
	}
	c, ok := m.restClaim(rest)
	f, dated := datedBy[c.field]
	if !ok || !dated {
		return false
	}
	r := strong
	if c.rank == weak && f == Date {
		r = weak
	}
	got.claims, got.why = []claim{{f, r, c.lang}}, "the date of "+string(c.field)+", "+languages[c.lang]
	return true
}

// nameOf reads "Manufacturer name", "Depot name". The claim is weak: a maker's name may be that of the company behind the make.
func (m *matcher) nameOf(got *match) bool {
	rest, cut := without(got.all, nameWords)
	c, ok := m.restClaim(rest)
	if !cut || !ok || !slices.Contains([]Field{Depot, Make, Model, Part}, c.field) {
		return false
	}
	c.rank = weak
	got.claims, got.why = []claim{c}, languages[c.lang]
	return true
}

// workOf reads "Repairs performed", "Description of work order", "Utförd åtgärd".
func (m *matcher) workOf(got *match) bool {
	rest, cut := without(got.words, workWords)
	c, ok := m.restClaim(rest)
	if !cut || !ok || c.field != Text || c.rank < strong {
		return false
	}
	got.claims, got.why = []claim{c}, languages[c.lang]
	return true
}

// sinceClear reads the many ways to say how far a vehicle has run since its codes were erased.
func (m *matcher) sinceClear(got *match) bool {
	if !anyOf(got.all, sinceWords) || !anyOf(got.all, clearWords) || !anyOf(got.all, farWords) {
		return false
	}
	got.claims, got.why = []claim{{KmSinceClear, strong, "any"}}, "a distance since erasing"
	return true
}

// What stands in brackets mostly changes nothing ("VIN (17 characters)"), but for words that speak of another day than today, of what comes next,
// or of another vehicle or part (common practice, no source), folded.
var (
	mayBeNow    = toSet("in last p per to today letzte letzter letzten dernier derniere ultima ultimo senaste siste laatste ostatnim последнее последнем последнего то остаток до")
	neverNow    = toSet("new neu neuf neuve nuevo nuovo novo nytt ny uusi nowy previous prev former vorherige vorheriger precedent precedente anterior month")
	nextWords   = toSet("next due nachste nachster prochain prochaine proximo proxima prossimo prossima nastepny volgende nasta neste seuraava следующее следующего")
	formerWords = toSet("previous prev former old vorherige vorheriger alt alte altes ancien ancienne precedent precedente anterior antiguo antigua vecchio gammal gammel forrige tidigare vanha stary poprzedni oud oude прежнии старыи")
	otherThings = toSet("engine motor moteur trailer anhanger remorque remolque rimorchio reboque slap tilhenger peravaunu przyczepa aanhanger прицеп donor spare")
)

// ofAnother reports words in brackets that say that a column is not what its heading says without them.
func ofAnother(claims []claim, inside []string) bool {
	if rankOf(claims) < weak {
		return false
	}
	switch f := claims[0].field; f {
	case Odometer, EngineHours:
		return slices.ContainsFunc(inside, func(w string) bool { return notNow[w] && !mayBeNow[w] || neverNow[w] })
	case Date, OdometerDate:
		return anyOf(inside, nextWords)
	case VIN, VINPrefix, Unit, Registration:
		return anyOf(inside, otherThings) || anyOf(inside, formerWords)
	case Make, Model, Depot:
		return anyOf(inside, formerWords)
	}
	return false
}

// restClaim looks up what is left of a heading, harmless words aside.
func (m *matcher) restClaim(rest []string) (claim, bool) {
	for _, words := range [][]string{rest, withoutHarmless(rest)} {
		if claims := m.vocabulary.claims[key(words)]; len(words) > 0 && rankOf(claims) >= weak {
			return claims[0], true
		}
	}
	return claim{}, false
}

func first(words []string, _ bool) []string { return words }

// without drops the words of a set and tells whether there were any.
func without(words []string, set map[string]bool) (rest []string, cut bool) {
	rest = slices.DeleteFunc(slices.Clone(words), func(w string) bool { return set[w] })
	return rest, len(rest) < len(words)
}
