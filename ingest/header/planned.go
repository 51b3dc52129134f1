package header

import (
	"slices"
)

// Words that name offers, and words of what has happened, in titles and names of sheets (common practice, no source), folded. "Planned" and "scheduled" are
// not among them: planned maintenance is done too.
var (
	offerWords = toSet("quote quotes quotation quotations estimate estimates proposal proposals upcoming forecast backlog angebot angebote kostenvoranschlag kostenvoranschlage devis presupuesto presupuestos offert offerter tilbud " +
		"tarjous tarjoukset oferta oferty preventivo preventivi orcamento orcamentos offerte смета сметы")
	pastWords = toSet("invoice invoices invoiced history completed done closed repairs rechnung rechnungen historie erledigt facture factures historique factura facturas historial")
)

// plannedBy finds what says that the work of a list was offered or planned, and not done: a title above it or the sheet's name, or a day that is due or
// planned and no other. "" where nothing does, or the sheet has a status.
func (s *sheet) plannedBy() string {
	if !slices.Contains(s.kinds, Repairs) || slices.Contains(s.kinds, Vehicles) || s.has(Status) || s.has(Closed) {
		return ""
	}
	titles := slices.Clone(s.above)
	for _, name := range s.o.Named { // of a text file the file's, else the sheet's
		if name != "" {
			titles = append(titles, name)
			break
		}
	}
	for _, t := range titles {
		words := rawWords(t)
		if len(words) <= 8 && anyOf(words, offerWords) && !anyOf(words, pastWords) {
			return foldSpace(t)
		}
	}
	if s.has(Date) && !s.onlyAsked {
		return ""
	}
	for i := range s.cols {
		if !s.isTold(i) && anyOf(s.matches[i].all, notClosed) && !anyOf(s.matches[i].all, billWords) && share(s.values(i), anyDay) >= nearly {
			return s.cols[i].Heading
		}
	}
	return ""
}

func (s *sheet) has(f Field) bool {
	return slices.ContainsFunc(s.cols, func(c Column) bool { return c.Field == f })
}

// dayOfReading takes a day that has the same word before it as the odometer: "Test date" beside "Test mileage".
func (s *sheet) dayOfReading() {
	if s.has(OdometerDate) || s.has(Date) || slices.Contains(s.kinds, Repairs) {
		return
	}
	field := OdometerDate
	if !slices.Contains(s.kinds, Vehicles) {
		field = Date
	}
	for i := range s.cols {
		if s.cols[i].Field != Odometer {
			continue
		}
		for j := range s.cols {
			if s.isItsDay(i, j) {
				s.cols[j].Field, s.cols[j].Why, s.cols[j].Sure = field, "the day of the reading beside it", false
				return
			}
		}
	}
}

// isItsDay reports that column j is free, holds days, and is headed by "date" and the one word that also begins the heading of column i.
func (s *sheet) isItsDay(i, j int) bool {
	if s.cols[j].Field != Ignore || s.isTold(j) {
		return false
	}
	word, cut := without(s.matches[j].all, dateWords)
	of := s.matches[i].all
	return cut && len(word) == 1 && !harmless[word[0]] && len(of) > 1 && of[0] == word[0] && share(s.values(j), anyDay) >= nearly
}

// glued takes the number off a word: "DTC1" is the first of several.
func glued(word string) string {
	n := len(word)
	for n > 0 && word[n-1] >= '0' && word[n-1] <= '9' {
		n--
	}
	if n < 3 || len(word)-n > 2 {
		return ""
	}
	return word[:n]
}
