package header

import (
	"slices"

	"pitlist/ingest/value"
)

// doneWords head a column of repairs that says yes or no: whether the work was done.
var doneWords = toSet("done rectified repaired closed completed complete executed performed carriedout workdone finished erledigt ausgefuhrt durchgefuhrt fait effectue realise hecho realizado hecha utfort utford tehty wykonano uitgevoerd eseguito fatto feito executado выполнено")

// AsksDone reports a heading under which yes means that the work was done: "Done?", "Completed Y/N".
func AsksDone(heading string) bool { return begins(heading, doneWords) }

// begins reports a heading whose first words, written as one, are in the set.
func begins(heading string, set map[string]bool) bool {
	words := rawWords(heading)
	for n := len(words); n > 0; n-- {
		if set[key(words[:n])] {
			return true
		}
	}
	return false
}

// AsksPercentDone reports a heading under which a figure of a hundred means that the work was done: "% complete".
func AsksPercentDone(heading string) bool {
	var rest []string
	percent := false
	for _, w := range rawWords(heading) {
		if w == "%" || w == "percent" || w == "pct" || w == "prozent" {
			percent = true
			continue
		}
		rest = append(rest, w)
	}
	return percent && doneWords[key(rest)]
}

// approvedWords head a column of repairs that says yes or no: whether the work was allowed (common practice, no source), folded.
var approvedWords = toSet("approved authorised authorized approval authorisation authorization customerapproved customerauthorised genehmigt freigegeben freigabe autorise approuve aprobado autorizado godkand godkjent hyvaksytty zatwierdzono approvato autorizzato aprovado goedgekeurd одобрено")

// AsksApproved reports a heading under which no means that the work was not done: "Approved?", "Authorised Y/N".
func AsksApproved(heading string) bool { return begins(heading, approvedWords) }

// voidWords head a column of repairs that says yes where a row does not count, activeWords one of vehicles that says no where one is not in use (common
// practice, no source), folded.
var (
	voidWords   = toSet("void voided cancelled canceled reversed deleted credited storno storniert annule annulee anulado anulada makulerad annullert annullato anulowano")
	activeWords = toSet("active inuse inservice isactive aktiv actif activo attivo ativo aktywny")
)

// AsksVoid reports a heading under which yes means that the row does not count: "Void", "Cancelled?".
func AsksVoid(heading string) bool { return voidWords[key(rawWords(heading))] }

// advisedWords head a column of repairs that says yes where the work of the row was only advised (common practice, no source), folded.
var advisedWords = toSet("recommended recommendation recommendedonly advised advisory advisoryonly empfohlen empfehlung nurempfohlen recommande conseille recomendado aconsejado raccomandato consigliato recomendada aanbevolen rekommenderad anbefalt anbefalet suositeltu zalecane рекомендовано")

// AsksAdvised reports a heading under which yes means that the work was advised and not done: "Recommended?", "Advisory Y/N".
func AsksAdvised(heading string) bool { return begins(heading, advisedWords) }

// AsksActive reports a heading under which no means that the vehicle is not in use: "Active".
func AsksActive(heading string) bool { return activeWords[key(rawWords(heading))] }

// workHours are words of headings of what a line's work took (common practice, no source), folded.
var workHours = toSet("labour labor hours hrs hr time stunden std arbeitszeit aw heures horas ore timmar timer godziny uren часы нч")

// CountsWork reports a column of the hours that work took.
func CountsWork(c *Column) bool {
	return c.Unit == value.Hour || anyOf(rawWords(c.Heading), workHours)
}

// fewestAsStatus is the share of cells that must be known as how work stands, under a heading that says status.
const fewestAsStatus = 0.5

// typeWords head a column that says what kind of line a row is (common practice, no source), folded.
var typeWords = toSet("type typ art kind category kategorie tipo genre sort rodzaj categorie categoria")

// SaysType reports a heading of what kind of line a row is: "Line type", "Art der Position".
func SaysType(heading string) bool { return anyOf(rawWords(heading), typeWords) }

// typesOffers reports kinds of lines, few and coming again, with offers among them. "Planned" says what kind of maintenance it is, and not that it was not done.
func typesOffers(values []string, known float64) bool {
	offers, other := false, false
	for _, v := range values {
		switch st, err := value.ParseRepairStatus(v); {
		case err != nil || st == value.Done:
		case st == value.Declined || anyOf(rawWords(v), offerWords) || anyOf(rawWords(v), advisedWords):
			offers = true
		default:
			other = true
		}
	}
	return offers && !other && (known >= nearly || 2*distinct(values) <= len(values)+4)
}

// statusOfWork finds, on a list of repairs without a known column of status, the one column whose words say how the work stands: "Document type" with
// invoices and estimates, "Claim status", "Line type" with an estimate among labour and parts. One that holds nothing but done work decides nothing.
func (s *sheet) statusOfWork() {
	if !slices.Contains(s.kinds, Repairs) || slices.Contains(s.kinds, Vehicles) || s.claimed(Status, weak) {
		return
	}
	var cols []int
	for i := range s.cols {
		if rankOf(s.live[i]) >= weak || s.cols[i].Heading == "" {
			continue
		}
		values, open := s.values(i), false
		known := share(values, func(v string) bool {
			st, err := value.ParseRepairStatus(v)
			open = open || err == nil && st != value.Done
			return err == nil
		})
		if SaysType(s.cols[i].Heading) {
			if typesOffers(values, known) {
				cols = append(cols, i)
			}
			continue
		}
		if open && (known >= nearly || known >= fewestAsStatus && slices.ContainsFunc(s.matches[i].all, func(w string) bool { return w == "status" || w == "state" })) {
			cols = append(cols, i)
		}
	}
	if len(cols) == 1 {
		s.take(cols[0], Status, strong, "words underneath that say how work stands")
	}
}
