package phrase

import "sync"

// statusLists are words that say how a job stands in a column of its own, where they mean less in a sentence.
var statusLists = []wordList{
	{cDone, `closed invoiced invoice rechnung facture factura fattura fatura faktura lasku yes y billed done comp cmpl fertig abgeschlossen abgerechnet ja gemacht termine terminee cloture facture oui
		cerrado facturado terminado si avslutad fakturerad ferdig avsluttet fakturert valmis laskutettu kylla zakonczono zakonczone
		zrealizowano zamknieto tak`},
	{cRec, `open planned scheduled quote proposal proposed todo offen geplant vorschlag ouvert planifie propose abierto planificado
		propuesto oppen planerad foreslagen apen planlagt avoin suunniteltu ehdotettu otwarte planowane
		overdue submitted progress wip ongoing started unstarted assigned unassigned unfinished incomplete partially partly paused reopened draft new waiting
		bearbeitung laufend lauft begonnen wartet unerledigt unvollstandig cours attente commence incomplet curso progreso espera
		empezado pagar pagaende paborjad pabegynt venter vantar kesken kaynnissa odottaa toku trakcie oczekuje corso lavorazione attesa aperto
		iniziato andamento iniciado aberto`},
	{cDecl, `credit credited reversed reversal gutschrift avoir abono void lapsed unsold nein lost`},
	{cGood, `gut bra`},
}

// statusWords is the lexicon of no phrase, with the words of a status column.
var statusWords = sync.OnceValue(func() *Lexicon {
	l := newLexicon()
	for _, list := range statusLists {
		for _, w := range wordsOf(list) {
			l.learn(w, list.class)
		}
	}
	l.index()
	return l
})

// ParseStatus reads the cell of a status column, in any of the languages known: Done, Declined, Recommended, Inspected,
// FoundGood ("ok") or FoundWorn. "Not done" and "no" are Declined; "open" and "to do" are Recommended, for the work is
// outstanding. It is false for a cell that is empty, says none of these, or calls the work both done and not done.
func ParseStatus(s string) (Intent, bool) {
	l := statusWords()
	sc := l.pool.Get().(*scanner)
	defer l.pool.Put(sc)
	sc.read(s)
	if len(sc.toks) == 0 {
		return "", false
	}
	sc.prepare()
	n := len(sc.toks)
	c := sc.classes(0, n)
	acted := c.has(cDone | handAct)
	refused := c.has(cDecl) || sc.undone(0, n) || sc.deniedAct(0, n, anyAct|cAssent) || c.has(cNeg) && !c.has(cGood|cBad)
	switch {
	case refused && c.has(cDone) && !c.has(cNeg), acted && c.has(cRec) && len(sc.clauses) > 1:
		return "", false
	case refused:
		return Declined, true
	case c.has(cRec):
		return Recommended, true
	case acted:
		return Done, true
	case c.has(cBad):
		return FoundWorn, true
	case c.has(cGood):
		return FoundGood, true
	case c.has(cInspect):
		return Inspected, true
	}
	return "", false
}
