package header

import (
	"strconv"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// endWords say at which end of a visit, a trip or a hire a reading was taken (common practice, no source), folded. Which of the two is the later
// differs by trade: a workshop's "in" comes first, a hire desk's "out".
var endWords = toSet("previous prev this vorheriger precedent anterior in out start end begin beginning ending starting finish opening closing before after from to departure arrival return returned collection delivery checkin checkout pickup dropoff " +
	"beginn ende anfang abholung abgabe ubergabe ruckgabe rucknahme eingang ausgang annahme vorher nachher von bis start ziel abfahrt ankunft debut fin depart arrivee retour entree sortie avant apres " +
	"inicio final entrada salida regreso antes despues slut inn ut for etter efter alku loppu lahto paluu poczatek koniec wyjazd powrot inizio fine partenza arrivo uscita ritorno saida chegada fim " +
	"начало конец выезд возврат")

// spanWords say of what: "Odometer start of month", "km-Stand Ende Mietzeit" (common practice, no source), folded.
var spanWords = toSet("month months period year week day days trip journey hire rental shift job visit monat monats zeitraum woche jahr tag fahrt miete mietzeit schicht mois periode annee semaine jour trajet location mes periodo ano semana dia viaje alquiler " +
	"mese anno settimana giorno viaggio noleggio manad ar vecka dag maned uke kuukausi kuukauden vuosi miesiaca okresu roku tygodnia maand jaar месяца периода года недели")

// isEndOf reports words that name an end of something, and nothing else: "Start of month", "in".
func isEndOf(s string) bool {
	if len(s) > longestAside {
		return false
	}
	rest, cut := without(wordsOf(s), endWords)
	rest, _ = without(rest, atWords)
	rest, _ = without(rest, spanWords)
	return cut && len(rest) == 0
}

var atWords = toSet("at on when am bei beim zur zum au a al alla bij")

// bothEnds finds two columns of one odometer, at the beginning and at the end of something, and takes the one that shows more: the vehicle's latest;
// the other counts where that one is blank. Where either shows more, the job is asked.
func (s *sheet) bothEnds(choice []claim) {
	ends := s.ends(choice)
	if len(ends) != 2 {
		return
	}
	a, b := ends[0], ends[1]
	up, down, rows := s.compared(a, b)
	switch {
	case rows == 0:
		return
	case min(up, down)*10 > rows:
		s.askEnds(a, b, choice)
		return
	case down > up:
		a, b = b, a
	}
	known := !s.matches[a].useless
	choice[a], choice[b] = claim{}, claim{Odometer, strong, ""}
	s.drop(a, Odometer)
	s.cols[b].Why, s.cols[b].Sure, s.cols[b].Else = "the later of two readings", !known, []int{a}
	if known {
		s.found = append(s.found, Problem{Fields: []Field{Odometer}, Columns: []int{b}, Hint: say.F("where the other is meant, say odometer in the job's columns"),
			Text: say.F("%s and %s are both readings of the odometer; %s shows more and is read, the other where it is blank", strconv.Quote(s.cols[min(a, b)].Heading), strconv.Quote(s.cols[max(a, b)].Heading), strconv.Quote(s.cols[b].Heading))})
	}
}

// ends lists the columns of the odometer at one end of something; none where another column is the odometer, or the job says which is.
func (s *sheet) ends(choice []claim) (ends []int) {
	for i := range s.cols {
		switch {
		case !s.isTold(i) && s.isEnd(i):
			ends = append(ends, i)
		case choice[i].field == Odometer:
			return nil
		}
	}
	return ends
}

// isEnd reports a heading that is one of the odometer once the word for an end is taken out.
func (s *sheet) isEnd(i int) bool {
	var h heading
	rest, cut := without(h.cutUnits(wordsOf(outsideBrackets(s.cols[i].Heading))), endWords)
	if rest, _ = without(rest, atWords); !cut {
		return false
	}
	if spanless, _ := without(rest, spanWords); len(spanless) == 0 { // "Start km"
		return (h.unit == value.Km || h.unit == value.Mile) && share(s.values(i), isDistance) >= nearly
	}
	spanless, _ := without(rest, spanWords)
	for _, words := range [][]string{rest, withoutHarmless(rest), spanless} {
		if claims := s.m.vocabulary.claims[key(words)]; rankOf(claims) >= weak {
			return claims[0].field == Odometer && share(s.values(i), isDistance) >= nearly
		}
	}
	return false
}

// compared counts the rows on which column b shows more than a, less, and those with both.
func (s *sheet) compared(a, b int) (up, down, rows int) {
	for _, r := range s.below {
		x, okX := figure(r, a)
		y, okY := figure(r, b)
		if !okX || !okY {
			continue
		}
		rows++
		switch {
		case y > x:
			up++
		case y < x:
			down++
		}
	}
	return up, down, rows
}

func (s *sheet) askEnds(a, b int, choice []claim) {
	choice[a], choice[b] = claim{}, claim{}
	s.found = append(s.found, Problem{Fields: []Field{Odometer, Ignore}, Columns: []int{a, b}, Hint: say.F("say odometer or ignore in the job's columns"),
		Text:    say.F("%s and %s may each be the later reading of the odometer; neither is used", strconv.Quote(s.cols[a].Heading), strconv.Quote(s.cols[b].Heading)),
		Choices: []Choice{s.choice(a, Ignore), s.choice(b, Odometer)}})
}
