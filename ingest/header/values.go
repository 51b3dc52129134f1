package header

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// Shares of a column's values that must agree before they overrule a heading that leaves things open.
const (
	mostly = 0.6 // for VINs, which nothing else looks like
	nearly = 0.8 // for what other things may look like
)

// values returns what stands in a column below the heading, blanks left out.
func (s *sheet) values(i int) []string {
	var out []string
	for _, r := range s.below {
		if i < len(r) {
			if missing, _ := value.IsMissing(r[i]); !missing {
				out = append(out, strings.TrimSpace(r[i]))
				if n := len(s.cols[i].With); n > 0 {
					out[len(out)-1] = joinCells(r, i, n+1)
				}
			}
		}
	}
	return out
}

func share(values []string, is func(string) bool) float64 {
	if len(values) == 0 {
		return 0
	}
	n := 0
	for _, v := range values {
		if is(v) {
			n++
		}
	}
	return float64(n) / float64(len(values))
}

// looksVIN sees 17 letters and digits, both kinds, without I, O and Q (ISO 3779); blanks and hyphens between them don't count.
func looksVIN(s string) bool { return looksLikeVIN(s, 17, 17) }

// looksVINFront sees the first 10 or 11 characters of one.
func looksVINFront(s string) bool { return looksLikeVIN(s, 10, 11) }

func looksLikeVIN(s string, from, to int) bool {
	letters, digits := 0, 0
	for _, r := range s {
		switch {
		case r >= '0' && r <= '9':
			digits++
		case r == 'I' || r == 'O' || r == 'Q' || r == 'i' || r == 'o' || r == 'q':
			return false
		case r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z':
			letters++
		case r == ' ' || r == '-':
		default:
			return false
		}
	}
	return letters > 0 && digits > 0 && letters+digits >= from && letters+digits <= to
}

// dtcLike sees a trouble code as SAE J2012 writes it, or a J1939 SPN with FMI, at the beginning of a cell.
var dtcLike = regexp.MustCompile(`(?i)^\s*(?:[PCBU][0-9][0-9A-F]{3}\b|SPN\s*\d|\d{2,6}\s*[/.\-]\s*\d{1,2}\b|(?:no|none|keine?|aucun|ingen|ei)\b.*)`)

// byValues lets values speak where a heading leaves things open.
func (s *sheet) byValues() {
	for i := range s.live {
		values := s.values(i)
		if h := s.cols[i].Heading; (AsksDone(h) || AsksApproved(h) || AsksVoid(h) || AsksAdvised(h)) && rankOf(s.live[i]) != told && topField(s.live[i]) != Status && s.claimed(Text, weak) && !s.claimed(Status, weak) && s.crossed(i) {
			s.take(i, Status, strong, "crosses underneath")
			continue
		}
		if len(values) == 0 || s.isTold(i) || s.cols[i].Measure != "" {
			continue
		}
		s.vinByValues(i, values)
		s.unitByValues(i, values)
		s.codesByValues(i, values)
		s.codesUnnamed(i, values)
		s.doneByValues(i, values)
		s.textByValues(i, values)
		s.quantityByValues(i, values)
		s.serviceByValues(i, values)
		s.distanceByValues(i, values)
	}
}

// serviceByValues sees distances where the day of the next service might stand: numbers, one of them too small or too large for a day.
func (s *sheet) serviceByValues(i int, values []string) {
	if topField(s.live[i]) != NextService || share(values, isFigure) < nearly {
		return
	}
	for _, v := range values {
		if n, ok := figureIn(v); ok && (n < value.FirstSerial || n > value.LastSerial) {
			s.drop(i, NextService)
			s.cols[i].Why = "distances, not days"
			return
		}
	}
}

// doneByValues sees yes and no where a heading asks whether work was done, or allowed.
func (s *sheet) doneByValues(i int, values []string) {
	h := s.cols[i].Heading
	if AsksPercentDone(h) && s.claimed(Text, weak) && share(values, isFigure) >= nearly {
		s.take(i, Status, strong, "how much of the work was done")
	}
	if AsksActive(h) && !s.claimed(Status, weak) && !s.claimed(Text, weak) && share(values, isYesNo) >= nearly {
		s.take(i, Status, strong, "yes and no underneath")
	}
	if (AsksDone(h) || AsksApproved(h) || AsksVoid(h) || AsksAdvised(h) && !s.claimed(Status, weak)) && topField(s.live[i]) != Status && s.claimed(Text, weak) && share(values, isYesNo) >= nearly {
		s.take(i, Status, strong, "yes and no underneath")
	}
}

// crossed reports a column of crosses and blanks, where a cross stands for yes.
func (s *sheet) crossed(i int) bool {
	any := false
	for _, r := range s.below {
		if v := cell(r, i); v != "" {
			if any = true; !value.IsCross(v) {
				return false
			}
		}
	}
	return any
}

func isYesNo(v string) bool {
	_, err := value.ParseYesNo(v)
	return err == nil
}

// textByValues sees figures where words of a workshop might stand: "Labour £" is what the labour cost, and "Recommended" may head a distance, a
// day, or yes and no.
func (s *sheet) textByValues(i int, values []string) {
	noText := func(v string) bool { return isFigure(v) || isYesNo(v) || anyDay(v) }
	if topField(s.live[i]) == Recommended && share(values, noText) >= nearly {
		s.drop(i, Recommended)
	}
	if topField(s.live[i]) == Text && share(values, isFigure) >= nearly {
		s.drop(i, Text)
		s.cols[i].Why = "figures, not words"
	}
}

// quantityByValues doubts quantities that are 0 on most rows: a program that does not keep them writes so.
func (s *sheet) quantityByValues(i int, values []string) {
	zero := func(v string) bool { return value.NoneOf(v) && v[0] != '-' }
	if topField(s.live[i]) != Quantity || share(values, zero) <= 0.5 || len(values) < 2 {
		return
	}
	s.drop(i, Quantity)
	if s.claimed(Text, weak) {
		s.found = append(s.found, Problem{Fields: []Field{Quantity, Ignore}, Columns: []int{i}, Choices: []Choice{s.choice(i, Ignore)},
			Text: say.F("%s is 0 on most rows: whether their work was done cannot be told, and it counts as done", s.headed(i)),
			Hint: say.F("say quantity in the job's columns where 0 means that it was not done")})
	}
}

// drivenWords are in headings of the odometer that may as well be of what was driven, folded.
var drivenWords = toSet("distance driven gefahren gefahrene wegstrecke fahrleistung parcourus recorridos recorrido korstracka korda kjorte kjorelengde ajetut ajettu ajomaara przejechane percorsi percorrenza percorridos rodados")

// distanceByValues doubts a mere "Distance", "km" or "Distance driven" on a list of events whose figures are all what a month's driving may
// come to.
func (s *sheet) distanceByValues(i int, values []string) {
	driven := rankOf(s.live[i]) < canonical && anyOf(s.matches[i].all, drivenWords)
	if topField(s.live[i]) != Odometer || rankOf(s.live[i]) > weak && !driven || len(values) < 3 || !s.repeats() {
		return
	}
	for _, v := range values {
		if n, ok := figureIn(v); ok && n >= usualMonth {
			return
		}
	}
	for j := range s.live {
		if j != i && topField(s.live[j]) == Odometer && rankOf(s.live[j]) > max(weak, rankOf(s.live[i])-1) {
			s.drop(i, Odometer)
			return
		}
	}
	s.live[i] = nil
	s.found = append(s.found, Problem{Fields: []Field{Odometer, Ignore}, Columns: []int{i}, Text: say.F("%s holds small figures: readings of the odometer, or what was driven, cannot be told", s.headed(i)),
		Hint: say.F("say odometer or ignore in the job's columns"), Choices: []Choice{s.choice(i, Ignore)}})
}

// vinOfAnother reports a heading that speaks of a trailer's VIN, or of one that was, where another column names the vehicle.
func (s *sheet) vinOfAnother(i int) bool {
	words := s.matches[i].all
	return rankOf(s.live[i]) <= weak && (anyOf(words, otherThings) || anyOf(words, formerWords)) &&
		(s.claimed(Unit, weak) || s.claimed(Registration, weak) || s.claimed(VIN, strong))
}

// vinByValues finds whole and shortened VINs under headings that don't say VIN, or say too much.
func (s *sheet) vinByValues(i int, values []string) {
	whole, front := share(values, looksVIN), share(values, looksVINFront)
	claims := s.live[i]
	top := topField(claims)
	switch {
	case (top == VIN || hasClaim(claims, VIN) && rankOf(claims) == weak) && front >= mostly && whole < 1-nearly:
		s.take(i, VINPrefix, max(rankOf(claims), strong), "10 or 11 characters of a VIN underneath")
	case top == VINPrefix && whole >= mostly:
		s.take(i, VIN, strong, "17-character VINs underneath")
	case top == VIN && rankOf(claims) > weak:
	case whole >= mostly && s.vinOfAnother(i):
		s.cols[i].Why = "the VIN of something else"
	case whole >= mostly && (rankOf(claims) <= weak || s.otherwise(i, claims)):
		s.take(i, VIN, weak, "17-character VINs underneath")
	case front >= nearly && rankOf(claims) <= weak && len(values) > 1 && s.namesVIN(i):
		s.take(i, VINPrefix, weak, "10 or 11 characters of a VIN underneath")
	}
}

// otherwise reports a unit or serial column full of VINs on a sheet where nothing else claims to hold them.
func (s *sheet) otherwise(i int, claims []claim) bool {
	if top := topField(claims); top != Unit && top != EngineSerial || rankOf(claims) == canonical {
		return false
	}
	for j := range s.live {
		if j != i && hasClaim(s.live[j], VIN) {
			return false
		}
	}
	return true
}

func (s *sheet) namesVIN(i int) bool {
	for _, w := range s.matches[i].all {
		if slices.Contains([]string{"id", "i", "vin", "fin", "serial", "chassis", "fahrgestell", "ident"}, w) {
			return true
		}
	}
	return false
}

// unitByValues tells the vehicle's unit from the odometer's, and a running number from a unit number.
func (s *sheet) unitByValues(i int, values []string) {
	if !hasClaim(s.live[i], Unit) && !hasClaim(s.live[i], OdometerUnit) {
		return
	}
	isDistance := share(values, func(v string) bool {
		_, ok := value.ParseDistanceUnit(v)
		return ok
	})
	switch {
	case isDistance >= nearly:
		s.take(i, OdometerUnit, strong, "km or miles underneath")
	case hasClaim(s.live[i], OdometerUnit) && rankOf(s.live[i]) < canonical:
		s.drop(i, OdometerUnit)
	case rankOf(s.live[i]) == weak && runningNumbers(values):
		s.drop(i, Unit)
		s.cols[i].Why = "numbers the rows"
	case rankOf(s.live[i]) == weak && s.saysWhatKind(i, values):
		if s.drop(i, Unit); !s.claimed(Model, weak) {
			s.take(i, Model, weak, "what kind of vehicle it is underneath")
		}
	}
}

// aKind is a year and a name: "2019 Northfold Heron 2.0".
var aKind = regexp.MustCompile(`^(19|20)\d\d\s+\pL{3}`)

// someWords is two words of letters: "Northfold Heron", and "Harbour crane 3" too.
var someWords = regexp.MustCompile(`\pL{3,}\s+\pL{3,}`)

// saysWhatKind tells a column that says what kind of vehicle a row is about where another says which one: a year
// stands before the name, or names come again and again beside vehicles that do not, or lots are called by names
// of several words.
func (s *sheet) saysWhatKind(i int, values []string) bool {
	const enough = 4 // rows below which coming again is chance
	years := share(values, aKind.MatchString) >= nearly
	names := share(values, func(v string) bool { return someWords.MatchString(v) || aKind.MatchString(v) }) >= nearly
	again := names && len(values) >= enough && 2*distinct(values) <= len(values)
	for j := range s.live {
		f := topField(s.live[j])
		if j == i || rankOf(s.live[j]) <= weak || f != Unit && f != VIN && f != Registration && f != Lot {
			continue
		}
		which := s.values(j)
		if years || names && f == Lot || again && len(which) > 0 && 10*distinct(which) >= 9*len(which) {
			return true
		}
	}
	return false
}

func distinct(values []string) int {
	seen := map[string]bool{}
	for _, v := range values {
		seen[v] = true
	}
	return len(seen)
}

// runningNumbers sees 1, 2, 3…: row numbers, which identify no vehicle.
func runningNumbers(values []string) bool {
	for k, v := range values {
		n, err := strconv.Atoi(strings.TrimSuffix(v, "."))
		if err != nil || n != k+1 {
			return false
		}
	}
	return len(values) > 2
}

// codeAlone sees a trouble code as SAE J2012 writes it, which nothing else looks like.
var codeAlone = regexp.MustCompile(`(?i)^\s*[PCBU][0-3][0-9A-F]{3}\b`)

// codesUnnamed asks about trouble codes under a heading that is not known.
func (s *sheet) codesUnnamed(i int, values []string) {
	if !s.isUnknown(i) || share(values, codeAlone.MatchString) < 0.5 {
		return
	}
	s.found = append(s.found, Problem{Fields: []Field{Codes, Ignore}, Columns: []int{i}, Text: say.F("%s holds trouble codes, and its heading is not known", s.headed(i)),
		Hint: say.F("say codes or ignore in the job's columns"), Choices: []Choice{s.choice(i, Codes)}})
}

// findingsAcross tells of columns that hold findings, a part a column: an inspection is read from a row a part.
func (s *sheet) findingsAcross() {
	if s.claimed(FindingField, weak) {
		return
	}
	var cols []int
	bad := false
	for i := range s.cols {
		values := s.values(i)
		if !s.isUnknown(i) || share(values, isFinding) < nearly {
			continue
		}
		cols = append(cols, i)
		bad = bad || slices.ContainsFunc(values, isBad)
	}
	if bad {
		s.found = append(s.found, Problem{Fields: []Field{FindingField}, Columns: cols, Text: say.F("%s holds findings, and a part a column cannot be read; they are left alone", s.named(cols)),
			Hint: say.F("give each part that was looked at a row of its own, with the columns part and finding")})
	}
}

func isFinding(v string) bool {
	_, err := value.ParseFinding(v)
	return err == nil || value.IsMark(v)
}

func isBad(v string) bool {
	f, err := value.ParseFinding(v)
	return err == nil && (f == value.Worn || f == value.Failed) || value.IsMark(v) && !value.IsGoodMark(v)
}

// codesByValues believes a bare "Code" only where trouble codes stand underneath.
func (s *sheet) codesByValues(i int, values []string) {
	if !hasClaim(s.live[i], Codes) || rankOf(s.live[i]) > weak {
		return
	}
	if share(values, dtcLike.MatchString) >= 0.5 {
		s.take(i, Codes, strong, "trouble codes underneath")
		return
	}
	s.drop(i, Codes)
}

// stateOrStatus asks the words underneath whether a "Status" is a code's or the vehicle's or the repair's.
func (s *sheet) stateOrStatus(i int) Field {
	values := s.values(i)
	state := share(values, func(v string) bool { _, err := value.ParseCodeState(v); return err == nil })
	status := share(values, func(v string) bool {
		_, a := value.ParseStatus(v)
		_, b := value.ParseRepairStatus(v)
		return a == nil || b == nil
	})
	switch {
	case state > status && state >= 0.5:
		return State
	case status > state && status >= 0.5:
		return Status
	}
	return Ignore
}

// repeats reports that vehicles recur in the sample: a list of events and not of vehicles. Every column that names vehicles must say so. VINs
// that are none (numbers that a spreadsheet has rounded) say nothing, nor do the first characters of one, which many vehicles share.
func (s *sheet) repeats() bool {
	asked := false
	for _, f := range identifiers[:3] {
		for i := range s.live {
			if topField(s.live[i]) != f {
				continue
			}
			values := s.values(i)
			if f == VIN {
				values = slices.DeleteFunc(values, func(v string) bool { return !looksVIN(v) })
			}
			if len(values) < 3 {
				continue
			}
			if float64(distinct(values)) >= nearly*float64(len(values)) {
				return false
			}
			asked = true
		}
	}
	return asked
}
