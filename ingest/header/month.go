package header

import (
	"slices"
	"time"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// months finds a history turned on its side, one column a month: two columns or more headed by days. They are readings of the odometer if
// the figures rise along the rows as a clock's do and nothing on the sheet says otherwise; the job is asked where nothing says so either.
func (s *sheet) months() {
	var dated []datedPeriod
	for i := range s.cols {
		if !s.cols[i].Day.IsZero() && rankOf(s.live[i]) < weak {
			dated = append(dated, datedPeriod{column: i})
		}
	}
	groups := s.byGroup(dated)
	if s.rivalGroups(groups) {
		s.askMonths(columnsOfPeriods(dated), Ignore, say.F("%s to %s stand under several headings with the same days; which of them are readings of the odometer cannot be told", s.headed(dated[0].column), s.headed(dated[len(dated)-1].column)))
		groups = nil
	}
	for _, group := range groups {
		s.monthsOf(columnsOfPeriods(group))
	}
	for _, group := range s.byGroup(s.undated) {
		s.askYears(group)
	}
	s.financialYears()
}

// rivalGroups reports columns of one day under several headings, of which none, or more than one, speaks of the odometer, and more than one of
// nothing else.
func (s *sheet) rivalGroups(groups [][]datedPeriod) bool {
	open, odometers, days, twice := 0, 0, map[time.Time]bool{}, false
	for _, g := range groups {
		cols := columnsOfPeriods(g)
		said := s.saidOf(cols[:1])
		if !s.figures(cols) || said.word != "" && !said.byName && !said.odometer {
			continue
		}
		open++
		if s.m.match(cell(s.groups, cols[0])).found() {
			odometers++
		}
		for _, i := range cols {
			twice = twice || days[s.cols[i].Day]
			days[s.cols[i].Day] = true
		}
	}
	return open > 1 && odometers != 1 && twice
}

func columnsOfPeriods(all []datedPeriod) (out []int) {
	for _, p := range all {
		out = append(out, p.column)
	}
	return out
}

// monthsOf is months for columns under one heading.
func (s *sheet) monthsOf(cols []int) {
	if len(cols) == 1 && slices.Contains(s.readings, cols[0]) && s.figures(cols) {
		s.take(cols[0], OdometerByMonth, strong, "a reading on the day of its heading")
	}
	if len(cols) < 2 {
		return
	}
	slices.SortStableFunc(cols, func(a, b int) int { return s.cols[a].Day.Compare(s.cols[b].Day) })
	if !s.figures(cols) {
		s.leaveUnits(cols)
		return
	}
	said, shape := s.saidOf(cols), s.shapeOf(cols)
	clock := shape.rises() && !s.summed(cols)
	switch {
	case said.word != "" && !said.odometer && !said.byName:
		s.leaveMonths(cols, said.word)
		return
	case said.word != "" || !clock || !said.odometer && (!shape.large() || s.hundredths(cols) || shape.mayBeHours() && !shape.agrees()):
		s.askMonths(cols, Ignore, say.F("%s to %s hold a figure a month: readings of the odometer, or what was driven, cannot be told", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
		return
	case !said.odometer && !shape.agrees() && said.unit == value.NoUnit && !s.saysDistance(cols):
		s.askMonths(cols, OdometerByMonth, say.F("%s to %s hold figures that rise from month to month, and nothing says whether they are readings of the odometer or sums of money; they are left alone", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
		return
	}
	for _, i := range cols {
		s.take(i, OdometerByMonth, strong, "one column a month, and its figures rise")
	}
	if !said.odometer && !shape.agrees() {
		s.askMonths(cols, OdometerByMonth, say.F("%s to %s are taken for readings of the odometer, as their figures rise; nothing on the sheet says so", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
	}
}

// figures reports a column among these with whole figures underneath.
func (s *sheet) figures(cols []int) bool {
	return slices.ContainsFunc(cols, func(i int) bool { return share(s.values(i), isDistance) >= nearly })
}

// saysDistance reports figures that bear the unit of a distance.
func (s *sheet) saysDistance(cols []int) bool {
	return slices.ContainsFunc(cols, func(i int) bool {
		return share(s.values(i), func(v string) bool {
			_, unit, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
			return err == nil && (unit == value.Km || unit == value.Mile)
		}) >= nearly
	})
}

// isDistance sees a whole number, with the unit of a distance or none.
func isDistance(v string) bool {
	_, unit, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
	return err == nil && (unit == value.NoUnit || unit == value.Km || unit == value.Mile)
}

// unitOfMonths gives columns that hold readings by the month the unit that stands above them.
func (s *sheet) unitOfMonths(choice []claim) {
	var cols []int
	for i, c := range choice {
		if c.field == OdometerByMonth && s.cols[i].Unit == value.NoUnit {
			cols = append(cols, i)
		}
	}
	if len(cols) == 0 {
		return
	}
	unit := s.saidOf(cols).unit
	for _, i := range cols {
		s.cols[i].Unit = unit
	}
}

// said is what stands above the columns of a history, or names the sheet.
type said struct {
	odometer bool       // a wording of the odometer
	word     string     // a word of what is counted by the month instead; "" for none
	byName   bool       // that word is in the name of the sheet or the file only
	unit     value.Unit // km or mi, where one of them is stated
}

func (s *sheet) saidOf(cols []int) (out said) {
	above := slices.Clone(s.above)
	for _, i := range cols {
		if g := cell(s.groups, i); g != "" && !slices.Contains(above, g) {
			above = append(above, g)
		}
	}
	for _, text := range above {
		s.m.hear(text, &out)
	}
	if out.word == "" {
		names := said{}
		for _, text := range s.o.Named {
			s.m.hear(text, &names)
		}
		out.odometer, out.word, out.byName = out.odometer || names.odometer && names.word == "", names.word, true
	}
	return out
}

// hear takes down what a text says.
func (m *matcher) hear(text string, out *said) {
	h := takeApart(text)
	for i, w := range h.all {
		if otherWords[w] && out.word == "" {
			out.word = w
		}
		if u := unitWords[w]; (u == value.Km || u == value.Mile) && w != "mil" && out.unit == value.NoUnit {
			out.unit = u
		}
		for j := i + 1; j <= len(h.all); j++ {
			for _, c := range m.vocabulary.claims[key(h.all[i:j])] {
				out.odometer = out.odometer || c.field == Odometer && c.rank >= strong
			}
		}
	}
	if out.word == "" && !slices.Contains([]value.Unit{value.NoUnit, value.Km, value.Mile, value.Month}, h.unit) {
		out.word = h.all[len(h.all)-1]
	}
}

// otherWords are what tables count by the month besides the odometer, and words of sums from a day on (common practice, no source), folded.
var otherWords = toSet("fuel litre litres liter liters ltr l gallon gallons kraftstoff sprit diesel benzin adblue verbrauch tankmenge consumption consommation carburant conso litros combustible consumo " +
	"gasoleo paliwo zuzycie litrow bransle drivmedel forbrukning forbruk drivstoff polttoaine kulutus litraa brandstof verbruik cost costs expense expenses spend spending kosten ausgaben cout couts depense " +
	"depenses coste costes gasto gastos koszt koszty kostnad kostnader kustannus kustannukset invoice invoices invoiced miete loyer euro euros usd co2 emissions kwh hours stunden heures " +
	"horas godziny timmar timer tunnit betriebsstunden motogodziny trips fahrten trajets viajes driven gefahren gefahrene parcourus parcourues recorridos recorrido korda korte kjorte ajetut przejechane ytd kumuliert kumulierte " +
	"cumulative cumulated cumul cumule cumulee cumulees acumulado acumulada acumulados plan planned target soll geplant prevu prevus planificado planlagt planerad plano план monthly monatlich mensuel mensuelle mensual budget forecast tyres tires defects downtime " +
	"carburante gasolio consumo consumi litri costo costi spesa spese fattura percorsi percorsa ore combustivel abastecimento consumo litros custo custos despesa despesas percorridos rodados " +
	"топливо топлива расход литров литры затраты расходы стоимость сумма выручка моточасы часы")
