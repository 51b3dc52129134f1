package header

import (
	"slices"
	"strconv"
	"strings"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// A list of work orders may have two days: when the order was opened, and when the work was done. An order whose second day is blank is not done.

var (
	// closedWords head the days on which work was closed, openedWords those on which it was asked for, notClosed what only looks like the first
	// (common practice, no source), folded.
	closedWords = toSet("repaired rectified repariert behoben repare reparee reparado reparada reparerad reparert korjattu naprawiono closed close closing completed completion complete finished finish done out released abgeschlossen abschluss erledigt ausgefuhrt fertig fertiggestellt fertigstellung ende ausgang cloture cloturee termine terminee realise realisee effectue effectuee fin sortie " +
		"cerrado cerrada cierre terminado terminada realizado realizada hecho salida avslutad avslutat utfort utford klar slutford avsluttet ferdig lukket valmis valmistunut tehty paattynyt zakonczenia zakonczono zakonczone zamkniecia zamkniecie zamknieto wykonano wykonania " +
		"chiuso chiusura eseguito completato fine uscita concluido conclusao fechado fecho encerramento executado saida afgerond gesloten gereed закрыт закрыто закрытия выполнено выполнения завершен завершено завершения окончания")
	openedWords = toSet("opened open created raised received reported booked requested in start started begin begun logged eroffnet eroffnung angelegt erstellt eingang annahme beginn gemeldet ouvert ouverture cree entree debut abierto abierta apertura creado entrada inicio oppnad skapad apnet opprettet avattu luotu alkoi " +
		"utworzono otwarcia otwarto zgloszenia przyjecia aperto creato entrata ingresso inizio aberto abertura criado geopend aangemaakt открыт открыто открытия создан создано начала приема заезда")
	notClosed = toSet("claim claims warranty payment invoice insurance due target planned plan expected expect promised estimated est eta scheduled deadline soll geplant voraussichtlich prevu prevue previsto prevista planerad planlagt beraknad arvioitu planowana planowane planowany")
)

// billWords head days of papers about work that was done (common practice, no source), folded.
var billWords = toSet("claim claims warranty payment paid invoice insurance bill billing rechnung facture factura fattura fatura faktura")

func (s *sheet) says(i int, words map[string]bool) bool {
	return anyOf(s.matches[i].all, words) &&
		!anyOf(s.matches[i].all, notClosed)
}

// anyDay sees a day, however it is kept.
func anyDay(v string) bool {
	_, err := dayAnyOrder(v)
	return err == nil
}

// dayAnyOrder reads a day that has the day or the month first, where either makes one, and says how it is kept.
func dayAnyOrder(v string) (value.How, error) {
	_, how, err := value.ParseDate(v, value.DateOptions{Order: value.DayFirst})
	if err != nil && strings.ContainsAny(v, "/-.") {
		_, how, err = value.ParseDate(v, value.DateOptions{Order: value.MonthFirst})
	}
	return how, err
}

// closingDay tells the day on which work was closed from that on which it was asked for, on a list of repairs. Where the first is mostly blank the
// job is asked whether it counts.
func (s *sheet) closingDay(choice []claim) {
	if !slices.Contains(s.kinds, Repairs) || slices.Contains(s.kinds, Vehicles) {
		return
	}
	closed, opened, dated := -1, -1, -1
	for i := range s.cols {
		switch r, days := rankOf(s.live[i]), share(s.values(i), anyDay) >= nearly; {
		case r == told && choice[i].field != Date:
			s.cols[i].Closing = choice[i].field == Closed || choice[i].field == Status && s.doneOn(i)
			continue
		case choice[i].field == Status && s.doneOn(i):
			s.cols[i].Closing = true
		case !days:
		case closed < 0 && (s.says(i, closedWords) || choice[i].field == Closed):
			closed = i
		case s.says(i, openedWords) && opened < 0 && (choice[i].field == Date || s.matches[i].useless || rankOf(s.live[i]) < weak):
			opened = i
		case choice[i].field == Date && dated < 0:
			dated = i
		}
	}
	closing := slices.ContainsFunc(s.cols, func(c Column) bool { return c.Closing })
	switch {
	case closed >= 0 && !closing:
		s.closedAt(closed, opened, dated, choice)
	case opened >= 0 && !slices.ContainsFunc(choice, func(c claim) bool { return c.field == Date || c.field == Closed }):
		s.askedOn(opened, choice)
		s.onlyAsked = true
	}
}

// doneOn reports a column that asks whether work was done, and is filled in on most rows, on some with the day on which it was; or one with a cross
// where it was.
func (s *sheet) doneOn(i int) bool {
	values := s.values(i)
	if AsksDone(s.cols[i].Heading) && s.crossed(i) {
		return true
	}
	days := share(values, anyDay)
	return AsksDone(s.cols[i].Heading) && days >= 0.25 && days < nearly && len(values)*2 >= s.rowsBelow()
}

// askedOn takes the day on which work was asked for as that of the row.
func (s *sheet) askedOn(i int, choice []claim) {
	choice[i] = claim{Date, strong, ""}
	s.cols[i].Why, s.cols[i].Sure = "the day on which the work was asked for", false
}

func (s *sheet) closedAt(closed, opened, dated int, choice []claim) {
	col := &s.cols[closed]
	filled := len(s.values(closed))*2 >= s.rowsBelow()
	if dated < 0 && opened >= 0 && !s.isTold(closed) {
		dated = opened
		s.askedOn(opened, choice)
	}
	switch {
	case filled && dated >= 0 && !s.isTold(closed):
		choice[closed], col.Closing, col.Sure, col.Why = claim{Closed, strong, ""}, true, false, "the day on which the work was done"
	case filled:
		if col.Closing = true; choice[closed].field != Closed && choice[closed].rank != told {
			choice[closed] = claim{Date, strong, ""} // the only day that there is, whatever else "done" may head
		}
	case !s.isTold(closed):
		s.askClosed(closed, dated, choice)
	}
}

// rowsBelow is how many of the rows looked at hold anything.
func (s *sheet) rowsBelow() (n int) {
	for _, r := range s.below {
		if slices.ContainsFunc(r, func(c string) bool { return foldSpace(c) != "" }) {
			n++
		}
	}
	return n
}

// askClosed asks whether a day of closing that is mostly blank says that the work was not done.
func (s *sheet) askClosed(closed, dated int, choice []claim) {
	if dated >= 0 && choice[closed].field != Date { // else it is the only day that there is
		choice[closed] = claim{}
	}
	s.found = append(s.found, Problem{Fields: []Field{Closed, Ignore}, Columns: []int{closed},
		Text: say.F("%s is blank on most rows: whether the work of those rows was done cannot be told, and it counts as done", strconv.Quote(s.cols[closed].Heading)),
		Hint: say.F("say closed in the job's columns where blank means that it was not done"), Choices: []Choice{s.choice(closed, Closed)}})
}
