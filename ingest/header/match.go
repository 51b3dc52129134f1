package header

import (
	"fmt"
	"slices"
	"strings"

	"pitlist/ingest/value"
)

// match is what the words of one heading say.
type match struct {
	heading
	claims   []claim // best first; nearby ones last
	measure  string
	combined bool // the heading names several things in one column
	useless  bool // known, and of no use here
	unsure   bool
	hours    bool // a distance, by its words, in hours: two things in one column
	metres   bool // "(m)" behind a distance: metres, or miles
	makes    bool // a model behind its make
	why      string
}

// best returns the highest rank among the claims.
func (m match) best() rank {
	if len(m.claims) == 0 {
		return 0
	}
	return m.claims[0].rank
}

// found reports whether the words say anything that can be taken.
func (m match) found() bool { return m.measure != "" || m.best() >= weak }

// matcher holds what a sheet's headings are compared with.
type matcher struct {
	vocabulary *vocabulary
	told       map[string]Field // by key
	toldRaw    map[string]Field // as written, for headings that differ in punctuation only
	measures   map[string]string
	seen       map[string]match
}

func newMatcher(o Options) *matcher {
	m := &matcher{vocabulary: known(), told: make(map[string]Field), toldRaw: make(map[string]Field), measures: make(map[string]string), seen: make(map[string]match)}
	for _, h := range sortedKeys(o.Told) {
		if f := toldField(o.Told[h]); f.Valid() || f == Ignore {
			m.toldRaw[foldSpace(h)] = f
			m.told[key(rawWords(h))] = f
		}
	}
	for _, name := range o.Measures {
		m.measures[key(rawWords(name))] = name
	}
	return m
}

func toldField(f string) Field {
	if front, _, ok := strings.Cut(strings.TrimSpace(f), " "); ok && Field(strings.ToLower(front)) == OdometerByMonth {
		return OdometerByMonth // a day stands behind it
	}
	switch f = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(f)), " ", "_"); f {
	case "ignore", "-":
		return Ignore
	}
	return Field(f)
}

// match reads one heading by its words; the answer is kept, as the same heading is asked for with each row tried.
func (m *matcher) match(raw string) match {
	if got, ok := m.seen[raw]; ok {
		return got
	}
	got := m.read(raw)
	got.checkUnit()
	slices.SortStableFunc(got.claims, func(a, b claim) int { return int(b.rank) - int(a.rank) })
	m.seen[raw] = got
	return got
}

// longest is how many bytes a heading may have; what is longer is not looked into.
const longest = 2000

func (m *matcher) read(raw string) match {
	if len(raw) > longest {
		return match{heading: heading{raw: foldSpace(raw), scale: 1}}
	}
	got := match{heading: takeApart(raw)}
	f, ok := m.toldRaw[got.raw]
	if !ok && key(rawWords(raw)) != "" {
		f, ok = m.told[key(rawWords(raw))]
	}
	if ok {
		got.makes = m.behindMake(&got)
		return got.fixed(f)
	}
	if len(got.all) == 0 || len(got.raw) > 200 {
		return got
	}
	if name, ok := m.measured(got); ok {
		got.measure, got.claims, got.why = name, []claim{{Measured, canonical, "name"}}, "a measure of the catalogue"
		return got
	}
	for _, try := range []func(*match) bool{m.exact, m.vinPart, m.bare, m.otherOrder, m.onlyUnit, m.behindMake, m.several, m.sinceClear, m.dateOf, m.nameOf, m.workOf, m.slip} {
		if try(&got) {
			return got
		}
	}
	m.suggest(&got)
	return got
}

func (m match) fixed(f Field) match {
	m.claims, m.why = []claim{{f, told, "job"}}, "told by the job"
	return m
}

// checkUnit gives up claims that the unit of the heading speaks against: no distance is counted in litres or hours, and no day in km.
func (m *match) checkUnit() {
	unit := m.unit
	if inside := insideBrackets(m.raw); unit == value.NoUnit && inside != "" {
		u, _, known := value.ParseUnit(inside)
		m.metres = slices.Contains([]string{"m", "metre", "metres", "meter", "meters"}, inside)
		if known && u != value.NoUnit || m.metres {
			unit = u
		}
	}
	isDistance := unit == value.Km || unit == value.Mile
	for i := range m.claims {
		c := &m.claims[i]
		switch {
		case c.rank == told:
		case c.field == Odometer && c.rank >= strong && unit == value.Hour:
			m.hours, c.rank = true, nearby
		case c.field == Odometer && (m.metres || unit != value.NoUnit && !isDistance):
			c.rank = nearby
		case slices.Contains([]Field{Cost, Price, GuidePrice}, c.field) && (isDistance || unit == value.Hour):
			c.rank = nearby
		case c.field == NextService && isDistance:
			m.claims, m.useless, m.why = nil, true, "a distance, not a day"
			return
		}
	}
}

// measured compares with and without the unit: tappet_mm, "Tappet (mm)".
func (m *matcher) measured(got match) (string, bool) {
	for _, k := range []string{key(rawWords(got.raw)), key(got.words)} {
		if name, ok := m.measures[k]; ok && k != "" {
			return name, true
		}
	}
	return "", false
}

// exact looks the whole wording up, then the wording without its unit, taken off word by word: the hours of "Engine hours (h)" are none.
func (m *matcher) exact(got *match) bool {
	if m.look(got, rawWords(got.raw)) {
		return true
	}
	for n := len(got.all); n >= len(got.words); n-- {
		if m.look(got, got.all[:n]) {
			return true
		}
	}
	return false
}

func (m *matcher) look(got *match, words []string) bool {
	claims, ok := m.vocabulary.claims[key(words)]
	if !ok || len(words) == 0 {
		return false
	}
	got.claims, got.useless = slices.Clone(claims), len(claims) == 0
	got.why = grounds(claims)
	return true
}

// languages are the names for what synonyms.txt abbreviates.
var languages = map[string]string{"name": "canonical name", "en": "English wording", "de": "German wording", "fr": "French wording", "es": "Spanish wording", "sv": "Swedish wording",
	"nb": "Norwegian wording", "fi": "Finnish wording", "pl": "Polish wording", "it": "Italian wording", "pt": "Portuguese wording", "ru": "Russian wording", "da": "Danish wording", "nl": "Dutch wording", "any": "common wording", "file": "name in a public file layout"}

func grounds(claims []claim) string {
	if len(claims) == 0 {
		return "known, not needed"
	}
	return languages[claims[0].lang]
}

// bare tries without brackets, without a number at the end ("Code 2") and without harmless words.
func (m *matcher) bare(got *match) bool {
	outside := wordsOf(outsideBrackets(got.raw))
	var h heading
	if len(outside) > 0 && m.look(got, h.cutUnits(outside)) {
		if !ofAnother(got.claims, inBrackets(got.raw)) {
			return true
		}
		got.claims, got.useless, got.why = nil, false, ""
	}
	if n := len(got.words); n > 1 && len(got.words[n-1]) <= 2 && strings.Trim(got.words[n-1], "0123456789") == "" {
		if claims := m.vocabulary.claims[key(got.words[:n-1])]; len(claims) > 0 && claims[0].field.Several() {
			return m.look(got, got.words[:n-1])
		}
	}
	if n := len(got.words); n > 0 && glued(got.words[n-1]) != "" {
		words := append(slices.Clone(got.words[:n-1]), glued(got.words[n-1]))
		if claims := m.vocabulary.claims[key(words)]; len(claims) > 0 && claims[0].field == Codes {
			return m.look(got, words)
		}
	}
	for _, words := range [][]string{got.all, got.words} {
		rest := withoutHarmless(words)
		if n := len(rest); n > 0 && n < len(words) && m.worth(rest) && !m.counted(words, rest) && m.look(got, rest) {
			return true
		}
	}
	return false
}

// otherOrder takes a known wording whose words stand in another order, if only one has these words.
func (m *matcher) otherOrder(got *match) bool {
	for _, words := range [][]string{got.all, got.words} {
		k := m.vocabulary.bags[bag(words)]
		if k != "" && m.worth([]string{k}) && m.look(got, []string{k}) {
			return true
		}
	}
	return false
}

// counted reports a word of sums before what is no figure itself: "Total fault codes" are how many, not which.
func (m *matcher) counted(words, rest []string) bool {
	return anyOf(words, sumWords) && !slices.ContainsFunc(m.vocabulary.claims[key(rest)], func(c claim) bool { return slices.Contains(summed, c.field) })
}

var (
	sumWords = toSet("total value wert valeur valor varde verdi arvo wartosc общии общая") // of those that are harmless elsewhere
	summed   = []Field{Odometer, EngineHours, KmSinceClear, Cost, Price, GuidePrice}
)

// worth reports words that are known for more than a candidate.
func (m *matcher) worth(words []string) bool {
	claims, ok := m.vocabulary.claims[key(words)]
	return ok && (len(claims) == 0 || slices.ContainsFunc(claims, func(c claim) bool { return c.rank >= weak }))
}

// isVINPart sees which end of a VIN a heading speaks of: "VIN (1-10)", "VIN first 11", "VIN last 6".
func isVINPart(words []string) string {
	text := " " + strings.Join(words, " ") + " "
	if !strings.Contains(text, " vin ") && !strings.Contains(text, " chassis ") && !strings.Contains(text, " fin ") && !strings.Contains(text, " fahrgestell nr ") {
		return ""
	}
	if strings.Contains(text, " 10 17 ") || strings.Contains(text, " 12 17 ") {
		return "back"
	}
	for _, front := range [...]string{" 1 10 ", " 1 11 ", " first 10 ", " first 11 ", " 10 ", " 11 ", " prefix ", " partial ", " truncated "} {
		if strings.Contains(text, front) && !strings.Contains(text, " last ") {
			return "front"
		}
	}
	for _, back := range [...]string{" last ", " letzte ", " suffix ", " end ", " 6 ", " 8 ", " short ", " check "} {
		if strings.Contains(text, back) {
			return "back"
		}
	}
	return ""
}

// vinPart keeps VINs that are cut from being taken for whole ones.
func (m *matcher) vinPart(got *match) bool {
	switch isVINPart(got.all) {
	case "front":
		got.claims, got.why = []claim{{VINPrefix, strong, "en"}}, "first characters of a VIN"
		return true
	case "back":
		got.useless, got.why = true, "last characters of a VIN identify no vehicle"
		return true
	}
	return false
}

// onlyUnit takes a heading that is a unit and nothing else: "km", "tkm", "Miles", "Hours".
func (m *matcher) onlyUnit(got *match) bool {
	if len(got.words) > 0 {
		return false
	}
	switch {
	case got.mixed:
		got.claims = []claim{{OdometerUnit, weak, "any"}} // "Mls/km": what its cells say
	case got.unit == "km" || got.unit == "mi":
		got.claims = []claim{{Odometer, weak, "any"}}
	case got.unit == "h":
		got.claims = []claim{{EngineHours, weak, "any"}}
	default:
		return false
	}
	got.why = "the unit alone"
	return true
}

// behindMake reads headings of a vehicle's whole name, "Make/Model", "Year Make Model": the model, behind its make.
func (m *matcher) behindMake(got *match) bool {
	pieces := parts(strings.ReplaceAll(got.raw, ",", "/"))
	if len(pieces) == 1 {
		pieces = strings.Fields(got.raw)
	}
	var fields []Field
	for _, p := range pieces {
		part := match{heading: takeApart(p)}
		if len(fields) == 3 || !m.exact(&part) && !m.bare(&part) || part.best() < weak {
			return false
		}
		fields = append(fields, part.claims[0].field)
	}
	if len(fields) == 3 && fields[0] == ModelYear {
		fields = fields[1:]
	}
	if !slices.Equal(fields, []Field{Make, Model}) {
		return false
	}
	got.claims, got.makes, got.why = []claim{{Model, strong, "any"}}, true, "the model, behind its make"
	return true
}

// several reads headings that name more than one thing. Where every part can mean one same field, it is that field ("Serial num/VIN", "Datum/Date");
// else the column holds several things at once, which the job must settle.
func (m *matcher) several(got *match) bool {
	pieces := parts(got.raw)
	if len(pieces) < 2 || len(pieces) > 4 {
		return false
	}
	var common, all []claim
	for i, p := range pieces {
		part := match{heading: takeApart(p)}
		if !m.exact(&part) && !m.bare(&part) || part.best() < weak {
			return false
		}
		if i == 0 {
			common = part.claims
		}
		common = shared(common, part.claims)
		all = union(all, part.claims)
	}
	if len(common) > 0 {
		got.claims, got.why = common, "each of its words can mean it"
		return true
	}
	got.claims, got.combined, got.why = all, true, "names several things in one column"
	return true
}

// shared keeps the claims that both lists make, at the better rank.
func shared(a, b []claim) []claim {
	var out []claim
	for _, x := range a {
		for _, y := range b {
			if x.field == y.field && x.rank >= weak && y.rank >= weak {
				x.rank = max(x.rank, y.rank)
				out = append(out, x)
			}
		}
	}
	return out
}

func union(a, b []claim) []claim {
	for _, y := range b {
		if y.rank >= weak && !slices.ContainsFunc(a, func(x claim) bool { return x.field == y.field }) {
			a = append(a, y)
		}
	}
	return a
}

// slipFrom is the least length in which one wrong letter is more likely a slip than another word.
const slipFrom = 7

// slip takes a long word with one letter wrong, missing, too many, or swapped with its neighbour, if only one meaning is that near.
func (m *matcher) slip(got *match) bool {
	k := key(got.words)
	if len(k) < slipFrom {
		return false
	}
	hit := ""
	for _, cand := range m.vocabulary.keys {
		if len(cand) < slipFrom || distanceOver1(k, cand) {
			continue
		}
		if hit != "" && !sameFields(m.vocabulary.claims[hit], m.vocabulary.claims[cand]) {
			return false
		}
		hit = cand
	}
	number := slices.Contains(got.words, "nr") && !strings.Contains(hit, "nr") // "Model no" is no slip of "Model yr"
	if hit == "" || number || digitsOf(hit) != digitsOf(k) {
		return false
	}
	claims := m.vocabulary.claims[hit]
	got.claims, got.useless, got.unsure = slices.Clone(claims), len(claims) == 0, true
	got.why = fmt.Sprintf("one letter from %q (%s)", hit, grounds(claims))
	return true
}

func sameFields(a, b []claim) bool {
	return slices.EqualFunc(a, b, func(x, y claim) bool { return x.field == y.field })
}

func digitsOf(s string) string {
	return strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// distanceOver1 reports that two words are more than one slip apart (optimal string alignment: a swap of neighbours counts one).
func distanceOver1(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return true
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] != b[i+1:]
	}
	swapped := i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
	return i < len(a) && a[i+1:] != b[i+1:] && !swapped
}

// suggest offers the fields whose wordings share most words with an unknown heading; none is taken.
func (m *matcher) suggest(got *match) {
	score := make(map[Field]int)
	for i := range got.words {
		for j := i + 1; j <= len(got.words); j++ {
			for _, c := range m.vocabulary.claims[key(got.words[i:j])] {
				score[c.field] = max(score[c.field], (j-i)*4+int(c.rank))
			}
		}
	}
	if anyOf(got.all, notNow) {
		delete(score, Odometer)
	}
	for _, f := range Fields() {
		if score[f] > 0 {
			got.claims = append(got.claims, claim{f, nearby, ""})
		}
	}
	slices.SortStableFunc(got.claims, func(a, b claim) int { return score[b.field] - score[a.field] })
	got.claims = got.claims[:min(3, len(got.claims))]
	got.why = "not known"
}

// notNow are words of distances that no clock shows today: what is due, allowed, agreed or counted from some day (common practice, no source).
var notNow = toSet("next due last service interval limit allowance allowed excess contract annual yearly year per p since to until remaining left trip daily today weekly monthly average avg warranty start begin opening in purchase purchased acquisition delivery disposal handover refuel ubernahme auslieferung kauf achat compra " +
	"nachste nachster letzte letzter letzten intervall vertrag jahr seit bis rest prochain prochaine dernier derniere revision entretien contrat annuel annuelle depuis restant moyen proximo proxima ultima revision contrato anual desde restantes " +
	"prossimo prossima ultimo tagliando manutenzione contrattuali residui dal iniziali annui annuali mensili medi proxima manutencao revisao contratados restantes iniciais anuais mensal media " +
	"следующее следующего последнее последнем последнего то остаток до после за начальный среднии годовои месяц день период сутки лимит договор " +
	"ostatnim przegladzie przegladu nastepny volgende laatste beurt nasta senaste neste siste seuraava edellinen")
